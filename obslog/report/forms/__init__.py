"""Sheets to write on, drawn from their blocks: as a PDF, as a page of HTML, and the form of a loan as plain text."""

"""Sheets as they are drawn: nothing outside the page, nothing over anything else, nothing lost."""

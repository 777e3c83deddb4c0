"""The tables, their columns' types, and their keys."""

"""What a club has in its own spreadsheets, brought in and given out again: whole or not at all, never twice."""

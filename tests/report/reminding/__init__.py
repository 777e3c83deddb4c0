"""Tests of the letters of reminders and their files."""

"""The officer's report of a year: in words, for the screen and for paper."""

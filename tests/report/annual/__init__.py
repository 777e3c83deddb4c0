"""The year's report: in words, on the screen and on paper."""

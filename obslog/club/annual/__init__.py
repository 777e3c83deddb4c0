"""The year's report."""

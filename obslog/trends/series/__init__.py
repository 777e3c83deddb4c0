"""One series over time: slopes, change points, control charts."""

"""Pages to print and charts, from values handed in."""

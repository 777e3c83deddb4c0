"""Stocktakes and labels, against what can be worked out by hand."""

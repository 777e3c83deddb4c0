"""Commands about the shelves: stocktakes and labels."""

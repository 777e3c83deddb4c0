"""Commands of stocktakes and labels, as they are typed."""

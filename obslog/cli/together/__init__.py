"""Commands of what several laptops of one club do together."""

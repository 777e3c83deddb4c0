"""Commands about a club on a server: moving there or back, and who may do what."""

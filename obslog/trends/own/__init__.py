"""The trend of a mount itself: what is left when its users, sites and seasons are allowed for, in one model."""

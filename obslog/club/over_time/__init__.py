"""What a mount does over the months: its landing errors and its axes, and the verdict on both."""

"""The fit of one set-up while it lasts, started from what is known of the mount."""

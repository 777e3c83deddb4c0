"""The fit of all nights of a mount together."""

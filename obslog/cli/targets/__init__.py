"""Commands for what to look at: targets, and what a tube shows with an eyepiece."""

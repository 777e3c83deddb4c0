"""Commands on what to buy."""

"""Which stars to sync on, and what landing to expect."""

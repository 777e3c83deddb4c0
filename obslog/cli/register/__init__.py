"""Commands for what is on record by name: sites, members, equipment, and the rules."""

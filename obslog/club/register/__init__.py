"""What is on record by name: sites, members, equipment, rules; and how typed values are checked."""

"""What stands on the sheets that people write on: blank, with what is known of tonight filled in."""

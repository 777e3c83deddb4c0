"""What is known of the store-room, the club and its members: against the records, by SQL and by hand."""

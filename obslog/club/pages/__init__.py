"""What stands on the pages about a mount, a night, a member, the store-room and the club: facts, gathered once."""

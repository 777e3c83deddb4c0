"""What stands on the pages about the store-room, the club and a member, and the folder of all pages."""

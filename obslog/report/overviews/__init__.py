"""Pages and pictures of the store-room, the club and a member, and the index of a folder of pages."""

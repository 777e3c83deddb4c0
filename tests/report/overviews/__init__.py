"""The pages of the store-room, the club and a member: what they say, show, and keep to themselves."""

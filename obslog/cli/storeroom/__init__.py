"""Commands of the store-room: kits, loans, and where each thing is."""

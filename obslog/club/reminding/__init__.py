"""Who is to be reminded of what they have, and who is next for what others wait for."""

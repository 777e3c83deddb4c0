"""Where things are in the sky, and when. The only room that knows Skyfield."""

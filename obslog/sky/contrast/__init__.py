"""What an eye can tell from the sky behind it: moonlight, the eye's threshold, and what a tube does to both."""

"""Stars, objects and constellations by name; needs neither numpy nor Skyfield."""

"""OpenAstronomyLog 2.1, an open XML schema for observations: written to be valid, read leniently and on guard."""

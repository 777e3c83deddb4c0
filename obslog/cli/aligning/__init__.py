"""Commands before the first star and after its miss: stars to sync on, pointing runs, drifts, mistakes."""

"""The mount's geometry, joint fit, drift, star choice and mistake finder, on plain arrays."""

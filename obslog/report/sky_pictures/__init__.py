"""Pictures of the sky: a night, an evening's plan, the pole star."""

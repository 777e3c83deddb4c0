"""Where things stand: apparent places, the Moon, the pole, refraction."""

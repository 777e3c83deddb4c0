"""The sky from a site on record: where a thing stands, when it is up, Sun and Moon, and the pole star."""

"""Files beside the database: who may read them, and what still stands in copies."""

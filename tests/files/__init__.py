"""Files are written whole or not at all, for those who may read them; what goes wrong is told in sentences."""

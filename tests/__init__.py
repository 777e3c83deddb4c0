"""The tests mirror the package; published values have a folder of their own."""

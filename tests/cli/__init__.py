"""The command line, driven as a person drives it; a package, so that its tests share `program`."""

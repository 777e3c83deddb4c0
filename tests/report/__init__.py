"""Sheets in and out; a package, so that its tests share `sheets`."""

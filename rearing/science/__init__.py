"""Pure functions of arrays and frozen values: no files, no clock, no hidden chance."""

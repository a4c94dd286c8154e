"""Pure functions on arrays and frozen dataclasses: no files, no clock, no hidden chance."""

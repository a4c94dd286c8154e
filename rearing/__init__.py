"""Rearing: the book of a moth keeper, from the lamp night to next year's pairing."""

__version__ = "0.1.0"

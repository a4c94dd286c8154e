"""Weights of leaf in words."""

from __future__ import annotations


def kg(grams: float) -> str:
    """Return a weight as 430 g or 7.2 kg."""
    return f"{grams / 1000:.1f} kg" if grams >= 950 else f"{grams:.0f} g"


def kg_band(low_g: float, high_g: float) -> str:
    """Return two weights as 340–420 g or 10.2–13.1 kg."""
    if high_g >= 950:
        return f"{low_g / 1000:.1f}–{high_g / 1000:.1f} kg"
    return f"{low_g:.0f}–{high_g:.0f} g"

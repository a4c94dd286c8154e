"""Forecast windows of a brood: hatch, moults, wandering, pupation, emergence."""

from __future__ import annotations

from rearing.science.stages import EventWindow, Interval, StageHeat, Start, Track

__all__ = ["EventWindow", "Interval", "StageHeat", "Start", "Track"]

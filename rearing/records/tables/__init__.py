"""One file for each group of things the book keeps."""

from rearing.records.tables.base import Base, Kept
from rearing.records.tables.broods import Box, Brood, EggOutcome, EggPot, Exit, Laying
from rearing.records.tables.care import (
    BoxVisit,
    Headcount,
    Loss,
    Move,
    StageCount,
    StageLook,
)
from rearing.records.tables.lamp import (
    Arrival,
    Check,
    Determination,
    LampNight,
    Outage,
    Site,
)
from rearing.records.tables.leaf import Cut, Tree
from rearing.records.tables.mothers import Moth, Pairing
from rearing.records.tables.paper import Change, ChangeRow, Fact, Note
from rearing.records.tables.places import (
    DailyReading,
    ForecastDay,
    Place,
    PlaceFollow,
    Reading,
    ReadingImport,
    ReadingSetAside,
    Stay,
)

__all__ = [
    "Arrival",
    "Base",
    "Box",
    "BoxVisit",
    "Brood",
    "Change",
    "ChangeRow",
    "Check",
    "Cut",
    "DailyReading",
    "Determination",
    "EggOutcome",
    "EggPot",
    "Exit",
    "Fact",
    "ForecastDay",
    "Headcount",
    "Kept",
    "LampNight",
    "Laying",
    "Loss",
    "Moth",
    "Move",
    "Note",
    "Outage",
    "Pairing",
    "Place",
    "PlaceFollow",
    "Reading",
    "ReadingImport",
    "ReadingSetAside",
    "Site",
    "StageCount",
    "StageLook",
    "Stay",
    "Tree",
]

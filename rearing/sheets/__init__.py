"""Species sheets, read from TOML into frozen dataclasses."""

from rearing.sheets.advice import clean_every, leaf_life, room_for
from rearing.sheets.belief import Belief, belief, beliefs
from rearing.sheets.broad import BroadPrior
from rearing.sheets.defaults import Defaults, Figures, LeafLife
from rearing.sheets.sheet import (
    Evidence,
    Figure,
    Pupation,
    Size,
    SpeciesSheet,
    StageSheet,
    Tag,
)
from rearing.sheets.shelf import SheetShelf, load_all

__all__ = [
    "Belief",
    "BroadPrior",
    "Defaults",
    "Evidence",
    "Figure",
    "Figures",
    "LeafLife",
    "Pupation",
    "SheetShelf",
    "Size",
    "SpeciesSheet",
    "StageSheet",
    "Tag",
    "belief",
    "beliefs",
    "clean_every",
    "leaf_life",
    "load_all",
    "room_for",
]

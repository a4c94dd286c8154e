"""Frozen rows: what leaves the records; one class a table, one field a column."""

from rearing.records.rows.base import Row
from rearing.records.rows.broods import (
    BoxRow,
    BroodRow,
    EggOutcomeRow,
    EggPotRow,
    ExitRow,
    LayingRow,
)
from rearing.records.rows.care import (
    BoxVisitRow,
    HeadcountRow,
    LossRow,
    MoveRow,
    StageCountRow,
    StageLookRow,
)
from rearing.records.rows.lamp import (
    ArrivalRow,
    CheckRow,
    DeterminationRow,
    LampNightRow,
    OutageRow,
    SiteRow,
)
from rearing.records.rows.mothers import MothRow, PairingRow
from rearing.records.rows.paper import CutRow, FactRow, NoteRow, TreeRow
from rearing.records.rows.places import (
    ForecastDayRow,
    PlaceFollowRow,
    PlaceRow,
    ReadingImportRow,
    ReadingSetAsideRow,
    StayRow,
)

__all__ = [
    "ArrivalRow",
    "BoxRow",
    "BoxVisitRow",
    "BroodRow",
    "CheckRow",
    "CutRow",
    "DeterminationRow",
    "EggOutcomeRow",
    "EggPotRow",
    "ExitRow",
    "FactRow",
    "ForecastDayRow",
    "HeadcountRow",
    "LampNightRow",
    "LayingRow",
    "LossRow",
    "MothRow",
    "MoveRow",
    "NoteRow",
    "OutageRow",
    "PairingRow",
    "PlaceFollowRow",
    "PlaceRow",
    "ReadingImportRow",
    "ReadingSetAsideRow",
    "Row",
    "SiteRow",
    "StageCountRow",
    "StageLookRow",
    "StayRow",
    "TreeRow",
]

"""Logger and weather files in: what a file is understood to be, and its readings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.temperature_clock import zone_named
from rearing.exchange.temperature_instants import date_columns
from rearing.exchange.temperature_preview import (
    MEASURES,
    Column,
    DateForm,
    DateOrder,
    Doubt,
    PreviewRow,
    Role,
    Understanding,
    Unit,
)
from rearing.exchange.temperature_rows import AsideLog, RowPass, chunks
from rearing.exchange.temperature_series import (
    Cancelled,
    DailySeries,
    InstantSeries,
    SetAside,
    Temperatures,
)
from rearing.exchange.temperature_tidy import tidied
from rearing.exchange.temperature_understanding import look_again, understand
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

__all__ = [
    "Cancelled",
    "Column",
    "DailySeries",
    "DateForm",
    "DateOrder",
    "Doubt",
    "InstantSeries",
    "PreviewRow",
    "Role",
    "SetAside",
    "Temperatures",
    "Understanding",
    "Unit",
    "look_again",
    "read",
    "understand",
]


def read(
    path: Path,
    understanding: Understanding,
    *,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Temperatures:
    """Read a whole file; raise Cancelled as soon as `cancelled` says so.

    `progress` is told the share done, 0 to 1, after every few thousand rows.
    """
    zone_named(understanding.zone)
    if not date_columns(understanding) or not understanding.of_role(*MEASURES):
        raise Refusal(
            "A date column and a temperature column are needed. Choose them first.",
            field="columns",
        )
    aside = AsideLog()
    rows = RowPass(understanding, aside)
    for first, some in chunks(
        path, understanding, progress=progress, cancelled=cancelled
    ):
        rows.take(first, some)
    found = tidied(rows.gathered(), understanding, aside, path)
    if progress is not None:
        progress(1.0)
    return found

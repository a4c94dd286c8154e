"""Reading what a sheet records of a stage: thermal values and durations."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.sheets.sheet import Duration, StageSheet, Thermal

if TYPE_CHECKING:
    from rearing.sheets.form import Table

LOWEST_C, HIGHEST_C = -10.0, 45.0
HIGHEST_T0_C = 23.0  # the highest of the compilation is 22.1
LONGEST_DAYS = 1500.0


def read_stage(table: Table) -> StageSheet:
    """Read ``[[stage.thermal]]`` and ``[[stage.duration]]``."""
    stage = StageSheet(
        tuple(_thermal(row) for row in table.rows("thermal")),
        tuple(_duration(row) for row in table.rows("duration")),
    )
    table.finish()
    return stage


def _thermal(row: Table) -> Thermal:
    t0_c = row.number("t0_c", LOWEST_C, HIGHEST_T0_C)
    upper_c = row.number_or_none("upper_c", LOWEST_C, HIGHEST_C)
    if upper_c is not None and upper_c <= t0_c:
        raise row.broken("upper_c", f"{upper_c:g} is not above t0_c, {t0_c:g}.")
    k_dd = row.number("k_dd", 1, 5000)
    t0_sd_c = row.number_or_none("t0_sd_c", 0.01, 10)
    k_spread = row.number_or_none("k_spread", 0.01, 2)
    after_cold = row.yes("after_cold", default=False)
    place = row.text("place", "")
    source, tag = row.source()
    row.finish()
    return Thermal(
        t0_c, k_dd, source, tag, upper_c, t0_sd_c, k_spread, after_cold, place
    )


def _duration(row: Table) -> Duration:
    low, high = row.span("days", 0, LONGEST_DAYS)
    if low <= 0:
        raise row.broken("days", "should be longer than 0 days.")
    at_low: float | None = None
    at_high: float | None = None
    if row.has("at_c"):
        at_low, at_high = row.span("at_c", LOWEST_C, HIGHEST_C)
    spread = row.number_or_none("spread", 0.01, 2)
    after_cold = row.yes("after_cold", default=False)
    place = row.text("place", "")
    source, tag = row.source()
    row.finish()
    return Duration(low, high, at_low, at_high, source, tag, spread, after_cold, place)

"""A brood's numbers as tables: losses, life table by stage, survivorship by day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.keeping.life import Life, Loss

_STAGES = (
    *("brood", "x", "n", "d", "left or still in it", "l"),
    *("q", "q, low at 95 %", "q, high at 95 %", "k"),
)
_DAYS = (
    *("brood", "on", "day since the first came [d]", "n", "d", "left"),
    *("l", "l, low at 95 %", "l, high at 95 %"),
    *("q", "q, low at 95 %", "q, high at 95 %", "k"),
)


def losses_by_stage_table(life: Life) -> Table:
    """Return losses by stage and cause, the unaccounted among them."""
    code = life.fates.brood.code
    rows = ((code, x.stage, x.why, x.number) for x in life.losses)
    headings = ("brood", "stage", "cause", "number")
    return table(f"Losses by stage of {code}", headings, rows)


def life_table_table(life: Life) -> Table:
    """Return the life table by stage."""
    code = life.fates.brood.code
    rows = (
        (code, x.x, x.n, x.d, x.left, x.l, x.q, x.q_low, x.q_high, x.k)
        for x in life.stages
    )
    return table(f"Life table of {code}", _STAGES, rows)


def survivorship_table(life: Life) -> Table:
    """Return the share alive after every day of a loss (Kaplan and Meier)."""
    code = life.fates.brood.code
    rows = (
        (
            *(code, x.on, x.day, x.n, x.d, x.left, x.l, x.l_low, x.l_high),
            *(x.q.share, x.q.low, x.q.high, x.k),
        )
        for x in life.days
    )
    return table(f"Survivorship of {code}", _DAYS, rows)


def species_losses_table(taxon: str, rows: Iterable[tuple[int, Loss]]) -> Table:
    """Return the losses of a species in all broods, by year."""
    told = ((taxon, year, x.stage, x.why, x.number) for year, x in rows)
    headings = ("species", "year", "stage", "cause", "number")
    return table(f"Losses of {taxon}", headings, told)

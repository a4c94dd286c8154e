"""Head capsules placed in instars, as tables."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.science.instars import Placed

_INSTARS = (
    *("instar", "number", "mean [mm]", "by the series [mm]", "from [mm]", "to [mm]"),
    *("step", "step is uneven"),
)


def widths_table(name: str, widths_mm: Sequence[float], placed: Placed) -> Table:
    """Return every width with the instar it is placed in, and how surely."""
    rows = zip(
        widths_mm,
        (f"L{instar}" for instar in placed.instar.tolist()),
        placed.surely.tolist(),
        strict=True,
    )
    headings = ("width [mm]", "instar", "surely")
    return table(f"Widths of {name}", headings, rows)


def instars_table(name: str, placed: Placed) -> Table:
    """Return the instars, with the width that the series gives each."""
    rows = (
        (
            *(f"L{x.instar}", x.number, x.mean_mm, x.fitted_mm, x.low_mm, x.high_mm),
            *(x.step, x.is_uneven),
        )
        for x in placed.groups
    )
    return table(f"Instars of {name}", _INSTARS, rows)

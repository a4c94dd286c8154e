"""One sentence that says where a belief comes from."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.sheets.sheet import Evidence

if TYPE_CHECKING:
    from rearing.sheets.evidence import Found
    from rearing.sheets.sheet import Duration, Thermal
    from rearing.terms import Stage


def words_for(stage: Stage, found: Found, *, winters: bool) -> str:
    """Say in one sentence what a belief about a stage rests on."""
    subject = f"{stage.value} after its cold" if winters else stage.value
    subject = subject[:1].upper() + subject[1:]
    if found.evidence is Evidence.BROAD:
        rest = _broad(found)
    elif found.witness.rows.thermal:
        rest = _thermal(found)
    else:
        rest = _days(found)
    return f"{subject}: {rest}{_share(found)}."


def _broad(found: Found) -> str:
    return (
        "nothing recorded, so the broad spread over moths and butterflies is used "
        f"({found.prior.n} data sets, Buckley et al. 2017)"
    )


def _thermal(found: Found) -> str:
    rows = "; ".join(_thermal_row(row) for row in found.witness.rows.thermal)
    return f"{_default(found)}{rows}"


def _days(found: Found) -> str:
    rows = "; ".join(_days_row(row) for row in found.witness.rows.durations)
    need = found.need
    return (
        f"{_default(found)}{rows}; threshold taken as "
        f"{need.t0_c:.1f} ± {need.t0_sd_c:.1f}°"
    )


def _thermal_row(row: Thermal) -> str:
    return (
        f"{row.k_dd:g} degree-days above {row.t0_c:g}° "
        f"({_place(row.place)}{_origin(row)})"
    )


def _days_row(row: Duration) -> str:
    days = _range(row.days_low, row.days_high)
    if row.at_low_c is None or row.at_high_c is None:
        where = "no temperature given, a room assumed"
    else:
        where = f"at {_range(row.at_low_c, row.at_high_c)}°"
    return f"{days} days {where} ({_place(row.place)}{_origin(row)})"


def _origin(row: Thermal | Duration) -> str:
    if row.source.startswith(row.tag.value):
        return row.source
    return f"{row.tag.value}: {row.source}"


def _range(low: float, high: float) -> str:
    return f"{low:g}" if low == high else f"{low:g} to {high:g}"


def _place(place: str) -> str:
    return f"{place}; " if place else ""


def _default(found: Found) -> str:
    is_default = found.evidence is Evidence.DEFAULT
    return "nothing of its own recorded, default used, " if is_default else ""


def _share(found: Found) -> str:
    share = found.witness.share
    return "" if share == 1 else f"; {share:.0%} of the whole larva's heat"

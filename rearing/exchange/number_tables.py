"""A brood's numbers as tables: losses, life table by stage, survivorship by day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.exchange.tables import Value
    from rearing.keeping.box_ledgers import BroodLedger
    from rearing.keeping.comparison import Comparison
    from rearing.keeping.hatch_nights import HatchRow
    from rearing.keeping.life import Life, Loss
    from rearing.keeping.stage_looks import LookDay
    from rearing.records.rows import MeasurementRow
    from rearing.science.proportions import Proportion

_STAGES = (
    *("brood", "x", "n", "d", "left or still in it", "l"),
    *("q", "q, low at 95 %", "q, high at 95 %", "k"),
)
_DAYS = (
    *("brood", "on", "day since the first came [d]", "n", "d", "left"),
    *("l", "l, low at 95 %", "l, high at 95 %"),
    *("q", "q, low at 95 %", "q, high at 95 %", "k"),
)


_LEDGER = (
    *("brood", "box", "came", "moved on", "lost", "left", "unaccounted"),
    *("number", "known", "last counted", "closed"),
)
_HATCH = (
    *("brood", "pot", "first night", "last night", "nights", "laid", "waiting"),
    *("hatched", "other fates", "share hatched", "low at 95 %", "high at 95 %"),
)
_PARTS = ("share", "low at 95 %", "high at 95 %")


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


def ledger_table(code: str, ledger: BroodLedger) -> Table:
    """Return each box's bookkeeping; what came is the sum of the next five figures."""
    rows = (
        (
            *(code, x.label, x.came, x.moved, x.lost, x.left, x.unaccounted),
            *(x.number, "counted" if x.is_counted else "by the book"),
            *(x.counted_on, x.closed),
        )
        for x in ledger.boxes
    )
    return table(f"Ledger of {code}", _LEDGER, rows)


def hatch_table(code: str, rows: Iterable[HatchRow]) -> Table:
    """Return what hatched of each pot's eggs, with the interval of the share."""
    return table(f"Hatch of {code}", _HATCH, (_hatch(code, x) for x in rows))


def _hatch(code: str, x: HatchRow) -> tuple[Value, ...]:
    own = (x.first, x.last, x.nights, x.laid, x.waiting, x.hatched, x.other)
    return (code, x.pot, *own, *_share(x.share))


def looks_table(code: str, looks: Iterable[LookDay]) -> Table:
    """Return how many were seen in which stage on each day of looking."""
    rows = (
        (code, look.on, stage, number, look.resting, ", ".join(look.boxes))
        for look in looks
        for stage, number in look.numbers.items()
    )
    headings = ("brood", "day", "stage", "number", "at rest, of all stages", "boxes")
    return table(f"Looks at {code}", headings, rows)


def measured_table(code: str, rows: Iterable[MeasurementRow]) -> Table:
    """Return what was measured; the unit stands beside each figure."""
    told = (
        (code, x.on, x.what, x.value, x.what.unit, x.stage, x.animal, x.note)
        for x in rows
    )
    headings = ("brood", "day", "what", "figure", "unit", "stage", "animal", "note")
    return table(f"Measured of {code}", headings, told)


def beside_table(found: Comparison) -> Table:
    """Return hatch, survival, losses and pace of two broods."""
    one, other = found.one, found.other
    rows: list[tuple[Value, ...]] = []
    for what, first, second in (
        ("hatched", one.life.hatch, other.life.hatch),
        ("survived of those kept", one.life.survived, other.life.survived),
    ):
        for part, a, b in zip(_PARTS, _share(first), _share(second), strict=True):
            rows.append((f"{what}, {part}", a, b))
    rows += [(f"lost: {x.why}", x.one, x.other) for x in found.losses]
    rows += [
        (f"half seen in {stage} [d]", one.pace.get(stage), other.pace.get(stage))
        for stage in dict.fromkeys((*one.pace, *other.pace))
    ]
    if found.test is not None:
        rows += [("log-rank chi-square", found.test.chi_square, None)]
        rows += [("log-rank p", found.test.p, None)]
    name = f"{one.code} beside {other.code}"
    return table(name, ("what", one.code, other.code), rows)


def _share(found: Proportion | None) -> tuple[Value, ...]:
    return (None,) * 3 if found is None else (found.share, found.low, found.high)

"""How a brood's numbers are written: sentences, table lines, and what is drawn."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line
from rearing.desk.widgets.look_columns import LookColumn
from rearing.desk.widgets.survival_plot import Stair, Survival
from rearing.keeping.comparison import beside_rows
from rearing.keeping.moments import counted, short_day, span_words, stages_words

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from rearing.keeping.box_ledgers import BroodLedger
    from rearing.keeping.comparison import Comparison, Side
    from rearing.keeping.hatch_nights import HatchRow
    from rearing.keeping.heads import Heads
    from rearing.keeping.life import LifeDay, Loss
    from rearing.keeping.numbers_page import NumbersPage
    from rearing.keeping.stage_looks import LookDay
    from rearing.science.life_table import LifeRow
    from rearing.science.proportions import Proportion


def _numbers(*names: str) -> tuple[Column, ...]:
    return tuple(Column(name, Ink.NUMBER) for name in names)


LEDGER_COLUMNS = (
    Column("Box", Ink.CODE),
    *_numbers("Came", "Moved on", "Lost", "Left", "Unacc.", "Here"),
    Column("Known", Ink.KNOWN, stretch=True),
)
HATCH_COLUMNS = (
    Column("Pot", Ink.CODE),
    Column("Laid", Ink.TEXT),
    *_numbers("Eggs", "Hatched", "Waiting"),
    Column("Share", Ink.KNOWN, stretch=True),
)
LOSS_COLUMNS = (
    Column("To what", Ink.TEXT),
    *_numbers("Number"),
    Column("At which stage", Ink.KNOWN, stretch=True),
)
NO_EGGS = "No eggs of its own: they came as larvae or later."
LIFE_COLUMNS = (
    Column("x", Ink.CODE),
    *_numbers("n", "d", "left", "l", "k", "q"),
    Column("q, 95 in 100", Ink.KNOWN, stretch=True),
)
DAY_COLUMNS = (
    Column("Day", Ink.TEXT),
    *_numbers("x", "n", "d", "left", "q", "k", "l"),
    Column("l, 95 in 100", Ink.KNOWN, stretch=True),
)
BESIDE_COLUMNS = (
    Column("What", Ink.TEXT),
    Column("This", Ink.TEXT),
    Column("Other", Ink.TEXT, stretch=True),
)
FIGURE_COLUMNS = (
    Column("What", Ink.TEXT),
    Column("Stage", Ink.CODE),
    *_numbers("Number", "Mean"),
    Column("Range", Ink.KNOWN, stretch=True),
)
FIGURE_KEYS = (KeyOffer("Enter", "correct one"),)


def line(key: object, *cells: str, of: Sequence[Column]) -> Line:
    """Return one ruled line that is read out with its columns' names."""
    said = ", ".join(
        f"{column.name} {cell}" for column, cell in zip(of, cells, strict=True) if cell
    )
    return Line(key=key, cells=cells, sentence=said)


def names_line(of: Sequence[Column]) -> Line:
    """Return the line that names the columns, above the others."""
    names = tuple(column.name for column in of)
    return Line(key="names", cells=names, sentence=", ".join(names))


# the ledger


def ledger_lines(ledger: BroodLedger) -> tuple[Line, ...]:
    """Return a line for each box that ever held any."""
    lines = []
    for at, box in enumerate(ledger.boxes):
        known = "by the book"
        if box.counted_on is not None:
            day = short_day(box.counted_on)
            known = f"counted {day}" if box.is_counted else f"by the book since {day}"
        known = "closed" if box.closed else known
        numbers = (box.came, box.moved, box.lost, box.left, box.unaccounted)
        cells = (box.label, *(str(n) for n in numbers), str(box.number), known)
        lines.append(line(at, *cells, of=LEDGER_COLUMNS))
    return tuple(lines)


def ledger_words(ledger: BroodLedger) -> str:
    """Return where the missing went: what came, and every way it went."""
    if not ledger.came:
        return "No larva came yet: H at a pot enters a hatch."
    parts = [
        f"{ledger.alive} alive ({ledger.counted} counted, {ledger.by_book} by the "
        "book)",
        f"{ledger.lost} lost with a record",
        f"{ledger.left} left alive",
        f"{ledger.unaccounted} unaccounted",
    ]
    came = counted(ledger.came - ledger.by_count, "larva", "larvae")
    more = f", and {ledger.by_count} more that were counted" if ledger.by_count else ""
    return f"Of {came} that came{more}: {', '.join(parts)}."


# hatch


def hatch_lines(rows: Iterable[HatchRow]) -> tuple[Line, ...]:
    """Return a line for each pot, with the nights whose eggs lie in it."""
    lines = []
    for at, row in enumerate(rows):
        nights = "not known"
        if row.first is not None and row.last is not None:
            nights = span_words(row.first, row.last)
        share = share_words(row.share) if row.share else "none decided yet"
        numbers = (row.laid, row.hatched, row.waiting)
        cells = (row.pot, nights, *(str(n) for n in numbers), share)
        lines.append(line(at, *cells, of=HATCH_COLUMNS))
    return tuple(lines)


def share_words(share: Proportion) -> str:
    """Return a share with its interval: 86 % (77 to 92)."""
    low, high = share.low * 100, share.high * 100
    return f"{share.share * 100:.0f} % ({low:.0f} to {high:.0f})"


# life


def loss_lines(losses: Iterable[Loss]) -> tuple[Line, ...]:
    """Return a line for each cause, with the stages at which it took them."""
    of_cause: dict[str, list[Loss]] = {}
    for loss in losses:
        of_cause.setdefault(loss.why, []).append(loss)
    lines = []
    for why, some in of_cause.items():
        number = sum(loss.number for loss in some)
        stages = ", ".join(f"{loss.stage} {loss.number}" for loss in some)
        lines.append(line(why, why, str(number), stages, of=LOSS_COLUMNS))
    return tuple(lines)


def life_lines(rows: Iterable[LifeRow]) -> tuple[Line, ...]:
    """Return the life table by stage."""
    lines = []
    for row in rows:
        limits = f"{row.q_low:.2f} to {row.q_high:.2f}"
        k = "" if row.k is None else f"{row.k:.3f}"
        numbers = (str(row.n), str(row.d), str(row.left))
        cells = (row.x, *numbers, f"{row.l:.3f}", k, f"{row.q:.3f}", limits)
        lines.append(line(row.x, *cells, of=LIFE_COLUMNS))
    return tuple(lines)


def day_lines(days: Iterable[LifeDay]) -> tuple[Line, ...]:
    """Return the life table by day on which any died."""
    lines = []
    for day in days:
        limits = f"{day.l_low:.2f} to {day.l_high:.2f}"
        k = "" if day.k is None else f"{day.k:.3f}"
        numbers = (str(day.day), str(day.n), str(day.d), str(day.left))
        rates = (f"{day.q.share:.3f}", k, f"{day.l:.3f}", limits)
        lines.append(line(day.on, short_day(day.on), *numbers, *rates, of=DAY_COLUMNS))
    return tuple(lines)


def survival(side: Side, *, name: str = "") -> Survival | None:
    """Return a brood's curve to be drawn."""
    curve = side.curve
    if curve is None:
        return None
    stairs = tuple(Stair(s.day, s.l, s.l_low, s.l_high) for s in curve.steps)
    return Survival(name, stairs, tuple(day for day, _ in curve.left), curve.until)


def survival_words(side: Side) -> str:
    """Return what the curve shows."""
    curve = side.curve
    if curve is None:
        return "Nothing hatched yet, so there is nothing to follow."
    if not curve.steps:
        return f"None of {curve.came} was lost in {counted(curve.until, 'day')}."
    last = curve.steps[-1]
    worst = max(curve.steps, key=lambda step: step.d)
    low, high = last.l_low * 100, last.l_high * 100
    said = (
        f"After {curve.until} days {last.l * 100:.0f} % of {curve.came} live or left "
        f"alive ({low:.0f} to {high:.0f} at 95 in 100). The worst day was "
        f"{short_day(worst.on)}: {worst.d} of {worst.n}."
    )
    if curve.left:
        left = sum(number for _, number in curve.left)
        said += f" {left} that left alive count until the day they left."
    return said


# stages and heads


def look_columns(looks: Iterable[LookDay]) -> tuple[LookColumn, ...]:
    """Return the days of looking to be drawn."""
    return tuple(
        LookColumn(look.on, tuple((str(s), n) for s, n in look.numbers.items()))
        for look in looks
    )


def looks_words(looks: Sequence[LookDay]) -> str:
    """Return the last look in words, or what to do first."""
    if not looks:
        return "No stage was looked at yet: G at a box."
    last = looks[-1]
    parts = stages_words(last.numbers)
    days = counted(len(looks), "day")
    return f"Looked at on {days}; last {short_day(last.on)}: {parts}."


def heads_words(heads: Heads) -> str:
    """Return how the heads were placed."""
    series = heads.placed.series
    first, last = heads.groups[0].instar, heads.groups[-1].instar
    said = (
        f"{len(heads.widths)} heads lie in L{first} to L{last}, each "
        f"{series.ratio:.2f} times as wide as the one before."
    )
    if not heads.told:
        said += f" The smallest are taken as L{first}; note a stage to say otherwise."
    if heads.unsure:
        said += f" {heads.unsure} lie between two instars."
    if heads.against:
        said += f" {heads.against} were noted as another instar."
    if any(group.is_uneven for group in heads.groups):
        said += " One step is uneven: perhaps an instar was missed."
    return said


def figure_lines(page: NumbersPage) -> tuple[Line, ...]:
    """Return what was measured, by kind and stage."""
    lines = []
    for one in page.figures:
        span = f"{one.low:g} to {one.high:g} {one.what.unit}"
        cells = (
            str(one.what),
            str(one.stage or "not noted"),
            str(one.number),
            f"{one.mean:.3g}",
        )
        plain = line((one.what, one.stage), *cells, span, of=FIGURE_COLUMNS)
        lines.append(replace(plain, keys=FIGURE_KEYS))
    return tuple(lines)


# two broods


def beside_lines(found: Comparison) -> tuple[Line, ...]:
    """Return hatch, survival, losses and pace, one brood beside the other."""
    head = ("brood", found.one.code, found.other.code)
    rows = [
        (f"{what[:1].upper()}{what[1:]}", one, other)
        for what, one, other in (head, *beside_rows(found, share_words))
    ]
    return tuple(line(at, *cells, of=BESIDE_COLUMNS) for at, cells in enumerate(rows))

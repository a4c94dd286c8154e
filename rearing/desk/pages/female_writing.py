"""How a female's page is written: the index line, head, chain, eggs and pots."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.desk.pages.brood_windows import is_overdue, stair
from rearing.desk.pages.brood_writing import POT_KEYS
from rearing.desk.typed import day_words, time_words
from rearing.desk.widgets.chain import Step
from rearing.desk.widgets.header import Heading
from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line
from rearing.desk.widgets.night_bars import NightBar
from rearing.desk.widgets.windows_plot import WindowRow
from rearing.keeping.moments import counted
from rearing.terms import EggFate, Mated, MothFate, Quality, Wings

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from rearing.keeping.females import Mother, MotherLine, PotLine
    from rearing.records.rows import LayingRow, PairingRow
    from rearing.sheets.sheet import Figure

INDEX_COLUMNS = (
    Column("Code", Ink.CODE),
    Column("Eggs", Ink.KNOWN),
    Column("State", Ink.TEXT, stretch=True),
)
EGG_COLUMNS = (
    Column("Night", Ink.TEXT),
    Column("Eggs", Ink.NUMBER),
    Column("Pot and note", Ink.KNOWN),
)
POT_COLUMNS = (
    Column("Pot", Ink.CODE),
    Column("Place", Ink.TEXT),
    Column("Waiting", Ink.NUMBER),
    Column("Of", Ink.KNOWN),
    Column("Came of it", Ink.TEXT, stretch=True),
)
_EGG_KEYS = (KeyOffer("C", "correct the number"),)
_MARKS = {Quality.EXACT: "", Quality.ABOUT: "~", Quality.AT_LEAST: "≥ "}
_LONGEST_HOLE = 14


def index_lines(lines: Iterable[MotherLine]) -> Iterator[Line]:
    """Return the index, with a heading where those without eggs begin."""
    before: MotherLine | None = None
    for line in lines:
        begins = line.left_no_eggs and not (before and before.left_no_eggs)
        yield _index_line(line, "Gone without eggs" if begins else "")
        before = line


def _index_line(line: MotherLine, heading: str) -> Line:
    code = line.code if line.sign in line.code else f"{line.sign} {line.code}"
    eggs = counted(line.eggs, "egg") if line.nights else "no eggs"
    nights = f" in {counted(line.nights, 'night')}" if line.nights else ""
    return Line(
        key=line.id,
        cells=(code, eggs, f"{line.short}, {line.state}"),
        sentence=f"{code}, {line.taxon}, {line.state}: {eggs}{nights}",
        heading=heading,
    )


def heading(mother: Mother) -> Heading:
    """Return the head of her page."""
    nights = len({laying.evening for laying in mother.layings})
    verdict = f"{counted(mother.eggs, 'egg')}, {counted(nights, 'night')}"
    return Heading(
        code=_code(mother),
        species=mother.taxon,
        words=mother.sheet.english if mother.sheet.is_written else "",
        verdict=verdict if nights else "no eggs entered",
        under=mother.state,
    )


def _code(mother: Mother) -> str:
    code, sign = mother.row.code, mother.sign
    return code if sign in code else f"{sign} {code}"


# from


def chain_steps(mother: Mother, zone: dt.tzinfo) -> tuple[Step, ...]:
    """Return the steps from her night or brood to the broods of her eggs."""
    steps = []
    row = mother.row
    if row.night_id is not None:
        night, _, rest = mother.origin.partition(", ")
        words = f"{night[:1].upper()}{night[1:]}"
        steps.append(Step(words, rest, "lamp_night", row.night_id))
    elif row.brood_id is not None:
        words = mother.origin.partition(", ")[2]
        steps.append(Step(words, "reared", "brood", row.brood_id))
    kept = _kept_words(mother, zone)
    steps.append(Step(_code(mother), kept))
    if mother.layings:
        nights = len({laying.evening for laying in mother.layings})
        each = ", ".join(str(laying.number) for laying in mother.layings)
        words = f"{counted(mother.eggs, 'egg')}, {counted(nights, 'night')}"
        steps.append(Step(words, each))
    steps += [
        Step(brood.code, "her brood", "brood", brood.id) for brood in mother.broods
    ]
    return tuple(steps)


def _kept_words(mother: Mother, zone: dt.tzinfo) -> str:
    row = mother.row
    if row.kept_at is not None:
        clock = time_words(row.kept_at.astimezone(zone).time())
        return f"kept {clock}" + (f", {row.container}" if row.container else "")
    verb = "kept" if row.night_id is not None else "emerged"
    return f"{verb} {day_words(row.since)}"


def origin_words(mother: Mother) -> str:
    """Return what was noted of her when she came, and what became of her."""
    row = mother.row
    said = []
    if row.wings is not Wings.NOT_NOTED:
        said.append(f"Wings {row.wings}")
    if row.permit:
        said.append(f"permit {row.permit}")
    if row.note:
        said.append(row.note)
    if row.fate is not None:
        why = f": {row.fate_note}" if row.fate_note else ""
        said.append(f"{mother.state}{why}")
    words = "; ".join(said)
    return f"{words[:1].upper()}{words[1:]}." if words else ""


# mating


def mating_words(mother: Mother, zone: dt.tzinfo) -> str:
    """Return the sign of mating and each pairing, in sentences."""
    sign = {
        Mated.YES: "Taken to have mated.",
        Mated.NO: "Taken not to have mated: a virgin calls, and her eggs stay empty.",
        Mated.UNKNOWN: "Whether she mated is not known; eggs that fill will tell.",
    }[mother.row.mated]
    if mother.row.fate is MothFate.NOT_FEMALE:
        sign = ""
    pairings = [_pairing(mother, pairing, zone) for pairing in mother.pairings]
    return "\n".join(part for part in (sign, *pairings) if part)


def _pairing(mother: Mother, pairing: PairingRow, zone: dt.tzinfo) -> str:
    code = mother.mates.get(pairing.sire_id or 0)
    sire = f"× {code}" if code else f"× ♂ {pairing.sire_kind}"
    where = f", {pairing.where}" if pairing.where else ""
    times = [
        f"{word} {moment.astimezone(zone):%H:%M}"
        for word, moment in (
            ("coupled", pairing.coupled_at),
            ("parted", pairing.parted_at),
        )
        if moment is not None
    ]
    told = f" ({', '.join(times)})" if times else ""
    note = f": {pairing.note}" if pairing.note else ""
    return f"{sire}, night of {day_words(pairing.evening)}{where}{told}{note}"


# eggs


def egg_lines(mother: Mother) -> tuple[Line, ...]:
    """Return a line a laying, its night in words."""
    labels = {line.pot.row.id: line.pot.row.label for line in mother.pots}
    return tuple(_egg_line(laying, labels) for laying in mother.layings)


def _egg_line(laying: LayingRow, labels: dict[int, str]) -> Line:
    night = day_words(laying.evening, year=False)
    number = f"{_MARKS[laying.quality]}{laying.number}"
    pot = f"pot {labels[laying.pot_id]}" if laying.pot_id in labels else ""
    beside = f"{pot}: {laying.note}" if laying.note else pot
    return Line(
        key=laying.id,
        cells=(night, number, beside),
        sentence=f"Night of {night}: {number} eggs, {beside}",
        keys=_EGG_KEYS,
    )


def egg_bars(mother: Mother) -> tuple[NightBar, ...]:
    """Return a bar a night, with the nights between that nobody wrote down."""
    by_night: dict[dt.date, list[LayingRow]] = {}
    for laying in mother.layings:
        by_night.setdefault(laying.evening, []).append(laying)
    return tuple(_bars(by_night))


def _bars(by_night: dict[dt.date, list[LayingRow]]) -> Iterator[NightBar]:
    before: dt.date | None = None
    for evening in sorted(by_night):
        if before is not None and (evening - before).days <= _LONGEST_HOLE:
            for late in range(1, (evening - before).days):
                yield NightBar(before + dt.timedelta(days=late), None)
        own = by_night[evening]
        vague = next((x for x in own if x.quality is not Quality.EXACT), own[0])
        number = sum(laying.number for laying in own)
        yield NightBar(evening, number, _MARKS[vague.quality])
        before = evening


def usual_words(mother: Mother) -> str:
    """Return what her kind lays, as far as its sheet tells."""
    said = []
    for figure, word in (
        (mother.sheet.eggs.per_female, "eggs"),
        (mother.sheet.eggs.nights, "nights"),
    ):
        if figure is not None:
            said.append(f"{_range(figure)} {word} ({figure.tag}: {figure.source})")
    return f"Usual: {'; '.join(said)}." if said else ""


def _range(figure: Figure) -> str:
    low, high = f"{figure.low:g}", f"{figure.high:g}"
    return low if low == high else f"{low} to {high}"


# pots


def pot_lines(mother: Mother) -> tuple[Line, ...]:
    """Return a line for each of her pots."""
    return tuple(_pot_line(line) for line in mother.pots)


def _pot_line(line: PotLine) -> Line:
    pot = line.pot
    closed = pot.row.closed_on
    place = f"closed {day_words(closed, year=False)}" if closed else line.place
    outcome = fates_words(line)
    return Line(
        key=("pot", pot.row.id),
        cells=(
            f"pot {pot.row.label}",
            place,
            str(line.waiting),
            f"of {pot.eggs} waiting",
            outcome,
        ),
        sentence=(
            f"pot {pot.row.label}, {place}: {line.waiting} of {pot.eggs} eggs waiting."
            f" {outcome}"
        ),
        keys=POT_KEYS if closed is None else POT_KEYS[-1:],
    )


def fates_words(line: PotLine) -> str:
    """Return what became of the eggs of a pot: 35 hatched, 6 collapsed."""
    pot = line.pot
    parts = [f"{pot.of(fate)} {fate}" for fate in EggFate if pot.of(fate)]
    if pot.unhoused > 0:
        parts.append(f"{pot.unhoused} still in the pot")
    return ", ".join(parts)


def hatch_rows(mother: Mother) -> tuple[WindowRow, ...]:
    """Return a stair for each pot that waits."""
    rows = []
    for line in mother.pots:
        if line.window is not None:
            name = f"Pot {line.pot.row.label}, {counted(line.waiting, 'egg')}"
            bands = tuple(stair(line.window))
            far = "" if bands else "further off than is looked"
            rows.append(WindowRow(name, bands, remark=far))
    return tuple(rows)


def hatch_words(mother: Mother) -> str:
    """Return the share hatched so far with its interval."""
    share = mother.hatch_share
    if share is None:
        return ""
    settled = mother.eggs - mother.waiting
    wait = f"; {mother.waiting} still wait" if mother.waiting else ""
    low, high = round(share.low * 100), round(share.high * 100)
    return (
        f"Hatched {mother.hatched} of {settled}, {share.share * 100:.0f} % "
        f"({low} to {high} at 95 in 100){wait}."
    )


def overdue_words(mother: Mother, on: dt.date) -> str:
    """Return which pots should be through, and what to do; empty when none is."""
    late = [line.pot.row.label for line in mother.pots if is_overdue(line.window, on)]
    if not late:
        return ""
    pots = "Pot" if len(late) == 1 else "Pots"
    return f"{pots} {', '.join(late)}: overdue. Look, and H enters what became of them."


def window_basis(lines: Iterable[PotLine]) -> str:
    """Return what the hatch windows rest on, each thing said once."""
    told: dict[str, None] = {}
    for line in lines:
        if line.forecast is not None:
            told[line.forecast.temperatures] = None
            told[line.forecast.need_of_heat] = None
    return " ".join(f"{sentence.rstrip('.')}." for sentence in told if sentence)

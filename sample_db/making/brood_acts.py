"""A brood of the sample season: its eggs, its boxes, and what was done to them."""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import TYPE_CHECKING, Any

from rearing.keeping import boxes, care, eggs, mothers, notes
from rearing.records.rows import LayingRow
from rearing.terms import (
    BoxKind,
    Cause,
    EggFate,
    ExitKind,
    Known,
    Quality,
    Sex,
    Sire,
    Stage,
    Wings,
)
from sample_db.making.night_acts import let_moth_go
from sample_db.making.scribe import Act, Scribe, only

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from rearing.records.journal import Entry

USUAL = {
    "eggs": dt.time(8, 10),
    "fates": dt.time(8, 20),
    "boxes": dt.time(8, 30),
    "moves": dt.time(8, 40),
    "carried": dt.time(9),
    "losses": dt.time(17),
    "counts": dt.time(17, 30),
    "stages": dt.time(17, 40),
    "left": dt.time(18),
    "emerged": dt.time(10, 30),
    "visits": dt.time(20),
    "closed": dt.time(21, 20),
    "notes": dt.time(21, 40),
}
"""When what carries no time of its own was entered."""


def brood_acts(scribe: Scribe, told: Mapping[str, Any]) -> Iterator[Act]:
    """Return the entries of one brood, each at the moment it was made."""
    code = told["brood"]
    only(told, "brood", "taxon", "mother", "pairing", "wanderings", *USUAL)
    if pairing := told.get("pairing"):
        at = scribe.local(pairing.get("entered", pairing["coupled"]))
        yield Act(at, 0, partial(_pair, scribe, told["mother"], pairing))
    for line in told["eggs"]:
        morning = line["night"] + dt.timedelta(days=1)
        at = scribe.moment(morning, USUAL["eggs"])
        yield Act(at, 0, partial(_eggs, scribe, told, line))
    for rank, (kind, do) in enumerate(_DOINGS.items(), start=1):
        for line in told.get(kind, []):
            at = _when_entered(scribe, kind, line)
            yield Act(at, rank, partial(do, scribe, code, line))
    for line in told.get("wanderings", []):
        yield from _wandering(scribe, code, line)


def _when_entered(scribe: Scribe, kind: str, line: Mapping[str, Any]) -> dt.datetime:
    return scribe.moment(line["on"], line.get("at", USUAL[kind]))


def _when(scribe: Scribe, line: Mapping[str, Any]) -> boxes.When:
    at = scribe.moment(line["on"], line["at"]) if "at" in line else None
    return boxes.When(line["on"], at)


def _box(scribe: Scribe, code: str, label: str) -> int:
    return scribe.id_of("box", f"{code} {label}")


def _pot(scribe: Scribe, code: str, number: object) -> int:
    return scribe.id_of("pot", f"{code} {number}")


def _pair(
    scribe: Scribe, dam: str, pairing: Mapping[str, Any], entry: Entry
) -> None:
    only(
        pairing,
        *("evening", "coupled", "parted", "entered", "where", "site", "sire"),
        *("sire_kind", "note"),
    )
    sire, site = pairing.get("sire"), pairing.get("site")
    parted = pairing.get("parted")
    made = mothers.record_pairing(
        scribe.book,
        entry,
        dam_id=scribe.id_of("moth", dam),
        mate=mothers.Mate(
            Sire.KNOWN if sire else Sire(pairing["sire_kind"]),
            scribe.id_of("moth", sire) if sire else None,
        ),
        evening=pairing["evening"],
        coupling=mothers.Coupling(
            coupled_at=scribe.local(pairing["coupled"]),
            parted_at=scribe.local(parted) if parted else None,
            where=pairing.get("where"),
            site_id=scribe.id_of("site", site) if site else None,
        ),
        note=pairing.get("note"),
    )
    scribe.name("pairing", dam, made.new_id)


def _eggs(
    scribe: Scribe, told: Mapping[str, Any], line: Mapping[str, Any], entry: Entry
) -> None:
    only(line, "night", "number", "pot", "place", "note")
    code, mother = told["brood"], told["mother"]
    pot = f"{code} {line['pot']}"
    into = (
        eggs.Pot(pot_id=scribe.id_of("pot", pot))
        if scribe.knows("pot", pot)
        else eggs.Pot(place_id=scribe.id_of("place", line["place"]))
    )
    pairing = scribe.id_of("pairing", mother) if "pairing" in told else None
    made = eggs.record_eggs(
        scribe.book,
        entry,
        parents=eggs.Parents(scribe.id_of("moth", mother), pairing),
        evening=line["night"],
        number=line["number"],
        pot=into,
        code=None if scribe.knows("brood", code) else code,
        note=line.get("note"),
    )
    laying = scribe.book.one(LayingRow, made.new_id)
    scribe.name("brood", code, laying.brood_id)
    scribe.name("pot", pot, laying.pot_id)


def _fates(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    named = {fate.value.replace(" ", "_"): fate for fate in EggFate}
    only(line, "on", "at", "pot", "known", "note", *named)
    for name, fate in named.items():
        if name in line:
            eggs.record_fate(
                scribe.book,
                entry,
                pot_id=_pot(scribe, code, line["pot"]),
                fate=fate,
                number=line[name],
                on=line["on"],
                known=Known(line.get("known", Known.SEEN.value)),
                note=line.get("note"),
            )


def _open(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    only(line, "on", "at", "box", "kind", "place", "host", "tree", "note")
    tree = line.get("tree")
    made = boxes.open_box(
        scribe.book,
        entry,
        brood_id=scribe.id_of("brood", code),
        kind=BoxKind(line["kind"]),
        place_id=scribe.id_of("place", line["place"]),
        when=_when(scribe, line),
        label=line["box"],
        host=line.get("host"),
        tree_id=scribe.id_of("tree", tree) if tree else None,
        note=line.get("note"),
    )
    scribe.name("box", f"{code} {line['box']}", made.new_id)


def _move(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    only(line, "on", "at", "pot", "from", "to", "number", "stage", "note")
    origin = (
        boxes.Origin(pot_id=_pot(scribe, code, line["pot"]))
        if "pot" in line
        else boxes.Origin(box_id=_box(scribe, code, line["from"]))
    )
    boxes.move_animals(
        scribe.book,
        entry,
        origin=origin,
        to_box_id=_box(scribe, code, line["to"]),
        number=line["number"],
        when=_when(scribe, line),
        stage=Stage(line["stage"]) if "stage" in line else None,
        note=line.get("note"),
    )


def _carry(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    only(line, "on", "at", "pot", "box", "to")
    box, pot = line.get("box"), line.get("pot")
    boxes.shift(
        scribe.book,
        entry,
        place_id=scribe.id_of("place", line["to"]),
        at=entry.now,
        box_id=_box(scribe, code, box) if box is not None else None,
        pot_id=_pot(scribe, code, pot) if pot is not None else None,
    )


def _wandering(scribe: Scribe, code: str, line: Mapping[str, Any]) -> Iterator[Act]:
    """Carry something out every morning and in every evening, for some days."""
    only(line, "pot", "from", "to", "in_at", "in", "out_at", "out")
    day = line["from"]
    while day <= line["to"]:
        for clock, place in ((line["out_at"], line["out"]), (line["in_at"], line["in"])):
            if day == line["from"] and clock == line["out_at"]:
                continue
            carried = {"on": day, "at": clock, "pot": line["pot"], "to": place}
            at = scribe.moment(day, clock)
            yield Act(at, 0, partial(_carry, scribe, code, carried))
        day += dt.timedelta(days=1)


def _lose(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    only(line, "on", "at", "box", "number", "cause", "stage", "known", "note")
    care.lose(
        scribe.book,
        entry,
        box_id=_box(scribe, code, line["box"]),
        lost=care.Lost(
            line["number"],
            Cause(line["cause"]),
            Stage(line["stage"]) if "stage" in line else None,
            line.get("note"),
        ),
        when=_when(scribe, line),
        known=Known(line.get("known", Known.SEEN.value)),
    )


def _count(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    only(line, "on", "at", "box", "number", "quality", "dead", "note")
    care.count_box(
        scribe.book,
        entry,
        box_id=_box(scribe, code, line["box"]),
        number=line["number"],
        when=_when(scribe, line),
        quality=Quality(line.get("quality", Quality.EXACT.value)),
        losses=[
            care.Lost(
                dead["number"],
                Cause(dead["cause"]),
                Stage(dead["stage"]) if "stage" in dead else None,
                dead.get("note"),
            )
            for dead in line.get("dead", [])
        ],
        note=line.get("note"),
    )


def _stages(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    named = {stage.value: stage for stage in Stage}
    only(line, "on", "at", "box", "resting", "note", *named)
    resting = line.get("resting", {})
    care.look_at_stages(
        scribe.book,
        entry,
        box_id=_box(scribe, code, line["box"]),
        seen={
            stage: care.Seen(line[name], resting.get(name, 0))
            for name, stage in named.items()
            if name in line
        },
        when=_when(scribe, line),
        note=line.get("note"),
    )


def _leave(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    only(line, "on", "at", "box", "how", "number", "stage", "to", "where", "note")
    care.let_leave(
        scribe.book,
        entry,
        box_id=_box(scribe, code, line["box"]),
        kind=ExitKind(line["how"]),
        number=line["number"],
        when=_when(scribe, line),
        stage=Stage(line["stage"]) if "stage" in line else None,
        receiver=care.Receiver(line.get("to"), line.get("where")),
        note=line.get("note"),
        # She was asked each time, and said yes.
        sure=True,
    )


def _emerge(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Enter moths that came out: they leave the box, those that matter get a code."""
    only(line, "on", "at", "box", "male", "female", "wings", "coded", "went", "note")
    numbers = {Sex.MALE: line.get("male", 0), Sex.FEMALE: line.get("female", 0)}
    signs = " ".join(f"{n}{sex.sign}" for sex, n in numbers.items() if n)
    care.let_leave(
        scribe.book,
        entry,
        box_id=_box(scribe, code, line["box"]),
        kind=ExitKind.EMERGED,
        number=sum(numbers.values()),
        when=_when(scribe, line),
        stage=Stage.ADULT,
        note="; ".join(filter(None, (signs, line.get("note")))),
    )
    for sex in (sex for sex, n in numbers.items() for _ in range(n) if _coded(line)):
        made = mothers.record_emergence(
            scribe.book,
            entry,
            brood_id=scribe.id_of("brood", code),
            sex=sex,
            on=line["on"],
            wings=Wings(line.get("wings", Wings.FRESH.value)),
            note=line.get("note"),
        )
        moth = made.sentence.split(" emerged ")[0]
        scribe.name("moth", moth, made.new_id)


def _coded(line: Mapping[str, Any]) -> bool:
    return bool(line.get("coded", True))


def _visit(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    only(line, "on", "at", "box", "pot", "what", "host", "grams", "note")
    box, pot = line.get("box"), line.get("pot")
    host, grams = line.get("host"), line.get("grams")
    care.visit(
        scribe.book,
        entry,
        what=care.Visit(line["what"]),
        when=boxes.When(line["on"], entry.now),
        box_id=_box(scribe, code, box) if box is not None else None,
        pot_id=_pot(scribe, code, pot) if pot is not None else None,
        leaf=care.Leaf(host, grams) if host or grams else None,
        note=line.get("note"),
    )


def _close(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    only(line, "on", "at", "box", "pot", "why")
    if "pot" in line:
        eggs.close_pot(
            scribe.book, entry, pot_id=_pot(scribe, code, line["pot"]), on=line["on"]
        )
        return
    boxes.close_box(
        scribe.book,
        entry,
        box_id=_box(scribe, code, line["box"]),
        when=_when(scribe, line),
        why=line.get("why"),
    )


def _note(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    only(line, "on", "at", "box", "text")
    box = line.get("box")
    notes.add_note(
        scribe.book,
        entry,
        subject="box" if box else "brood",
        subject_id=_box(scribe, code, box) if box else scribe.id_of("brood", code),
        text=line["text"],
        on=line["on"],
    )


_DOINGS: dict[str, Callable[..., None]] = {
    "fates": _fates,
    "boxes": _open,
    "moves": _move,
    "carried": _carry,
    "losses": _lose,
    "counts": _count,
    "stages": _stages,
    "left": _leave,
    "emerged": _emerge,
    "visits": _visit,
    "closed": _close,
    "notes": _note,
}

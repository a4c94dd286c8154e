"""What is done at the boxes of a brood, each line of a source one entry."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rearing.keeping import boxes, care, eggs, measurements, mothers, notes
from rearing.terms import (
    BoxKind,
    Cause,
    ExitKind,
    Known,
    Measured,
    Quality,
    Sex,
    Stage,
    Visit,
    Wings,
)
from sample_db.making.scribe import Scribe, only

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rearing.records.journal import Entry


def when_done(scribe: Scribe, line: Mapping[str, Any]) -> boxes.When:
    """Return the day of a line, and its moment where one is told."""
    at = scribe.moment(line["on"], line["at"]) if "at" in line else None
    return boxes.When(line["on"], at)


def box_id(scribe: Scribe, code: str, label: str) -> int:
    """Return a box of a brood by its label."""
    return scribe.id_of("box", f"{code} {label}")


def pot_id(scribe: Scribe, code: str, number: object) -> int:
    """Return an egg pot of a brood by its number."""
    return scribe.id_of("pot", f"{code} {number}")


def open_box(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Open a box, a cage, a sleeve or a tub."""
    only(line, "on", "at", "box", "kind", "place", "host", "tree", "note")
    tree = line.get("tree")
    made = boxes.open_box(
        scribe.book,
        entry,
        brood_id=scribe.id_of("brood", code),
        kind=BoxKind(line["kind"]),
        place_id=scribe.id_of("place", line["place"]),
        when=when_done(scribe, line),
        label=line["box"],
        host=line.get("host"),
        tree_id=scribe.id_of("tree", tree) if tree else None,
        note=line.get("note"),
    )
    scribe.name("box", f"{code} {line['box']}", made.new_id)


def move_animals(
    scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry
) -> None:
    """Move animals from a pot or a box into another."""
    only(line, "on", "at", "pot", "from", "to", "number", "stage", "note")
    origin = (
        boxes.Origin(pot_id=pot_id(scribe, code, line["pot"]))
        if "pot" in line
        else boxes.Origin(box_id=box_id(scribe, code, line["from"]))
    )
    boxes.move_animals(
        scribe.book,
        entry,
        origin=origin,
        to_box_id=box_id(scribe, code, line["to"]),
        number=line["number"],
        when=when_done(scribe, line),
        stage=Stage(line["stage"]) if "stage" in line else None,
        note=line.get("note"),
    )


def carry(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Carry a pot or a box to another place."""
    only(line, "on", "at", "pot", "box", "to")
    box, pot = line.get("box"), line.get("pot")
    boxes.shift(
        scribe.book,
        entry,
        place_id=scribe.id_of("place", line["to"]),
        at=entry.now,
        box_id=box_id(scribe, code, box) if box is not None else None,
        pot_id=pot_id(scribe, code, pot) if pot is not None else None,
    )


def lose(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Enter a loss with its cause."""
    only(line, "on", "at", "box", "number", "cause", "stage", "known", "note")
    care.lose(
        scribe.book,
        entry,
        box_id=box_id(scribe, code, line["box"]),
        lost=care.Lost(
            line["number"],
            Cause(line["cause"]),
            Stage(line["stage"]) if "stage" in line else None,
            line.get("note"),
        ),
        when=when_done(scribe, line),
        known=Known(line.get("known", Known.SEEN.value)),
    )


def count(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Enter a headcount, with the dead found at it."""
    only(line, "on", "at", "box", "number", "quality", "dead", "note")
    care.count_box(
        scribe.book,
        entry,
        box_id=box_id(scribe, code, line["box"]),
        number=line["number"],
        when=when_done(scribe, line),
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


def look_at_stages(
    scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry
) -> None:
    """Enter how many stood in which stage."""
    named = {stage.value: stage for stage in Stage}
    only(line, "on", "at", "box", "resting", "note", *named)
    resting = line.get("resting", {})
    care.look_at_stages(
        scribe.book,
        entry,
        box_id=box_id(scribe, code, line["box"]),
        seen={
            stage: care.Seen(line[name], resting.get(name, 0))
            for name, stage in named.items()
            if name in line
        },
        when=when_done(scribe, line),
        note=line.get("note"),
    )


def measure(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Enter heads, lengths or masses of the animals of a box."""
    only(line, "on", "box", "what", "values", "stage", "note")
    stage = line.get("stage")
    measurements.measure(
        scribe.book,
        entry,
        box_id=box_id(scribe, code, line["box"]),
        what=Measured(line["what"]),
        values=tuple(float(value) for value in line["values"]),
        on=line["on"],
        stage=Stage(stage) if stage else None,
        note=line.get("note"),
    )


def let_leave(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Enter animals given away or let go."""
    only(line, "on", "at", "box", "how", "number", "stage", "to", "where", "note")
    care.let_leave(
        scribe.book,
        entry,
        box_id=box_id(scribe, code, line["box"]),
        kind=ExitKind(line["how"]),
        number=line["number"],
        when=when_done(scribe, line),
        stage=Stage(line["stage"]) if "stage" in line else None,
        receiver=care.Receiver(line.get("to"), line.get("where")),
        note=line.get("note"),
        # She was asked each time, and said yes.
        sure=True,
    )


def emerge(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Enter moths that came out: they leave the box, those that matter get a code."""
    only(line, "on", "at", "box", "male", "female", "wings", "coded", "went", "note")
    numbers = {Sex.MALE: line.get("male", 0), Sex.FEMALE: line.get("female", 0)}
    signs = " ".join(f"{n}{sex.sign}" for sex, n in numbers.items() if n)
    care.let_leave(
        scribe.book,
        entry,
        box_id=box_id(scribe, code, line["box"]),
        kind=ExitKind.EMERGED,
        number=sum(numbers.values()),
        when=when_done(scribe, line),
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


def visit(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Enter a visit to a box or a pot."""
    only(line, "on", "at", "box", "pot", "what", "host", "grams", "note")
    box, pot = line.get("box"), line.get("pot")
    host, grams = line.get("host"), line.get("grams")
    care.visit(
        scribe.book,
        entry,
        what=Visit(line["what"]),
        when=boxes.When(line["on"], entry.now),
        box_id=box_id(scribe, code, box) if box is not None else None,
        pot_id=pot_id(scribe, code, pot) if pot is not None else None,
        leaf=care.Leaf(host, grams) if host or grams else None,
        note=line.get("note"),
    )


def close(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Close a box, or put a pot away."""
    only(line, "on", "at", "box", "pot", "why")
    if "pot" in line:
        eggs.close_pot(
            scribe.book, entry, pot_id=pot_id(scribe, code, line["pot"]), on=line["on"]
        )
        return
    boxes.close_box(
        scribe.book,
        entry,
        box_id=box_id(scribe, code, line["box"]),
        when=when_done(scribe, line),
        why=line.get("why"),
    )


def note(scribe: Scribe, code: str, line: Mapping[str, Any], entry: Entry) -> None:
    """Write a note beside a box, or beside the brood."""
    only(line, "on", "at", "box", "text")
    box = line.get("box")
    notes.add_note(
        scribe.book,
        entry,
        subject="box" if box else "brood",
        subject_id=box_id(scribe, code, box) if box else scribe.id_of("brood", code),
        text=line["text"],
        on=line["on"],
    )

"""A brood of the sample season: its eggs, its boxes, and what was done to them."""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import TYPE_CHECKING, Any

from rearing.keeping import eggs, mothers
from rearing.records.rows import LayingRow
from rearing.terms import EggFate, Known, Sire
from sample_db.making import box_acts
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
    "measured": dt.time(17, 50),
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


def _pair(scribe: Scribe, dam: str, pairing: Mapping[str, Any], entry: Entry) -> None:
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
                pot_id=box_acts.pot_id(scribe, code, line["pot"]),
                fate=fate,
                number=line[name],
                on=line["on"],
                known=Known(line.get("known", Known.SEEN.value)),
                note=line.get("note"),
            )


def _wandering(scribe: Scribe, code: str, line: Mapping[str, Any]) -> Iterator[Act]:
    """Carry something out every morning and in every evening, for some days."""
    only(line, "pot", "from", "to", "in_at", "in", "out_at", "out")
    day = line["from"]
    while day <= line["to"]:
        for clock, place in (
            (line["out_at"], line["out"]),
            (line["in_at"], line["in"]),
        ):
            if day == line["from"] and clock == line["out_at"]:
                continue
            carried = {"on": day, "at": clock, "pot": line["pot"], "to": place}
            at = scribe.moment(day, clock)
            yield Act(at, 0, partial(box_acts.carry, scribe, code, carried))
        day += dt.timedelta(days=1)


_DOINGS: dict[str, Callable[..., None]] = {
    "fates": _fates,
    "boxes": box_acts.open_box,
    "moves": box_acts.move_animals,
    "carried": box_acts.carry,
    "losses": box_acts.lose,
    "counts": box_acts.count,
    "stages": box_acts.look_at_stages,
    "measured": box_acts.measure,
    "left": box_acts.let_leave,
    "emerged": box_acts.emerge,
    "visits": box_acts.visit,
    "closed": box_acts.close,
    "notes": box_acts.note,
}

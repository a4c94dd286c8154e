"""The night book of the sample season: checks, what came, and who was kept."""

from __future__ import annotations

import datetime as dt
import re
from functools import partial
from typing import TYPE_CHECKING, Any

from rearing.keeping import lamp, mothers, notes
from rearing.keeping.moments import in_night
from rearing.terms import CountingMode, Known, Mated, MothFate, Quality, Sex, Wings
from sample_db.making.scribe import Act, Scribe, only

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from rearing.records.journal import Entry

_COUNT = re.compile(r"^(≥|c\. )?(\d+)([♂♀]?)$")
_SEX = {"♂": Sex.MALE, "♀": Sex.FEMALE, "": Sex.NOT_LOOKED}
_QUALITY = {"≥": Quality.AT_LEAST, "c. ": Quality.ABOUT, None: Quality.EXACT}


def night_acts(scribe: Scribe, night: Mapping[str, Any]) -> Iterator[Act]:
    """Return the entries of one lamp night, each at the moment it was made."""
    only(
        night,
        *("evening", "site", "station", "lamp", "on", "off", "mode", "start_c"),
        *("end_c", "weather", "note", "checks", "outages", "kept", "code"),
    )
    evening, zone = night["evening"], scribe.zone
    lit = in_night(evening, night["on"], zone)
    out = in_night(evening, night["off"], zone)
    # The lamp's end is known only then, so the night is written up when it is out;
    # the line of the night comes first.
    yield Act(lit, 0, partial(_night, scribe, night, lit, out))
    for outage in night.get("outages", []):
        back = in_night(evening, outage["to"], zone)
        dark = in_night(evening, outage["from"], zone)
        yield Act(back, 1, partial(_outage, scribe, night, dark, back, outage))
    for check in night.get("checks", []):
        at = in_night(evening, check["at"], zone)
        yield Act(at, 1, partial(_check, scribe, night, check, at))
    for kept in night.get("kept", []):
        at = in_night(evening, kept["at"], zone)
        yield Act(at, 2, partial(_keep, scribe, night, kept, at))
        yield from _afterwards(scribe, kept)


def night_name(night: Mapping[str, Any]) -> str:
    """Return what a night is called among the sources."""
    return f"{night['evening']} {night['site']} {night.get('station', '')}".strip()


def counted_moths(words: str) -> Iterator[tuple[str, Sex, int, Quality]]:
    """Read what came at a check: “Saturnia pyri 5♂ ≥2♀; Deilephila elpenor 3”."""
    for part in filter(None, (part.strip() for part in words.split(";"))):
        genus, species, numbers = part.split(" ", 2)
        for token in numbers.replace("c. ", "c.").split():
            found = _COUNT.match(token.replace("c.", "c. "))
            if found is None:
                raise ValueError(f"{token!r} in {part!r} is no count")
            quality, number, sign = found.groups()
            yield f"{genus} {species}", _SEX[sign], int(number), _QUALITY[quality]


def _night(
    scribe: Scribe,
    night: Mapping[str, Any],
    lit: dt.datetime,
    out: dt.datetime,
    entry: Entry,
) -> None:
    made = lamp.record_night(
        scribe.book,
        entry,
        site_id=scribe.id_of("site", night["site"]),
        evening=night["evening"],
        lamp=night["lamp"],
        station=night.get("station", ""),
        times=lamp.LampTimes(lit, out),
        mode=CountingMode(night.get("mode", CountingMode.NEW.value)),
        weather=lamp.Weather(
            night.get("start_c"), night.get("end_c"), night.get("weather")
        ),
        note=night.get("note"),
    )
    scribe.name("night", night_name(night), made.new_id)


def _outage(
    scribe: Scribe,
    night: Mapping[str, Any],
    dark: dt.datetime,
    back: dt.datetime,
    outage: Mapping[str, Any],
    entry: Entry,
) -> None:
    lamp.record_outage(
        scribe.book,
        entry,
        night_id=scribe.id_of("night", night_name(night)),
        from_at=dark,
        to_at=back,
        why=outage["why"],
    )


def _check(
    scribe: Scribe,
    night: Mapping[str, Any],
    check: Mapping[str, Any],
    at: dt.datetime,
    entry: Entry,
) -> None:
    only(check, "at", "known", "temperature_c", "note", "moths", "pressed")
    made = lamp.record_check(
        scribe.book,
        entry,
        night_id=scribe.id_of("night", night_name(night)),
        at=at,
        known=Known(check.get("known", Known.SEEN.value)),
        temperature_c=check.get("temperature_c"),
        note=check.get("note"),
    )
    for taxon, sex, number, quality in counted_moths(check.get("moths", "")):
        arrival = lamp.record_arrival(
            scribe.book,
            entry,
            check_id=made.new_id,
            taxon=taxon,
            sex=sex,
            number=number,
            quality=quality,
        )
        scribe.name("arrival", _arrival(night, taxon, sex), arrival.new_id)
    for pressed in check.get("pressed", []):
        _press(scribe, night, pressed, made.new_id, entry)


def _press(
    scribe: Scribe,
    night: Mapping[str, Any],
    pressed: Mapping[str, Any],
    check_id: int,
    entry: Entry,
) -> None:
    """Press one key several times, each a line of its own, and take some back."""
    sex = _SEX[pressed["sex"]]
    made = [
        lamp.record_arrival(
            scribe.book,
            entry,
            check_id=check_id,
            taxon=pressed["taxon"],
            sex=sex,
            number=1,
        ).new_id
        for _ in range(pressed["times"])
    ]
    for _ in range(pressed["taken_back"]):
        scribe.book.take_back(entry)
        made.pop()
    scribe.name("arrival", _arrival(night, pressed["taxon"], sex), made[-1])


def _arrival(night: Mapping[str, Any], taxon: str, sex: Sex) -> str:
    return f"{night_name(night)} {taxon} {sex.sign}"


def _keep(
    scribe: Scribe,
    night: Mapping[str, Any],
    kept: Mapping[str, Any],
    at: dt.datetime,
    entry: Entry,
) -> None:
    only(
        kept,
        *("code", "at", "taxon", "bag", "wings", "mated", "note"),
        *("second_look", "went", "notes"),
    )
    arrival = _arrival(night, kept["taxon"], Sex.FEMALE)
    made = mothers.keep_female(
        scribe.book,
        entry,
        night_id=scribe.id_of("night", night_name(night)),
        taxon=kept["taxon"],
        arrival_id=scribe.id_of("arrival", arrival),
        kept_at=at,
        condition=mothers.Condition(
            wings=Wings(kept.get("wings", "not noted")),
            mated=Mated(kept.get("mated", "unknown")),
            container=kept["bag"],
            note=kept.get("note"),
        ),
        code=kept["code"],
    )
    scribe.name("moth", kept["code"], made.new_id)


def _afterwards(scribe: Scribe, kept: Mapping[str, Any]) -> Iterator[Act]:
    if look := kept.get("second_look"):
        at = scribe.local(look["at"])
        yield Act(at, 0, partial(_second_look, scribe, kept, look))
    if went := kept.get("went"):
        at = scribe.moment(went["on"], went.get("at", dt.time(21)))
        yield Act(at, 0, partial(let_moth_go, scribe, kept["code"], went))
    for note in kept.get("notes", []):
        at = scribe.moment(note["on"], dt.time(21, 30))
        yield Act(at, 0, partial(_note, scribe, kept["code"], note))


def _second_look(
    scribe: Scribe, kept: Mapping[str, Any], look: Mapping[str, Any], entry: Entry
) -> None:
    lamp.redetermine_moth(
        scribe.book,
        entry,
        moth_id=scribe.id_of("moth", kept["code"]),
        call=lamp.Call(
            look.get("taxon", kept["taxon"]), _SEX[look["sex"]], who=scribe.who
        ),
        note=look.get("note"),
    )


def let_moth_go(
    scribe: Scribe, code: str, went: Mapping[str, Any], entry: Entry
) -> None:
    """Enter what became of a moth."""
    only(went, "on", "at", "fate", "where", "note")
    mothers.let_go(
        scribe.book,
        entry,
        moth_id=scribe.id_of("moth", code),
        fate=MothFate(went["fate"]),
        on=went["on"],
        where=went.get("where"),
        note=went.get("note"),
    )


def _note(scribe: Scribe, code: str, note: Mapping[str, Any], entry: Entry) -> None:
    notes.add_note(
        scribe.book,
        entry,
        subject="moth",
        subject_id=scribe.id_of("moth", code),
        text=note["text"],
        on=note["on"],
    )

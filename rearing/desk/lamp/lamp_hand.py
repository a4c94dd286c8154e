"""The hand at the lamp: which night, which sex, and what the last key did."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.desk.lamp.board import CAPS
from rearing.desk.lamp.lamp_lines import EchoWords
from rearing.desk.lamp.lamp_look import short_name
from rearing.keeping import lamp_counting
from rearing.keeping.lamp_back import take_back_here
from rearing.keeping.lamp_dusk import dusk, likely_keys, nights_on
from rearing.keeping.lamp_tally import tally
from rearing.keeping.moments import evening_of, zone_of
from rearing.keeping.night_sky import site_sky
from rearing.problems import Problem, Refusal
from rearing.records import tables as t
from rearing.records.rows import LampNightRow
from rearing.terms import Quality, Sex

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    from rearing.desk.session import Session
    from rearing.keeping.lamp_dusk import Dusk
    from rearing.keeping.lamp_tally import NightTally
    from rearing.keeping.night_sky import NightSky
    from rearing.records.journal import Touched

_MARKS = {Quality.AT_LEAST: "≥", Quality.ABOUT: "c. "}
NO_NIGHT = "No lamp is lit in the book yet: Enter lights it."


@dataclass(frozen=True, slots=True)
class Pending:
    """A number typed for the next key: a swarm, or what can only be guessed at."""

    number: int = 1
    quality: Quality = Quality.EXACT

    @property
    def words(self) -> str:
        """The number with its mark."""
        return f"{_MARKS.get(self.quality, '')}{self.number}"


class Hand:
    """What the keeper is at; every entry of the page goes through here."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.night: NightTally | None = None
        self.dusk: Dusk | None = None
        self.keys: tuple[str, ...] = ("",) * len(CAPS)
        self.sex = Sex.NOT_LOOKED
        self.pending: Pending | None = None
        self.last = ""
        self.echo = EchoWords()
        self.writing = False
        self._chosen: int | None = None
        self._skies: dict[tuple[int, dt.date], NightSky] = {}

    # reading

    @property
    def now(self) -> dt.datetime:
        """The moment by the clock of the site."""
        site = self.night.site if self.night else self.dusk.site if self.dusk else None
        now = self.session.now()
        return now.astimezone(zone_of(site.zone)) if site else now

    @property
    def evening(self) -> dt.date:
        """The evening this is about: the night's own, else tonight's."""
        return self.night.row.evening if self.night else evening_of(self.now)

    @property
    def is_live(self) -> bool:
        """True while the lamp of this night may burn now."""
        if self.night is None or self.night.row.lamp_off is not None:
            return False
        now, lit = self.now, self.night.row.lamp_on
        return evening_of(now) == self.night.row.evening and (not lit or now >= lit)

    @property
    def minute(self) -> dt.datetime | None:
        """The minute it is, None at a night from paper."""
        return self.now.replace(second=0, microsecond=0) if self.is_live else None

    @property
    def sky(self) -> NightSky | None:
        """The night's sky over the site."""
        site = self.night.site if self.night else self.dusk.site if self.dusk else None
        if site is None:
            return None
        asked = (site.id, self.evening)
        if asked not in self._skies:
            self._skies[asked] = site_sky(site, self.evening)
        return self._skies[asked]

    def choose(self, night_id: int | None) -> None:
        """Turn to a night; None is the one that burns, or dusk."""
        self._chosen = night_id
        self.last = ""
        self.pending = None
        self.echo = EchoWords()
        self.read()

    def read(self) -> None:
        """Read the night again: what came from elsewhere may have changed it."""
        book, session = self.session.book, self.session
        row = self._row()
        self.night = tally(book, row.id, session.on) if row else None
        if self.night is not None:
            self.keys = self._keys_of(self.night)
            return
        evening = evening_of(session.now())
        self.dusk = dusk(book, evening)
        if self.dusk is not None:
            stand = f"{self.dusk.site.id} {self.dusk.station}".strip()
            keys = likely_keys(book, evening, stand)
            self.keys = (*keys, *("",) * len(CAPS))[: len(CAPS)]

    def _keys_of(self, night: NightTally) -> tuple[str, ...]:
        """Return the stand's keys; what came has one too where one is free."""
        book, stand = self.session.book, lamp_counting.stand_of(night.row)
        keys = [*lamp_counting.keys_of(book, stand), *("",) * len(CAPS)][: len(CAPS)]
        others = [taxon for taxon in night.taxa if taxon not in keys]
        for place, name in enumerate(keys):
            if not name and others:
                keys[place] = others.pop(0)
        return tuple(keys)

    def _row(self) -> LampNightRow | None:
        book = self.session.book
        if self._chosen is not None:
            row = book.find(LampNightRow, t.LampNight.id == self._chosen)
            if row is not None:
                return row
            self._chosen = None
        burning = [
            row
            for row in nights_on(book, evening_of(self.session.now()))
            if row.lamp_off is None
        ]
        return burning[-1] if burning else None

    # writing

    def do(self, verb: Callable[..., Touched], **values: object) -> Touched:
        """Let a verb write; the page need not read again what it wrote itself."""
        self.writing = True
        try:
            return self.session.do(verb, **values)
        finally:
            self.writing = False

    def count(self, place: int) -> None:
        """Count one more, or the number typed, of the species on a key."""
        if self.night is None:
            self.refuse(NO_NIGHT)
            return
        taxon = self.keys[place]
        if not taxon:
            self.refuse(f"Key {CAPS[place]} is free: G puts a species on it.")
            return
        what, at = self.pending or Pending(), self.minute
        try:
            touched = self.do(
                lamp_counting.count,
                night_id=self.night.row.id,
                at=at,
                taxon=taxon,
                sex=self.sex,
                number=what.number,
                quality=what.quality,
            )
        except Problem as problem:
            self.refuse(problem.sentence)
            return
        opened = [row for name, row in touched.subjects if name == "lamp_check"]
        check = opened[0] if opened else self.night.open_id or 0
        kind = (taxon, self.sex)
        self.night.add(kind, what.number, what.quality, at, check)
        self.pending, self.last = None, taxon
        self.echo = EchoWords(
            number=f"+{what.words}",
            sex=self.sex,
            taxon=taxon,
            totals=self.totals(taxon),
            beside=self.echo.beside,
        )

    def take_back(self) -> None:
        """Take back the last key of this night, and say what it was."""
        if self.pending is not None:
            self.pending = None
            self.say("The typed number is put away; nothing was entered.")
            return
        if self.night is None:
            self.refuse(NO_NIGHT)
            return
        try:
            touched = self.do(take_back_here, night_id=self.night.row.id)
        except Problem as problem:
            self.refuse(problem.sentence)
            return
        self.read()
        what = touched.sentence.partition(": ")[2].partition(", night of")[0]
        beside = (f"taken back {self.now:%H:%M}", what)
        of_last = self.totals(self.last) if self.last else ()
        if of_last and self.last in what:
            self.echo = EchoWords(
                number="−" + what.split(" ", 1)[0],
                taxon=self.last,
                totals=of_last,
                beside=beside,
            )
        else:
            self.echo = EchoWords(words=f"Taken back: {what}.", beside=())

    def refuse(self, sentence: str) -> None:
        """Say why not; what was last counted stays counted."""
        self.echo = EchoWords(words=sentence, refused=True)

    def say(self, sentence: str) -> None:
        """Say something else than a count."""
        self.echo = EchoWords(words=sentence)

    def totals(self, taxon: str) -> tuple[tuple[Sex, str], ...]:
        """Return a species' numbers by sex, those that are not nought."""
        night = self.night
        if night is None or not taxon:
            return ()
        found = [(sex, night.total(taxon, sex)) for sex in Sex]
        return tuple(
            (sex, f"{night.mark(taxon, sex)}{number}")
            for sex, number in found
            if number
        )

    def total_words(self, taxon: str) -> str:
        """Return the same in a few words: S. pyri 12 ♂ 2 ♀."""
        told = " ".join(f"{number} {sex.sign}" for sex, number in self.totals(taxon))
        return f"{short_name(taxon)} {told or 'none'}"

    def need(self) -> NightTally:
        """Return the night, or refuse where there is none."""
        if self.night is None:
            raise Refusal(NO_NIGHT)
        return self.night

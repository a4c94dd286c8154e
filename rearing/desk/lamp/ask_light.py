"""What the lamp asks at dusk: site, lamp, time, and what is on the keys."""

from __future__ import annotations

import datetime as dt

from rearing.desk.lamp.ask_clock import Asks, celsius, clock_of, options
from rearing.desk.lamp.board import CAPS
from rearing.desk.lamp.lamp_ask import Option, Said, Step
from rearing.desk.lamp.lamp_hand import Pending
from rearing.desk.typed import parse_amount, parse_count, parse_day
from rearing.keeping import lamp, lamp_counting
from rearing.keeping.lamp_dusk import dusk, likely_keys, nights_on
from rearing.keeping.moments import day_words, zone_of
from rearing.problems import Refusal
from rearing.records.rows import SiteRow
from rearing.terms import CountingMode


class LightAsks(Asks):
    """Lighting a lamp, species on keys, and a number for the next key."""

    def light(self, *, past: bool = False) -> None:
        """Ask for a new night: which site first, where there are several."""
        sites = self._hand.session.book.all(SiteRow)
        if not sites:
            raise Refusal("First add the site where the lamp stands: F2, then 2.")
        steps = []
        if past:
            today = self._hand.session.on

            def read(text: str) -> dt.date:
                day = parse_day(text, today)
                if day is None:
                    raise Refusal("The evening it was lit is needed.")
                return day

            yesterday = day_words(self._hand.evening - dt.timedelta(days=1))
            hint = "The evening it was lit, as Tue, 28.5. or 2021-05-28"
            steps.append(Step("evening", "Evening of", read, yesterday, hint))
        if len(sites) > 1:
            first = self._hand.dusk.site.id if self._hand.dusk else sites[0].id
            ordered = sorted(sites, key=lambda site: (site.id != first, site.id))
            told: list[tuple[str, object]] = [(site.name, site.id) for site in ordered]
            steps.append(Step("site", "Site", options=options(told)))
        if not steps:
            self._lamp_steps(sites[0].id, self._hand_evening())
            return
        self._ask.ask(
            "A night from paper" if past else "Light the lamp", steps, self._sited
        )

    def _hand_evening(self) -> dt.date:
        from rearing.keeping.moments import evening_of

        return evening_of(self._hand.session.now())

    def _sited(self, said: Said) -> None:
        site, evening = said.get("site"), said.get("evening")
        if not isinstance(site, int):
            site = self._hand.session.book.all(SiteRow)[0].id
        day = evening if isinstance(evening, dt.date) else self._hand_evening()
        self._lamp_steps(site, day)

    def _lamp_steps(self, site_id: int, evening: dt.date) -> None:
        book = self._hand.session.book
        last = dusk(book, evening, site_id)
        site = book.one(SiteRow, site_id)
        taken = {n.station for n in nights_on(book, evening) if n.site_id == site_id}
        station = last.station if last and last.station not in taken else ""
        asks_station = bool(taken) or bool(station)
        zone = zone_of(site.zone)
        tonight = evening == self._hand_evening()
        now = f"{self._hand.session.now().astimezone(zone):%H:%M}" if tonight else ""
        modes = sorted(CountingMode, key=lambda mode: last is None or mode != last.mode)
        told: list[tuple[str, object]] = [(str(mode), mode) for mode in modes]
        steps = [
            Step("lamp", "Lamp", value=last.lamp if last else "", hint="As 125 W MV"),
            self.clock_step("on", "Lit at", evening, zone, now),
            Step("mode", "Counting", options=options(told)),
            Step("start_c", "Temperature °C", parse_amount, hint="Empty: not read"),
            Step("weather", "Weather", hint="Cloud, wind, rain; as 8/8, SW 2"),
        ]
        if asks_station:
            hint = "Two lamps at one site each need a station"
            steps.insert(0, Step("station", "Station", value=station, hint=hint))

        def finish(said: Said) -> None:
            self._light(site_id, evening, said)

        title = f"{site.name}, night of {day_words(evening)}"
        self._ask.ask(title, steps, finish)

    def _light(self, site_id: int, evening: dt.date, said: Said) -> None:
        hand = self._hand
        if not said.text("lamp"):
            raise Refusal("Which lamp was it?", field="lamp")
        mode = said.get("mode")
        touched = hand.do(
            lamp.record_night,
            site_id=site_id,
            evening=evening,
            lamp=said.text("lamp"),
            station=said.text("station"),
            times=lamp.LampTimes(clock_of(said, "on").at),
            mode=mode if isinstance(mode, CountingMode) else CountingMode.NEW,
            weather=lamp.Weather(
                celsius(said, "start_c"), None, said.text("weather") or None
            ),
            sure=said.sure,
        )
        stand = f"{site_id} {said.text('station')}".strip()
        book = hand.session.book
        keys = likely_keys(book, evening, stand)
        if any(keys) and keys != lamp_counting.keys_of(book, stand):
            hand.do(lamp_counting.choose_keys, night_id=touched.new_id, keys=keys)
        hand.choose(touched.new_id)
        used = sum(bool(key) for key in hand.keys)
        more = f"{used} species on the keys." if used else "G puts species on the keys."
        hand.say(f"The night is open. {more}")
        self._told()

    # keys and numbers

    def change_key(self) -> None:
        """Ask which key, and for which species."""
        self._hand.need()
        told = [
            Option("−" if cap == "-" else cap, name or "free", place)
            for place, (cap, name) in enumerate(zip(CAPS, self._hand.keys, strict=True))
        ]
        told = [Option(CAPS[n], one.word, n) for n, one in enumerate(told)]
        free = next((n for n, name in enumerate(self._hand.keys) if not name), 0)
        first = sorted(told, key=lambda one: one.value != free)
        steps = [
            Step("place", "Which key", options=tuple(first)),
            Step(
                "taxon",
                "Species",
                names=self._names(),
                hint="Any part of the name, or a new one",
            ),
        ]
        self._ask.ask("Species on a key", steps, self._keyed)

    def _names(self) -> tuple[str, ...]:
        session = self._hand.session
        sheets = session.shelf.names
        night = self._hand.night
        came = night.taxa if night else ()
        return tuple(dict.fromkeys((*came, *sheets, "not known")))

    def _keyed(self, said: Said) -> None:
        place, hand = said.get("place"), self._hand
        keys = list(hand.keys)
        keys[place if isinstance(place, int) else 0] = said.text("taxon")
        night_id = hand.need().row.id
        hand.do(lamp_counting.choose_keys, night_id=night_id, keys=keys)
        hand.read()
        hand.say(f"{said.text('taxon') or 'Nothing'} is on that key now.")
        self._told()

    def number(self) -> None:
        """Ask how many the next key counts."""
        self._hand.need()
        hint = "40, about 40 or ~40, at least 40 or 40+; then the species' key"
        step = Step("number", "How many", parse_count, hint=hint)
        self._ask.ask("A number for the next key", (step,), self._numbered)

    def _numbered(self, said: Said) -> None:
        told = said.get("number")
        if not isinstance(told, tuple) or told[0] < 1:
            raise Refusal("Type how many.", field="number")
        self._hand.pending = Pending(*told)
        self._hand.say(f"The next key counts {self._hand.pending.words}.")
        self._told()

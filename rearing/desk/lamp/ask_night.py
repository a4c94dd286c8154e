"""What the lamp asks while it burns: checks, dark times, and the night's end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.lamp.ask_clock import Asks, celsius, clock_of
from rearing.desk.lamp.lamp_ask import Said, Step
from rearing.desk.typed import parse_amount
from rearing.keeping import lamp_counting
from rearing.problems import Refusal

if TYPE_CHECKING:
    import datetime as dt


class NightAsks(Asks):
    """Closing a check, a lamp that goes dark, and putting it out."""

    def _clock(self, key: str, prompt: str) -> Step:
        night = self._hand.need()
        now = f"{self._hand.now:%H:%M}" if self._hand.is_live else ""
        return self.clock_step(key, prompt, night.row.evening, night.zone, now)

    def close_check(self) -> None:
        """Ask the time and the temperature of the check, then close it."""
        self._hand.need()
        steps = (
            self._clock("at", "At"),
            Step("celsius", "Temperature °C", parse_amount, hint="Empty: not read"),
        )
        self._ask.ask("Close the check", steps, self._closed)

    def _closed(self, said: Said) -> None:
        clock, hand = clock_of(said, "at"), self._hand
        touched = hand.do(
            lamp_counting.close_check,
            night_id=hand.need().row.id,
            at=clock.at,
            known=clock.known,
            temperature_c=celsius(said, "celsius"),
        )
        hand.read()
        hand.say(f"{touched.sentence.partition(', night of')[0]}.")
        self._told()

    def dark(self) -> None:
        """Ask since when the lamp is dark, or since when it burns again."""
        night = self._hand.need()
        steps = [self._clock("at", "At")]
        if night.dark_since is None:
            self._ask.ask("The lamp went dark", steps, self._dark)
        else:
            steps.append(Step("why", "Why", hint="Bulb, fuse, rain"))
            self._ask.ask("The lamp burns again", steps, self._lit)

    def _at(self, said: Said) -> dt.datetime:
        at = clock_of(said, "at").at
        if at is None:
            raise Refusal("A time is needed here.", field="at")
        return at

    def _dark(self, said: Said) -> None:
        hand = self._hand
        night_id = hand.need().row.id
        hand.do(lamp_counting.go_dark, night_id=night_id, at=self._at(said))
        hand.read()
        hand.say("The lamp is dark; its hours stand still. L when it burns again.")
        self._told()

    def _lit(self, said: Said) -> None:
        hand = self._hand
        touched = hand.do(
            lamp_counting.light_again,
            night_id=hand.need().row.id,
            at=self._at(said),
            why=said.text("why") or None,
        )
        hand.read()
        hand.say(f"{touched.sentence.partition(' in the')[0]}; it burns again.")
        self._told()

    def out(self) -> None:
        """Ask when the lamp was put out; that ends the night."""
        night = self._hand.need()
        steps = (
            self._clock("at", "Out at"),
            Step("end_c", "Temperature °C", parse_amount, hint="Empty: not read"),
            Step("weather", "Weather now", hint="As 3/8, SW 1, dew from 1:30"),
        )
        unseen = (
            ""
            if night.checks
            else ("No check was made: nothing is no zero. C first makes it one.")
        )
        self._ask.ask("Lamp out for the night", steps, self._out, caution=unseen)

    def _out(self, said: Said) -> None:
        hand = self._hand
        night_id = hand.need().row.id
        hand.do(
            lamp_counting.put_out,
            night_id=night_id,
            at=self._at(said),
            end_c=celsius(said, "end_c"),
            weather=said.text("weather") or None,
        )
        hand.choose(night_id)
        night = hand.need()
        hours = (night.lamp_seconds(hand.now) or 0) / 3600
        told = "; ".join(hand.total_words(taxon) for taxon in night.taxa)
        hand.say(f"Lamp out after {hours:.2f} lamp-hours. {told or 'Nothing came'}.")
        self._told()

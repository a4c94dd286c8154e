"""What the board shows of the hand: head, pads, side and strip, as plain values."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.lamp.board import CAPS
from rearing.desk.lamp.key_pad import PadWords
from rearing.desk.lamp.lamp_lines import Aside, CheckLine
from rearing.desk.lamp.sky_strip import LampBar
from rearing.keeping.moments import day_words, evening_of
from rearing.terms import CountingMode

if TYPE_CHECKING:
    import datetime as dt

    from rearing.desk.lamp.lamp_hand import Hand
    from rearing.keeping.lamp_tally import NightTally
    from rearing.keeping.night_sky import NightSky

CAUTION = (
    "Ultraviolet light, hot glass, mains in dew and rain: shade the eyes, keep sockets "
    "dry. Follow local rules; ask a qualified person."
)


def head(hand: Hand) -> tuple[str, str, str]:
    """Return the night's title, its site and lamp, and the clock."""
    night = hand.night
    here = hand.evening.year == hand.now.year
    day = day_words(hand.evening, year=not here)
    if night is None:
        site = hand.dusk.site.name if hand.dusk else ""
        return f"Dusk, {day}", site, f"{hand.now:%H:%M}"
    station = f", {night.row.station}" if night.row.station else ""
    place = f"{night.site.name}{station}, {night.row.lamp}"
    tonight = evening_of(hand.now) == night.row.evening
    clock = f"{hand.now:%H:%M}" if tonight else "from paper"
    return f"Night of {day}", place, "" if night.row.lamp_off else clock


def pads(hand: Hand) -> tuple[PadWords, ...]:
    """Return what is on each key."""
    return tuple(
        PadWords(
            cap="−" if cap == "-" else cap,
            taxon=taxon,
            numbers=hand.totals(taxon),
            expected=bool(taxon) and hand.night is None,
            last=bool(taxon) and taxon == hand.last,
        )
        for cap, taxon in zip(CAPS, hand.keys, strict=True)
    )


def aside(hand: Hand, step: int | None) -> Aside:
    """Return what stands beside the keys; `step` is the brightness in red view."""
    if hand.night is None:
        return _at_dusk(hand)
    night = hand.night
    new = night.row.mode is CountingMode.NEW
    # a night from paper does not burn until today
    known = hand.is_live or night.row.lamp_off is not None
    actions = [
        ("⌫", "take back"),
        ("C", "close the check"),
        ("K", "keep this female"),
        ("N", "a typed number"),
        ("X", "lamp out"),
        ("F1", "every key"),
    ]
    if hand.pending is not None:
        actions[3] = ("N", f"next key: {hand.pending.words}")
    if night.row.lamp_off is not None:
        actions = [("⌫", "take back"), ("S", "second look"), ("T", "another night")]
        actions += [("D", "read it back"), ("P", "print"), ("F1", "every key")]
    if step is not None:
        actions[-1] = ("[ ]", f"brightness {step} of 5")
    return Aside(
        lamp_words=_lamp_words(night) if known else "Not out in the book",
        lamp_time=_burnt(night.lamp_seconds(hand.now)) if known else "",
        heading="Checks, moths new" if new else "Checks, moths present",
        checks=_checks(night),
        actions=tuple(actions),
    )


def _lamp_words(night: NightTally) -> str:
    if night.row.lamp_off is not None:
        return "Lamp burnt"
    if night.dark_since is not None:
        return f"Dark since {night.dark_since.astimezone(night.zone):%H:%M}"
    return "Lamp on"


def _burnt(seconds: float | None) -> str:
    if seconds is None:
        return "not known"
    hours, minutes = divmod(round(seconds / 60), 60)
    return f"{hours} h {minutes:02d}"


def _checks(night: NightTally) -> tuple[CheckLine, ...]:
    return tuple(
        CheckLine(
            clock=f"{check.at.astimezone(night.zone):%H:%M}"
            if check.at
            else "open"
            if check.id == night.open_id
            else "no time",
            number=check.moths,
            open=check.id == night.open_id,
        )
        for check in night.checks
    )


def _at_dusk(hand: Hand) -> Aside:
    sky = hand.sky
    lines = tuple(sky_words(sky)) if sky else ()
    return Aside(
        lamp_words="",
        lamp_time="",
        heading="",
        checks=(),
        actions=(
            ("Enter", "light the lamp"),
            ("T", "another night"),
            ("F1", "every key"),
        )
        if hand.dusk
        else (("Enter", "first a site"),),
        lines=(*lines, CAUTION),
    )


def sky_words(sky: NightSky) -> list[str]:
    """Return the evening's figures in words."""

    def at(moment: dt.datetime | None) -> str:
        return f"{moment:%H:%M}" if moment else "none"

    hours = round(sky.night_hours * 60)
    return [
        f"Twilight ends: civil {at(sky.civil_dusk)}, nautical {at(sky.nautical_dusk)}, "
        f"astronomical {at(sky.astronomical_dusk)}.",
        f"Night {hours // 60} h {hours % 60:02d}, {at(sky.sunset)} to "
        f"{at(sky.sunrise)}.",
        f"{sky.moon_words.capitalize()}; rises {at(sky.moonrise)}, sets "
        f"{at(sky.moonset)}.",
    ]


def lamp_bar(hand: Hand) -> LampBar | None:
    """Return when the lamp burnt, by the site's clock."""
    night = hand.night
    if night is None or night.row.lamp_on is None:
        return None
    zone = night.zone
    dark = [
        (one.from_at.astimezone(zone), one.to_at.astimezone(zone))
        for one in night.outages
    ]
    if night.dark_since is not None:
        dark.append((night.dark_since.astimezone(zone), hand.now))
    off = night.row.lamp_off
    return LampBar(
        night.row.lamp_on.astimezone(zone),
        off.astimezone(zone) if off else None,
        tuple(dark),
    )

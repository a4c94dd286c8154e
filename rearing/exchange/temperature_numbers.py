"""Temperatures written as text: decimal signs, units, and figures that cannot be."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from rearing.exchange.temperature_preview import Unit

if TYPE_CHECKING:
    from collections.abc import Iterable

LOWEST_C = -60.0
HIGHEST_C = 70.0

NOT_A_NUMBER = "no number where the temperature stands"
NOT_POSSIBLE = f"outside {LOWEST_C:.0f} to {HIGHEST_C:.0f} °C"
JUST_STARTED = "85 °C, what some sensors say when they have just been switched on"
NOT_CONNECTED = "−127 °C, what some sensors say when the probe is not connected"

_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?", re.ASCII)
_WITH_UNIT = re.compile(
    r"(?P<number>.*?[\d.,])\s*(?:°|º|˚|deg\.?\s*|\?)?\s*(?P<unit>[CFK℃℉])\.?",
    re.IGNORECASE | re.DOTALL,
)
_GROUPS = {
    ".": re.compile(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d*)?", re.ASCII),
    ",": re.compile(r"[+-]?\d{1,3}(?:\.\d{3})+(?:,\d*)?", re.ASCII),
}
_GAPS = re.compile(r"(?<=\d)[ \u00a0\u202f\u2009'’](?=\d{3}(?:\D|$))")
_MINUS = str.maketrans({"−": "-", "–": "-", "\u2010": "-", "\u2011": "-"})
_UNITS = {
    "c": Unit.CELSIUS,
    "℃": Unit.CELSIUS,
    "f": Unit.FAHRENHEIT,
    "℉": Unit.FAHRENHEIT,
    "k": Unit.KELVIN,
}
_HEADING_UNITS = (
    (Unit.FAHRENHEIT, r"[°º˚]\s*f\b|℉|\bdeg[\s_.]*f\b|fahrenheit|[(\[_ /]\W?f[)\]]?$"),
    (
        Unit.CELSIUS,
        r"[°º˚]\s*c\b|℃|\bdeg[\s_.]*c\b|celsius|centigrad|[(\[_ /]\W?c[)\]]?$",
    ),
    (Unit.KELVIN, r"kelvin|[(\[]k[)\]]$"),
)


def split_unit(text: str) -> tuple[str, Unit | None]:
    """Part a figure from a unit written behind it: ``12.5 °C`` → ``12.5``, Celsius."""
    if (found := _WITH_UNIT.fullmatch(text.strip())) is None:
        return text.strip(), None
    return found["number"].strip(), _UNITS[found["unit"].lower()]


def number_of(text: str, decimal: str) -> float | None:
    """Read one figure with this decimal sign, thousands marks allowed; else None."""
    plain = _GAPS.sub("", text.strip().translate(_MINUS))
    other = "." if decimal == "," else ","
    if _GROUPS[decimal].fullmatch(plain):
        plain = plain.replace(other, "")
    elif other in plain:
        return None
    plain = plain.replace(decimal, ".")
    return float(plain) if _NUMBER.fullmatch(plain) else None


def any_number_of(text: str) -> float | None:
    """Read one figure whichever its decimal sign, with or without a unit."""
    figure, _ = split_unit(text)
    return number_of(figure, decimal_of([figure]))


def decimal_of(texts: Iterable[str]) -> str:
    """Return the decimal sign of a column; a point where nothing says otherwise."""
    votes = {",": 0, ".": 0}
    for text in texts:
        comma, point = text.rfind(","), text.rfind(".")
        if comma != point:
            votes["," if comma > point else "."] += 1
    return "," if votes[","] > votes["."] else "."


def unit_in_heading(title: str) -> Unit | None:
    """Return the unit a heading names, or None."""
    # TempC and T_F: a capital unit glued to the word's end.
    if glued := re.search(r"[a-z_]([CF])$", title):
        return _UNITS[glued[1].lower()]
    for unit, pattern in _HEADING_UNITS:
        if re.search(pattern, title, re.IGNORECASE):
            return unit
    return None


def to_celsius(figure: float, unit: Unit) -> float:
    """Convert by definition: °C = (°F − 32)·5/9 = K − 273.15."""
    if unit is Unit.FAHRENHEIT:
        return (figure - 32.0) * 5.0 / 9.0
    if unit is Unit.KELVIN:
        # Rounded to what a thermometer can mean, so that 290.65 K is 17.5 °C.
        return round(figure - 273.15, 9)
    return figure


class TemperatureTexts(dict[str, float]):
    """Distinct texts of a column and their °C; NaN where `reasons` says why not.

    Loggers repeat themselves, so each distinct text is parsed once. An empty text is
    NaN without a reason.
    """

    def __init__(self, *, decimal: str, unit: Unit) -> None:
        super().__init__()
        self.decimal = decimal
        self.unit = unit
        self.reasons: dict[str, str] = {}

    def __missing__(self, text: str) -> float:
        celsius, reason = self._parse(text)
        self[text] = celsius
        if reason:
            self.reasons[text] = reason
        return celsius

    def _parse(self, text: str) -> tuple[float, str]:
        if not text or text.isspace():
            return math.nan, ""
        figure, unit = split_unit(text)
        number = number_of(figure, self.decimal)
        if number is None:
            return math.nan, NOT_A_NUMBER
        celsius = to_celsius(number, unit or self.unit)
        return (celsius, "") if _is_possible(celsius) else (math.nan, _why(celsius))

    def trim(self, most: int = 200_000) -> None:
        """Forget everything when nearly every text is new and memory would grow."""
        if len(self) > most:
            self.clear()
            self.reasons.clear()


def _is_possible(celsius: float) -> bool:
    return LOWEST_C <= celsius <= HIGHEST_C


def _why(celsius: float) -> str:
    """Name the two figures that common 1-wire probes give in place of a reading.

    85 °C after power-on and −127 °C without a probe: common practice, no source.
    """
    if abs(celsius - 85.0) < 0.01:
        return JUST_STARTED
    return NOT_CONNECTED if abs(celsius + 127.0) < 0.01 else NOT_POSSIBLE

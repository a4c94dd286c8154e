"""Days written as text, read in one order only."""

from __future__ import annotations

import re
from datetime import date, datetime

from dateutil import parser

from rearing.exchange.temperature_preview import DateOrder

NO_DAY = -(2**40)
_EPOCH = date(1970, 1, 1).toordinal()
# Years that a thermometer's file may speak of; it also keeps time zones computable.
_YEARS = range(1850, 2200)

_WEEKDAY = re.compile(r"^[^\W\d]{2,12}\.?,?\s+(?=\d)")
_TRIPLE = re.compile(r"(\d{1,4})\s*([-/. ])\s*(\d{1,2})\s*\2\s*(\d{1,4})\.?", re.ASCII)
_COMPACT = re.compile(r"((?:18|19|20|21)\d\d)(\d\d)(\d\d)", re.ASCII)
_NAMED = re.compile(r"[^\W\d_]{3,}")

# Month names of some of the keeper's neighbours, in full and as software shortens
# them (general knowledge, from memory); English comes first in each row.
_MONTHS: list[tuple[str, ...]] = [
    ("jan", "january", "januar", "janvier", "janv", "gennaio", "gen", "enero", "ene"),
    ("feb", "february", "februar", "février", "févr", "fevr", "febbraio", "febrero"),
    ("mar", "march", "märz", "mär", "mrz", "mars", "marzo", "marec", "maart", "mrt"),
    ("apr", "april", "avril", "avr", "aprile", "abril", "abr"),
    ("may", "mai", "maggio", "mag", "mayo", "maj", "mei"),
    ("jun", "june", "juni", "juin", "giugno", "giu", "junio", "junij"),
    ("jul", "july", "juli", "juillet", "juil", "luglio", "lug", "julio", "julij"),
    ("aug", "august", "août", "aout", "agosto", "ago", "avgust", "avg", "augustus"),
    ("sep", "sept", "september", "septembre", "settembre", "set", "septiembre"),
    ("oct", "october", "oktober", "okt", "octobre", "ottobre", "ott", "octubre"),
    ("nov", "november", "novembre", "noviembre"),
    ("dec", "december", "dezember", "dez", "décembre", "déc", "dicembre", "dic"),
]


class _Months(parser.parserinfo):
    """Month names in several tongues; two-digit years without asking the clock."""

    MONTHS = _MONTHS  # type: ignore[assignment] # declared as pairs

    def convertyear(self, year: int, century_specified: bool = False) -> int:
        return year if century_specified or year >= 100 else full_year(year)


_PARSER = parser.parser(_Months())


def full_year(two_digits: int) -> int:
    """Return 1969-2068 for 69-99 and 00-68, the rule of POSIX ``strptime`` %y."""
    return two_digits + (1900 if two_digits >= 69 else 2000)


def day_number(text: str, order: DateOrder) -> int:
    """Return the days since 1970-01-01 of a written day, or NO_DAY."""
    plain = _WEEKDAY.sub("", text.strip())
    if found := _TRIPLE.fullmatch(plain):
        return _from_triple((found[1], found[3], found[4]), order)
    if found := _COMPACT.fullmatch(plain):
        return _number(int(found[1]), int(found[2]), int(found[3]))
    return _from_words(text.strip()) if _NAMED.search(text) else NO_DAY


def is_figures(text: str) -> bool:
    """Say whether a day is three figures, whose order may be open."""
    return _TRIPLE.fullmatch(_WEEKDAY.sub("", text.strip())) is not None


def orders_of(text: str) -> tuple[DateOrder, ...]:
    """Return the orders in which a day in three figures is a real day."""
    return tuple(order for order in DateOrder if day_number(text, order) != NO_DAY)


def _from_triple(parts: tuple[str, str, str], order: DateOrder) -> int:
    if order is DateOrder.YEAR_FIRST:
        year, month, day = parts
    elif order is DateOrder.DAY_FIRST:
        day, month, year = parts
    else:
        month, day, year = parts
    if len(year) not in {2, 4} or len(day) > 2 or len(month) > 2:
        return NO_DAY
    full = int(year) if len(year) == 4 else full_year(int(year))
    return _number(full, int(month), int(day))


def _number(year: int, month: int, day: int) -> int:
    try:
        return date(year, month, day).toordinal() - _EPOCH if year in _YEARS else NO_DAY
    except ValueError:
        return NO_DAY


def _from_words(text: str) -> int:
    """Read a day with its month in words; two defaults show what was left unsaid."""
    if len(text) > 40 or ":" in text:
        return NO_DAY
    try:
        one = _PARSER.parse(text, default=datetime(2000, 1, 1), ignoretz=True)  # noqa: DTZ001 # a day
        two = _PARSER.parse(text, default=datetime(2003, 2, 2), ignoretz=True)  # noqa: DTZ001 # a day
    except (ValueError, OverflowError, TypeError, ArithmeticError, LookupError):
        return NO_DAY
    if one.date() != two.date():
        return NO_DAY
    return _number(one.year, one.month, one.day)

"""What may be typed after ``rearing``, and one plain sentence for what may not."""

from __future__ import annotations

import argparse
import math
import re
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, TypeVar

from rearing import __version__
from rearing.commands.answer_as import add_answer_as
from rearing.commands.days import day_from
from rearing.commands.keeper_questions import OVERVIEW, QUESTIONS, widths
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

K = TypeVar("K", bound=StrEnum)

_OVERVIEW = f"""\
commands:
  rearing BOOK                 open the window on a book
  rearing sample               open your own copy of the sample season
  rearing round BOOK           what is due today, in walking order
  rearing forecast BOOK        when the next events come, with 80% intervals
  rearing honesty BOOK         how good the windows of finished broods have been
{OVERVIEW}\
  rearing night BOOK           a lamp night: totals, lamp hours, weather, who was kept
  rearing archive BOOK OUT     the lamp nights as a Darwin Core Archive, or as CSV
  rearing sky --lat X ...      dusk, dawn and moon of a night at a place
  rearing heat FILE.csv ...    degree-days of a temperature file
  rearing fit FILE.csv         T0 and K from durations at constant temperatures
  rearing check BOOK           look the book over: file, numbers, species sheets

"rearing COMMAND --help" tells what a command takes. A book whose name is that of a
command is opened as ./NAME.
"""
_DATE = "a day as 2021-06-12, or as you write it if it can mean one day only"
_EXITS = "Exit: 0 answered, 1 the check found something wrong, 2 could not be answered."


class Typed(argparse.ArgumentParser):
    """A parser that refuses in one sentence instead of printing its usage."""

    def error(self, message: str) -> NoReturn:
        """Refuse what was typed."""
        for pattern, words in _PLAINER:
            message = re.sub(pattern, words, message)
        raise Refusal(f"{self.prog}: {message}. See “{self.prog} --help”.")


_PLAINER = (
    (r"^the following arguments are required: ", "still needed: "),
    (r"^unrecognized arguments: ", "not understood: "),
    (r"^argument ([^:]+): expected one argument", r"\1 needs a value"),
    (r"^argument ([^:]+): ignored explicit argument .*", r"\1 takes no value"),
    (r"^argument ", ""),
)


def parse(argv: Sequence[str]) -> argparse.Namespace:
    """Return what was asked for; `command` is "" where a book is to be opened."""
    if argv and argv[0] in COMMANDS:
        parser = Typed(prog=f"rearing {argv[0]}", allow_abbrev=False)
        COMMANDS[argv[0]](parser)
        return parser.parse_args(argv[1:], argparse.Namespace(command=argv[0]))
    parser = Typed(
        prog="rearing",
        allow_abbrev=False,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    _opening(parser)
    return parser.parse_args(argv, argparse.Namespace(command=""))


def _opening(parser: Typed) -> None:
    parser.description = "The rearing book of a moth keeper."
    parser.epilog = f"{_OVERVIEW}\n{_EXITS}"
    parser.add_argument(
        "book", metavar="BOOK", nargs="?", type=_path, help="the last one if left out"
    )
    _on(parser)
    parser.add_argument("--version", action="version", version=f"Rearing {__version__}")


def _sample(parser: Typed) -> None:
    parser.set_defaults(book=None)
    parser.description = (
        "Opens your own copy of the sample season (every animal in it is invented) on "
        "its own day."
    )
    _on(parser)
    parser.add_argument(
        "--fresh",
        action="store_true",
        help="begin with a new copy; the one you wrote in is kept beside it",
    )


def _round(parser: Typed) -> None:
    parser.description = "What is due on a day, by place in walking order."
    _book(parser)
    _on(parser)
    parser.add_argument(
        "--all", action="store_true", dest="everything", help="what is not due as well"
    )
    add_answer_as(parser)


def _forecast(parser: Typed) -> None:
    parser.description = (
        "When the first, half and last of everything alive reach the events to come."
    )
    _book(parser)
    parser.add_argument("--brood", metavar="CODE", help="of this brood only")
    _on(parser)
    add_answer_as(parser, "windows", "weeks")


def _honesty(parser: Typed) -> None:
    parser.description = (
        "How good the windows have been: those of every finished brood replayed as on "
        "their day, and scored against what came and against the calendar."
    )
    _book(parser)
    _on(parser)
    add_answer_as(parser, "windows", "scores")


def _night(parser: Typed) -> None:
    parser.description = (
        "The lamp nights of an evening: totals by species and sex before and after the "
        "second look, lamp hours, weather, sky, checks, and who was kept."
    )
    _book(parser)
    parser.add_argument(
        "--on",
        metavar="DATE",
        type=day_from,
        help="the evening the lamp was lit (left out: the latest night)",
    )
    add_answer_as(parser, "totals", "checks")


def _archive(parser: Typed) -> None:
    parser.description = (
        "Writes the lamp nights as a Darwin Core Archive (OUT.zip: events, what came, "
        "how it was called, what was measured) or as one plain table (OUT.csv)."
    )
    _book(parser)
    parser.add_argument("out", metavar="OUT", type=_path, help="OUT.zip or OUT.csv")
    parser.add_argument(
        "--round",
        metavar="DEGREES",
        type=_step,
        dest="rounded",
        help="round coordinates to this step, as 0.1, and say so in the records",
    )
    _on(parser)


def _sky(parser: Typed) -> None:
    parser.description = (
        "Dusk on the evening, dawn on the next day, and the moon of the night between "
        "them. Moonrise and moonset are looked for from noon to noon."
    )
    for name, words in (("--lat", "north positive"), ("--lon", "east positive")):
        parser.add_argument(
            name, metavar="X", type=_degrees, required=True, help=f"degrees, {words}"
        )
    parser.add_argument(
        "--on", metavar="DATE", type=day_from, required=True, help="the evening"
    )
    parser.add_argument(
        "--zone", metavar="NAME", required=True, help="as Europe/Ljubljana"
    )
    add_answer_as(parser)


def _heat(parser: Typed) -> None:
    # Imported here: the words of the methods are the only reason to load numpy.
    from rearing.exchange.temperatures import Unit
    from rearing.science.heat import Cutoff, Method

    parser.description = (
        "Degree-days by day of a file of daily lows and highs, or of readings. From "
        "readings the daily methods take each day's lowest and highest."
    )
    _file(parser)
    parser.add_argument("--lower", metavar="X", type=_number, required=True)
    parser.add_argument("--upper", metavar="Y", type=_number, help="may be left out")
    parser.add_argument(
        "--method",
        metavar="NAME",
        type=_one_of(Method),
        default=Method.SINGLE_SINE,
        help=f"{', '.join(Method)} (left out: {Method.SINGLE_SINE})",
    )
    parser.add_argument(
        "--cutoff",
        metavar="NAME",
        type=_one_of(Cutoff),
        default=Cutoff.HORIZONTAL,
        help=f"{', '.join(Cutoff)} (left out: {Cutoff.HORIZONTAL})",
    )
    parser.add_argument(
        "--unit",
        metavar="c|f",
        type=_one_of(Unit, (Unit.CELSIUS, Unit.FAHRENHEIT)),
        help=(
            "unit of the thresholds and of the degree-days (left out: c), and of a "
            "file that does not say its own"
        ),
    )
    parser.add_argument(
        "--zone",
        metavar="NAME",
        help="days of this time zone (left out: of the file's own clock)",
    )
    parser.add_argument(
        "--series", metavar="NAME", help="which, if the file has several"
    )
    _day_order(parser)
    add_answer_as(parser)


def _day_order(parser: Typed) -> None:
    order = parser.add_mutually_exclusive_group()
    order.add_argument(
        "--day-first",
        action="store_const",
        const=True,
        dest="day_first",
        help="3/4 is the third of April",
    )
    order.add_argument(
        "--month-first",
        action="store_const",
        const=False,
        dest="day_first",
        help="3/4 is the fourth of March",
    )


def _fit(parser: Typed) -> None:
    parser.description = (
        "The threshold T0 and the thermal constant K from a table with the columns "
        "temperature and days, by two straight lines, with 95% intervals."
    )
    _file(parser)
    add_answer_as(parser)


def _check(parser: Typed) -> None:
    parser.description = (
        "Looks a book over: the file, the eggs and larvae of every brood, the species "
        "sheets. Exit 1 when something is wrong."
    )
    _book(parser)
    _on(parser)


COMMANDS: dict[str, Callable[[Typed], None]] = {
    "sample": _sample,
    "round": _round,
    "forecast": _forecast,
    "honesty": _honesty,
    **QUESTIONS,
    "night": _night,
    "archive": _archive,
    "sky": _sky,
    "heat": _heat,
    "fit": _fit,
    "widths": widths,
    "check": _check,
}


def _book(parser: Typed) -> None:
    parser.add_argument("book", metavar="BOOK", type=_path)


def _file(parser: Typed) -> None:
    parser.add_argument("file", metavar="FILE.csv", type=_path)


def _on(parser: Typed) -> None:
    parser.add_argument("--on", metavar="DATE", type=day_from, help=_DATE)


def _path(text: str) -> Path:
    if not text or "\0" in text:
        raise argparse.ArgumentTypeError("a name of a file is wanted")
    return Path(text)


def _number(text: str, what: str = "temperature") -> float:
    try:
        number = float(text.replace("−", "-"))
    except ValueError:
        number = math.nan
    if not math.isfinite(number):
        raise argparse.ArgumentTypeError(f"“{text[:40]}” is no {what}")
    return number


def _degrees(text: str) -> float:
    return _number(text, "number of degrees")


def _step(text: str) -> float:
    step = _degrees(text)
    if not 0 < step <= 10:
        raise argparse.ArgumentTypeError(f"{step:g} is no step; it may be up to 10")
    return step


def _one_of(kind: type[K], allowed: Sequence[K] | None = None) -> Callable[[str], K]:
    """Return a reader of one of an enum's words."""
    words = tuple(allowed or kind)

    def read(text: str) -> K:
        for word in words:
            if text.casefold() == word.value:
                return word
        known = ", ".join(words)
        raise argparse.ArgumentTypeError(f"“{text[:40]}” is none of {known}")

    return read

"""What the entry forms have in common: their build, their times, their refusals."""

from __future__ import annotations

import re
from contextlib import contextmanager
from typing import TYPE_CHECKING, TypeVar

from rearing.desk.typed import parse_time
from rearing.desk.widgets.fields import MomentField, TextField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping.boxes import When
from rearing.keeping.moments import evening_of, in_night, on_day
from rearing.problems import AskFirst, Refusal

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Answers, Field
    from rearing.records.rows import LampNightRow

T = TypeVar("T")

_TWICE = re.compile(r"\s*\b(a|b|first|second|1st|2nd)$|(?<=\d)(a|b)$", re.IGNORECASE)
_SECOND = frozenset({"b", "second", "2nd"})

CLOCK_HINT = "As 2240, 22:40 or 0.45; after midnight is still this night"
NEEDED = "This one is needed."


class FreshForm(EntryForm):
    """A form that stays open and asks anew after each entry, as the book then is."""

    def __init__(  # noqa: PLR0913  # as the form it is
        self,
        theme: Theme,
        title: str,
        ask: Callable[[], Sequence[Field]],
        keep: Callable[[Answers], object],
        *,
        today: dt.date,
        verb: str = "enter it",
        caution: str = "",
        columns: int = 1,
    ) -> None:
        super().__init__(
            theme,
            title,
            ask(),
            keep,
            today=today,
            verb=verb,
            caution=caution,
            columns=columns,
            stay=True,
        )
        self._ask_again = ask

    def _taken(self) -> None:
        self._ask = tuple(self._ask_again())
        super()._taken()


@contextmanager
def renamed(names: Mapping[str, str]) -> Iterator[None]:
    """Let a verb's refusal stand under the form's own field."""
    try:
        yield
    except Refusal as refusal:
        name = names.get(refusal.field or "")
        if name is None:
            raise
        raise type(refusal)(refusal.sentence, field=name) from None


def ask_first(sentence: str, *, sure: bool, field: str) -> None:
    """Ask before an entry that the law or good sense speaks of."""
    if not sure:
        raise AskFirst(sentence, field=field)


def chosen(answers: Answers, key: str, kind: type[T]) -> T:
    """Return the option chosen; nothing chosen is refused under its field."""
    value = answers.choice(key)
    if not isinstance(value, kind):
        raise Refusal(NEEDED, field=key)
    return value


def maybe(answers: Answers, key: str, kind: type[T]) -> T | None:
    """Return the option chosen, None when none was."""
    value = answers.choice(key)
    return value if isinstance(value, kind) else None


def words(answers: Answers, key: str) -> str | None:
    """Return what was written, None when nothing was."""
    return answers.text(key).strip() or None


def number(answers: Answers, key: str) -> int:
    """Return a number of animals; an empty field is refused."""
    counted = answers.count(key)
    if counted is None:
        raise Refusal(NEEDED, field=key)
    return counted


def day(answers: Answers, key: str) -> dt.date:
    """Return a day; an empty field is refused."""
    said = answers.day(key)
    if said is None:
        raise Refusal(NEEDED, field=key)
    return said


def clock_field(
    key: str, label: str, value: str = "", *, hint: str = CLOCK_HINT
) -> TextField:
    """Return a field for a time of a night; its words are read by `night_time`."""
    return TextField(key, label, value=value, hint=hint, letters=10, ghost="as 2240")


def label_field() -> TextField:
    """Return the field for the label of a new box."""
    return TextField(
        "label",
        "La&bel",
        hint="Of a new box; left empty it is the next letter",
        letters=14,
        ghost="the next letter",
    )


def when_field(session: Session, label: str = "&When") -> MomentField:
    """Return the field for the moment of something done at a box."""
    return MomentField(
        "when",
        label,
        day=session.on,
        hint="Without a time it is now, or, on another day, not known",
    )


def when(session: Session, answers: Answers, key: str = "when") -> When:
    """Return the moment meant: a typed time, else now if it is today's."""
    on, clock = day(answers, key), answers.time_of_day(key)
    if clock is not None:
        return When(on, on_day(on, clock, session.home.zone))
    now = session.now()
    return When(on, now if on == now.date() else None)


def night_time(
    answers: Answers, key: str, evening: dt.date, zone: dt.tzinfo
) -> dt.datetime | None:
    """Return the moment a clock showed in the night of an evening, None if empty.

    0045, 00:45 and 0.45 are the same. In the hour that comes twice when the clocks
    go back, an a or b behind the time says which.
    """
    said = answers.text(key).strip()
    match = _TWICE.search(said)
    later = None
    if match is not None:
        later = (match[1] or match[2]).casefold() in _SECOND
        said = said[: match.start()]
    try:
        clock = parse_time(said)
        return None if clock is None else in_night(evening, clock, zone, later=later)
    except AskFirst:
        raise Refusal(
            f"{said} comes twice that night: the clocks go back. Write {said} a for "
            f"the first time, {said} b for the second.",
            field=key,
        ) from None
    except Refusal as refusal:
        raise Refusal(refusal.sentence, field=key) from None


def time_text(moment: dt.datetime | None, zone: dt.tzinfo) -> str:
    """Return a moment as a time field shows it."""
    return "" if moment is None else f"{moment.astimezone(zone):%H:%M}"


def lit_now(session: Session, night: LampNightRow | None, zone: dt.tzinfo) -> str:
    """Return the time it is, as long as the lamp of a night may be burning."""
    now = session.now()
    if night is None or evening_of(now) != night.evening:
        return ""
    is_out = night.lamp_off is not None and now > night.lamp_off
    return "" if is_out else time_text(now, zone)


def join(*sentences: str) -> str:
    """Return the sentences there are, one after another."""
    return " ".join(sentence for sentence in sentences if sentence)

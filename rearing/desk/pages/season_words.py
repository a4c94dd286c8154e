"""The season in words: each brood's dates, the fullest week, what is supposed."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from rearing.desk.pages.season_moths import together_words
from rearing.desk.pages.season_plan import number_words
from rearing.desk.widgets.date_scale import short_day, span_words
from rearing.keeping.moments import span_words as days_between
from rearing.keeping.season_rows import flown_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from datetime import date

    from rearing.keeping.leaf_need import LeafWeek, Need
    from rearing.keeping.season import Forecast, Span, Window
    from rearing.keeping.season_rows import Ribbon, SeasonView

_ENOUGH_DAYS = 3
_STAGE_WORDS = {"egg": "laid", "wandering": "wandering", "pupa": "pupa"}


def window_words(window: Window, on: date) -> str:
    """Return when half reach an event, with its 80 % window."""
    if window.half is None:
        return f"{_name(window)} beyond sight"
    since = "likely since " if window.half.middle.date() <= on else ""
    return f"{_name(window)} {since}{_days(window.half)}"


def _days(span: Span) -> str:
    low, middle, high = (d.date() for d in (span.low, span.middle, span.high))
    said = span_words(low, middle, high, weekday=True)
    return f"{said.removesuffix(')')} or later)" if span.open_end else said


def reading(ribbon: Ribbon, on: date) -> str:
    """Return a brood's dates in one line: who, what was seen, what is expected."""
    said = f"{ribbon.code} {ribbon.taxon}, {number_words(ribbon)}."
    seen = _seen_words(ribbon, on)
    parts = [said, f"So far about: {seen}." if seen else ""]
    leading = ribbon.leading
    if leading is not None:
        parts += [f"{late.words}." for late in leading.overdue]
    if leading is not None and leading.windows:
        which = f"{leading.group}, half of them: " if len(ribbon.groups) > 1 else ""
        windows = "; ".join(window_words(window, on) for window in leading.windows)
        parts.append(f"Expected: {which}{windows}.")
        others = len(ribbon.groups) - 1
        if others:
            parts.append(f"{others} more {_groups(others)}: R reads all.")
    parts += [f"{_upper(together_words(run))}." for run in ribbon.together]
    parts += [f"{sentence}." for sentence in ribbon.outlook.sentences]
    return " ".join(part for part in parts if part)


def _upper(words: str) -> str:
    return words[:1].upper() + words[1:]


def _groups(number: int) -> str:
    return "group stands apart" if number == 1 else "groups stand apart"


def _seen_words(ribbon: Ribbon, on: date) -> str:
    """Say when the stages so far began; those nobody looked at are placed by heat."""
    begun = [p for p in ribbon.pieces if p.begin < on.toordinal() + 1]
    said = [
        f"{_STAGE_WORDS.get(piece.stage, piece.stage)} {_day_of(piece.begin, on)}"
        for piece in begun
    ]
    flown = flown_words(ribbon)
    return ", ".join([*said, flown] if flown else said)


def _day_of(days: float, on: date) -> str:
    day = on.fromordinal(int(days))
    return short_day(day) if day.year == on.year else f"{short_day(day)} {day.year}"


def whole_reading(ribbon: Ribbon, on: date) -> tuple[str, ...]:
    """Return all that is known of a brood's dates, a paragraph each."""
    said = [f"{ribbon.code} {ribbon.taxon}, {number_words(ribbon)}."]
    seen = _seen_words(ribbon, on)
    if seen:
        said.append(
            f"So far about: {seen}. Stages between two looks are placed by heat."
        )
    said += [paragraph for group in ribbon.groups for paragraph in _group(group)]
    for run in ribbon.together:
        said.append(
            f"{_upper(together_words(run))}: an even chance or better that a "
            "female and a male of this brood are fit to pair, half taken to be female, "
            "males a day or two before them."
        )
    held = ribbon.outlook.held_back
    said += [f"{held.words}."] if held is not None else []
    said += [f"{sentence}." for sentence in ribbon.outlook.sentences]
    return tuple(said)


def _group(group: Forecast) -> Iterator[str]:
    told = "; ".join(_all_of(window) for window in group.windows)
    yield f"{group.group}, {group.number}: {told or 'nothing within sight'}."
    yield group.assumption


def _all_of(window: Window) -> str:
    parts = [
        f"{word} {_days(span)}"
        for word, span in (
            ("first", window.first),
            ("half", window.half),
            ("last", window.last),
        )
        if span is not None and (window.number > 1 or word == "half")
    ]
    return f"{_name(window)} {', '.join(parts) or 'beyond sight'}"


# leaf


def kilos(grams: float) -> str:
    """Return a weight a day: 850 g, 1.6 kg."""
    if grams >= 995:
        return f"{grams / 1000:.1f} kg"
    rounded = round(grams, -1) if grams >= 100 else round(grams)
    return f"{rounded:.0f} g"


def need_words(need: Need) -> str:
    """Return what is needed a day with its band: 1.6 kg (1.4 to 1.9)."""
    expected, low, high = (kilos(one) for one in (need.expected, need.low, need.high))
    unit = f" {expected.rpartition(' ')[2]}"
    if low.endswith(unit) and high.endswith(unit):
        return f"{expected} ({low.removesuffix(unit)} to {high.removesuffix(unit)})"
    return f"{expected} ({low} to {high})"


def fullest(weeks: Sequence[LeafWeek], on: date) -> LeafWeek | None:
    """Return the week that needs most leaf a day; what is left of one may be short."""
    coming = [week for week in weeks if week.total is not None]
    whole = [week for week in coming if (week.sunday - on).days >= _ENOUGH_DAYS]
    return max(
        whole or coming,
        key=lambda week: week.total.expected if week.total else 0.0,
        default=None,
    )


def fullest_words(view: SeasonView) -> tuple[str, str]:
    """Return the sentence that stands before the leaf bars, and a softer one."""
    week = fullest(view.weeks, view.on)
    if week is None or week.total is None:
        return ("", "")
    begin = max(week.monday, view.on + timedelta(days=1))
    lead = f"Fullest week, {days_between(begin, week.sunday)}: "
    host, need = max(week.hosts.items(), key=lambda item: item[1].expected)
    share = need.expected / week.total.expected
    most = "all of it" if share > 0.97 else f"{_share_words(share)} of it"
    return f"{lead}{need_words(week.total)} a day to cut", f"{most} {host}"


def _share_words(share: float) -> str:
    for least, words in ((0.85, "most"), (0.7, "three quarters"), (0.58, "two thirds")):
        if share >= least:
            return words
    return "half" if share >= 0.42 else "the largest part"


def week_words(week: LeafWeek, on: date) -> str:
    """Return one week's leaf in words."""
    said = [f"{days_between(week.monday, week.sunday)}:"]
    if week.total is None:
        given = ", ".join(f"{h} {kilos(g)}" for h, g in week.given.items())
        said.append(f"given {given} a day" if given else "leaf given, not weighed")
        if given and week.has_unweighed:
            said.append("(some not weighed)")
    else:
        hosts = sorted(week.hosts.items(), key=lambda item: -item[1].expected)
        parts = ", ".join(f"{host} {kilos(need.expected)}" for host, need in hosts)
        said.append(f"{need_words(week.total)} a day expected: {parts}")
    return " ".join(said)


def leaf_reading(view: SeasonView) -> str:
    """Return the leaf of the coming weeks in one line."""
    coming = [week for week in view.weeks if week.total is not None]
    if not coming:
        return "Leaf to cut: none is expected to be needed."
    supply = " ".join(one.words for one in view.supplies)
    told = "; ".join(
        f"{short_day(week.monday)} {kilos(week.total.expected)}"
        for week in coming
        if week.total is not None
    )
    lead, more = fullest_words(view)
    said = (f"Leaf to cut. {lead}, {more}.", supply, f"A day, by week: {told}.")
    return " ".join(part for part in said if part)


# supposing


def moved_words(before: Ribbon, after: Ribbon, on: date) -> str:
    """Return how the windows of a brood shift: wander 1 July → 4 July, 3 days later."""
    old = {w.event: w for group in before.groups for w in group.windows}
    if before.leading is not None:
        old |= {w.event: w for w in before.leading.windows}
    said = []
    for window in after.leading.windows if after.leading is not None else ():
        was = old.get(window.event)
        if was is None or (was.half is None and window.half is None):
            continue
        if window.half is not None and window.half.middle.date() <= on:
            continue  # over by the heat it had: no move changes that
        said.append(f"{_name(window)} {_shift(was.half, window.half)}")
    return "; ".join(said) or "Nothing of it changes."


def _name(window: Window) -> str:
    return window.words[:1].lower() + window.words[1:]


def _shift(old: Span | None, new: Span | None) -> str:
    if new is None:
        return "beyond sight"
    day = short_day(new.middle.date(), weekday=True)
    if old is None:
        return day
    days = (new.middle.date() - old.middle.date()).days
    if not days:
        return f"{day}, as before"
    plural = "" if abs(days) == 1 else "s"
    return f"{day}, {abs(days)} day{plural} {'later' if days > 0 else 'earlier'}"

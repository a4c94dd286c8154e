"""The words of the leaf page: its head, a day's reading, what the chart comes to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.widgets.header import Heading
from rearing.keeping.moments import day_words
from rearing.keeping.weights import kg

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.keeping.larder import CutNow
    from rearing.keeping.leaf_plan import LeafDay
    from rearing.keeping.leaf_tests import LeafTest
    from rearing.keeping.leaf_view import HostView, LeafView
    from rearing.keeping.trees import TreeNow

LEGEND = (
    "Expected, to cut: hatched, a texture a host; the line holds 80 in 100. Beneath, "
    "what is in reach: solid what lies cut, broken line a tree to cut from, hatched "
    "box none."
)


def heading(view: LeafView | None, trees: Iterable[TreeNow], as_of: str) -> Heading:
    """Return the head: the first shortage, or that there is none, and as of when."""
    standing = list(trees)
    closed = sum(one.is_closed for one in standing)
    words = f"{len(standing)} trees" if len(standing) != 1 else "1 tree"
    words += f", {closed} closed" if closed else ""
    if view is None:
        return Heading(title="Leaf", words=words, under="Leaf to cut is worked out")
    return Heading(title="Leaf", words=words, verdict=verdict(view), under=as_of)


def verdict(view: LeafView) -> str:
    """Return the one thing to know: what runs short first."""
    first = view.first_short
    if first is not None and first.plan.short_on is not None:
        when = day_words(first.plan.short_on)
        same = [x for x in view.hosts if x.plan.short_on == first.plan.short_on]
        if len(same) > 1:
            return f"Short from {when}: {', '.join(one.host for one in same)}"
        return f"Short from {when}: {first.host}, {first.plan.short_why}"
    if not view.hosts:
        return "No leaf is expected to be needed"
    return "All that is needed can be cut"


def day_reading(day: LeafDay, view: LeafView) -> str:
    """Return what a day asks for by host, and what of it can't be had."""
    said = [
        f"{host} {kg(need.expected)} ({need.low:.0f}–{need.high:.0f})"
        for host, need in sorted(day.hosts.items(), key=lambda x: -x[1].expected)
    ]
    wants = [
        f"{one.host} {span.why}"
        for one in view.hosts
        if one.host in day.hosts
        for span in one.reached
        if span.why and span.first <= day.on <= span.last
    ]
    told = f"{day_words(day.on)}: {', '.join(said) or 'no leaf is needed'}"
    return f"{told}. Not to be had: {', '.join(wants)}." if wants else f"{told}."


def days_sentence(view: LeafView) -> str:
    """Return what the chart shows, for those who don't see it."""
    if not view.hosts:
        return "No leaf is expected to be needed"
    fullest = max(view.plan.days, key=lambda day: day.total.expected)
    return (
        f"{len(view.plan.days)} days. Fullest {day_words(fullest.on)} with "
        f"{kg(fullest.total.expected)} of {', '.join(fullest.hosts)}. {verdict(view)}"
    )


def host_paragraphs(hosts: Iterable[HostView]) -> list[tuple[str, str]]:
    """Return a host's sum, then the rest of it, and what warns where it runs short."""
    said: list[tuple[str, str]] = []
    for one in hosts:
        said.append((f"{one.head}.", "lead"))
        said.append((f"{one.rest[:1].upper()}{one.rest[1:]}", "quiet"))
        if one.short_words:
            said.append((one.short_words, "warns"))
    return said


def cuts_words(cuts: Iterable[CutNow]) -> str:
    """Return what lies cut in one sentence, and what should be thrown away."""
    lies = [one for one in cuts if not one.is_gone and not one.is_used_up]
    if not lies:
        return "No leaf lies cut by the book. C enters what you cut."
    old = [one.row.host for one in lies if one.is_old]
    if not old:
        return ""
    hosts = ", ".join(dict.fromkeys(old))
    return f"Kept too long: {hosts}. Look, and X if it is gone."


def larvae_words(tests: Iterable[LeafTest]) -> str:
    """Return how many tests run, and how many are to be looked at."""
    running = [one for one in tests if one.is_running]
    due = sum(one.is_due for one in running)
    if due:
        return f"{due} to look at"
    return f"{len(running)} running" if running else "all judged"


def reading(view: LeafView) -> list[tuple[str, str]]:
    """Return the whole of it as paragraphs, to be read aloud."""
    said = [("", one.words) for one in view.hosts]
    said += [("", words) for words in view.warnings]
    weeks = [day for at, day in enumerate(view.plan.days) if at < 14]
    if view.hosts:
        lines = "\n".join(day_reading(day, view) for day in weeks)
        said.append(("The next fortnight", lines))
    return said or [("", "No leaf is expected to be needed.")]

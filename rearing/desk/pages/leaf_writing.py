"""How trees, cuts and test larvae are written: their lines and the keys they offer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.widgets.lines import Column, Ink, KeyOffer, Line, State
from rearing.desk.widgets.marks import Mark
from rearing.keeping.larder import GONE_SHOWN
from rearing.keeping.moments import day_words, short_day

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.keeping.larder import CutNow
    from rearing.keeping.leaf_tests import LeafTest
    from rearing.keeping.trees import TreeNow

TREE_COLUMNS = (
    Column("Tree", Ink.CODE),
    Column("Kind", Ink.TEXT),
    Column("May it be cut", Ink.VERB),
    Column("Its year, its boxes", Ink.TEXT, stretch=True),
    Column("Last cut", Ink.KNOWN),
)
CUT_COLUMNS = (
    Column("Leaf", Ink.CODE),
    Column("Cut", Ink.TEXT),
    Column("Kept", Ink.TEXT, stretch=True),
    Column("Weight", Ink.NUMBER),
    Column("Left", Ink.KNOWN),
)
TEST_COLUMNS = (
    Column("Tree", Ink.CODE),
    Column("What", Ink.VERB),
    Column("Which", Ink.TEXT, stretch=True),
)
_LOOK = KeyOffer("Enter", "read it", quiet=True)
_CUT = KeyOffer("C", "leaf cut")
_CLOSE = KeyOffer("Z", "close")
_OPEN = KeyOffer("O", "open again")
_SIGN = KeyOffer("S", "sign of the year")
_TEST = KeyOffer("P", "test larvae")
_NOTE = KeyOffer("N", "note", quiet=True)
_GONE = (KeyOffer("X", "it is gone"),)
_JUDGE = (KeyOffer("J", "judge"),)


def tree_lines(trees: Iterable[TreeNow]) -> tuple[Line, ...]:
    """Return a line a tree; closed ones carry the diamond and the word."""
    return tuple(_tree(one) for one in trees)


def _tree(one: TreeNow) -> Line:
    row = one.row
    fed = f"feeds {', '.join(one.fed)}" if one.fed else ""
    more = "; ".join(part for part in (one.year_words, fed, row.where or "") if part)
    keys = (
        (_OPEN, _TEST, _SIGN, _CUT, _CLOSE, _NOTE, _LOOK)
        if one.is_closed
        else (_CUT, _SIGN, _CLOSE, _TEST, _NOTE, _LOOK)
    )
    state = one.state_words
    short = state.split(",")[0] if one.is_closed else state
    why = state.removeprefix(short).removeprefix(", ")
    words = "; ".join(part for part in (why, more) if part)
    return Line(
        key=("tree", row.id),
        cells=(row.name, row.host, short, words, one.cut_words),
        sentence=f"{row.name}, {row.host}: {state}. {more}. {one.cut_words}",
        mark=Mark.DIAMOND if one.is_closed else Mark.NONE,
        alarm=one.is_closed,
        keys=keys,
    )


def cut_lines(cuts: Iterable[CutNow]) -> tuple[Line, ...]:
    """Return a line a cut, the latest first; those that are gone are struck out."""
    shown = (x for x in cuts if not x.is_used_up or x.age_days <= GONE_SHOWN.days)
    return tuple(_cut(one) for one in shown)


def _cut(one: CutNow) -> Line:
    row = one.row
    since = f"{short_day(row.on)}{f', {one.tree}' if one.tree else ''}"
    kept = ", ".join(part for part in (row.storage or "", one.age_words) if part)
    weight = "" if row.grams is None else f"{row.grams:.0f} g"
    state = State.PLAIN
    if one.is_gone:
        state = State.DONE
    elif one.is_old:
        state = State.DUE
    elif one.is_used_up:
        state = State.ANSWERED
    return Line(
        key=("cut", row.id),
        cells=(row.host, since, kept, weight, one.left_words),
        sentence=f"{row.host} cut {since}, {weight}: {kept}; {one.left_words}",
        mark=_cut_mark(one),
        state=state,
        alarm=one.is_old,
        keys=() if one.is_gone else _GONE,
    )


def _cut_mark(one: CutNow) -> Mark:
    if one.is_gone:
        return Mark.TICK
    return Mark.SQUARE if one.is_old else Mark.NONE


def larvae_lines(tests: Iterable[LeafTest]) -> tuple[Line, ...]:
    """Return a line a test; one that is due is to be looked at."""
    return tuple(_test(one) for one in tests)


def _test(one: LeafTest) -> Line:
    row = one.row
    if one.is_running:
        what = "look now" if one.is_due else f"look {day_words(one.due_on)}"
    else:
        what = f"{row.alive} of {row.number} alive"
    since = f"{row.number} since {short_day(row.begun_on)}"
    judged = None if one.is_running else row.judged_on
    ended = f", judged {short_day(judged)}" if judged else ""
    words = ", ".join(part for part in (since + ended, one.box, row.note or "") if part)
    return Line(
        key=("test", row.id),
        cells=(one.tree.name, what, words),
        sentence=one.words,
        mark=Mark.EYE_RING if one.is_due else Mark.NONE,
        state=State.DUE if one.is_due else State.PLAIN,
        keys=_JUDGE if one.is_running else (),
    )

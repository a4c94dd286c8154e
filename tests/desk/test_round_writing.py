"""How a round is written down: reasons shared, states, marks, hours of the day."""

from __future__ import annotations

import datetime as dt

import pytest

from rearing.desk.pages.round_writing import heading, part_of_day, written
from rearing.desk.widgets.lines import Pencil, State
from rearing.desk.widgets.marks import Mark
from rearing.keeping.round_lines import Round, RoundLine, RoundPlace, Task

ON = dt.date(2021, 6, 25)
DRY = "Oak of Thu 24 June lasts two days at 29°, to Sat 26 June."


def line(  # one line with everything usual
    label: str,
    task: Task = Task.FRESH_LEAF,
    *,
    reason: str = DRY,
    brood_id: int = 8,
    done: str | None = None,
    until: str | None = None,
    quarantine: bool = False,
    by_book: bool = False,
    kind: str = "box",
    is_tub: bool = False,
    was_done: bool = True,
) -> RoundLine:
    return RoundLine(
        kind=kind,
        id=hash(label) % 1000,
        code=f"B21-0{brood_id} {label}",
        brood_id=brood_id,
        taxon="Marumba quercus",
        short="M. quercus",
        task=task,
        done=done,
        reason=reason,
        number=8,
        known="by the book" if by_book else "counted 24 June",
        by_book=by_book,
        until=until,
        quarantine=quarantine,
        is_tub=is_tub,
        was_done=was_done,
    )


def round_of(*lines: RoundLine) -> Round:
    return Round(ON, (RoundPlace(1, "Attic", "29°", lines),), "No leaf", "")


def reasons(*lines: RoundLine) -> list[object]:
    return [one.cells[3] for one in written(round_of(*lines))]


def test_boxes_of_a_brood_that_ask_the_same_refer_to_the_first() -> None:
    assert reasons(line("A"), line("B"), line("cage 3")) == [DRY, "as A", "as A"]


def test_what_is_referred_to_is_always_written_out() -> None:
    rest = line("B", Task.LEAVE_ALONE, reason="First moult, all 8 sit still", until="x")
    assert reasons(line("A"), rest, line("C"), line("D")) == [
        DRY,
        rest.reason,
        DRY,
        "as C",
    ]


@pytest.mark.parametrize(
    "other",
    [
        line("B", brood_id=9),
        line("B", Task.CLEAN_AND_LEAF),
        line("B", done="Fed 19:36: oak"),
        line("B", reason="Not fed yet by the book."),
    ],
    ids=["another brood", "another task", "done", "another reason"],
)
def test_what_differs_is_written_out(other: RoundLine) -> None:
    assert reasons(line("A"), other)[1] == (other.done or other.reason)


def test_a_cage_is_referred_to_by_its_whole_label() -> None:
    assert reasons(line("cage 1"), line("cage 3"))[1] == "as cage 1"


@pytest.mark.parametrize(
    ("one", "state", "mark"),
    [
        (line("A"), State.DUE, Mark.SQUARE),
        (line("A", Task.COUNT_DUE), State.DUE, Mark.TALLY),
        (line("A", Task.LOOK), State.DUE, Mark.EYE_RING),
        (line("A", Task.EGGS_OVERDUE), State.DUE, Mark.EYE_RING),
        (line("A", Task.LEAVE_ALONE), State.REST, Mark.BARS),
        (line("A", Task.NOTHING), State.QUIET, Mark.NONE),
        (line("A", done="Fed"), State.DONE, Mark.TICK),
        (line("A", done="All well", was_done=False), State.ANSWERED, Mark.TICK),
        (line("A", Task.LOOK, quarantine=True), State.DUE, Mark.DIAMOND),
    ],
)
def test_a_state_shows_by_its_mark_not_by_its_colour(
    one: RoundLine, state: State, mark: Mark
) -> None:
    (shown,) = written(round_of(one))
    assert (shown.state, shown.mark) == (state, mark)


def test_numbers_by_the_book_are_in_pencil() -> None:
    (shown,) = written(round_of(line("A", by_book=True)))
    assert shown.cells[4:] == ("8", Pencil("by the book"))


def test_a_tub_is_not_fed_and_its_pupae_are_counted() -> None:
    (tub,) = written(round_of(line("T1", Task.LOOK, is_tub=True)))
    caps = {offer.cap for offer in tub.keys if not offer.unseen}
    assert not caps & {"F", "C"}
    assert {"W", "S", "0–9", "X", "M"} <= caps


def test_the_head_counts_what_is_left() -> None:
    lines = (line("A"), line("B", done="Fed"), line("C", Task.LEAVE_ALONE))
    now = dt.datetime(2021, 6, 25, 19, 38, tzinfo=dt.UTC)
    head = heading(round_of(*lines), now, as_on=False)
    assert head.words == "Friday 25 June 2021, evening"
    assert head.verdict == "1 to do,  1 done,  1 to leave alone"
    assert head.under == ""


@pytest.mark.parametrize(
    ("hour", "name"),
    [(0, "night"), (5, "morning"), (11, "midday"), (14, "afternoon"), (18, "evening")],
)
def test_the_day_has_its_parts(hour: int, name: str) -> None:
    assert part_of_day(dt.datetime(2021, 6, 25, hour, tzinfo=dt.UTC)) == name

"""What left a brood, gathered by kind, receiver and span; sums computed by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from rearing.desk.pages import brood_leavings, brood_losses
from rearing.keeping import care
from rearing.keeping.boxes import When
from rearing.keeping.broods import brood_page
from rearing.records.rows import ExitRow, MothRow
from rearing.terms import Cause, ExitKind, Sex
from tests.desk.karst_pages import SHELF
from tests.desk.karst_season import ON, day, entry

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.broods import BroodPage
    from tests.desk.karst_pages import Karst


@pytest.fixture
def tau(karst: Karst) -> BroodPage:
    return brood_page(karst.book, SHELF, karst.season.tau_brood, ON)


def left(
    box: int, kind: ExitKind, number: int, on: dt.date, to: str | None = None
) -> ExitRow:
    return ExitRow(
        id=0,
        version=1,
        box_id=box,
        kind=kind,
        number=number,
        stage=None,
        to_whom=to,
        where=None,
        on=on,
        at=None,
        note=None,
    )


def test_moths_are_one_line_a_spring_with_their_sexes(
    karst: Karst, tau: BroodPage
) -> None:
    ids = karst.season
    moth = karst.book.one(MothRow, ids.tau)
    emerged = ExitKind.EMERGED
    page = replace(
        tau,
        exits=(
            left(ids.box_b, emerged, 1, day(4, 24)),
            left(ids.box_a, emerged, 1, day(4, 22)),
            left(ids.box_a, emerged, 2, day(5, 16)),
            left(ids.box_a, emerged, 1, day(5, 16).replace(year=2022)),
        ),
        moths=(
            replace(moth, sex=Sex.MALE, since=day(4, 22)),
            replace(moth, sex=Sex.FEMALE, since=day(4, 24)),
            replace(moth, sex=Sex.MALE, since=day(5, 16)),
        ),
    )
    assert brood_leavings.leavings(page) == (
        "4 emerged 22 April to 16 May 2021: 2 ♂ 1 ♀, 1 not sexed, from A (3), B (1)",
        "1 emerged Mon 16 May 2022, from A",
    )


def test_what_one_receiver_got_is_one_line(karst: Karst, tau: BroodPage) -> None:
    ids, given = karst.season, ExitKind.GIVEN
    page = replace(
        tau,
        exits=(
            left(ids.box_a, given, 5, day(5, 30), "a school"),
            left(ids.box_b, given, 4, day(5, 30), "a school"),
            left(ids.box_b, given, 3, day(5, 30), "a friend"),
            left(ids.box_b, ExitKind.SPECIMEN, 1, day(6, 2)),
        ),
        moths=(),
    )
    assert brood_leavings.leavings(page) == (
        "9 given, a school, from A (5), B (4), Sun 30 May 2021",
        "3 given, a friend, from B, Sun 30 May 2021",
        "1 to the cabinet, from B, Wed 2 June 2021",
    )


def test_a_loss_of_no_known_cause_is_not_told_as_one_with_a_cause(
    karst: Karst, tau: BroodPage
) -> None:
    assert "1 found dead or missed with a cause" in brood_losses.losses_sentence(tau)
    care.lose(
        karst.book,
        entry(ON),
        box_id=karst.season.box_a,
        lost=care.Lost(2, Cause.NOT_KNOWN),
        when=When(ON),
    )
    page = brood_page(karst.book, SHELF, karst.season.tau_brood, ON)
    said = brood_losses.losses_sentence(page)
    assert "3 found dead or missed, 2 of them of no known cause" in said

"""Heads, lengths and masses: entered, corrected, taken back, and placed in instars.

Head widths about the published means of Gynaephora menyuanensis, L1 to L7 in the field
(abstract at discovery.researcher.life); the scatter about them is invented.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.keeping import measurements
from rearing.keeping.heads import heads_of
from rearing.problems import AskFirst, Refusal
from rearing.records.rows import MeasurementRow
from rearing.terms import Measured, Stage
from tests.keeping.karst_book import LATER, on

if TYPE_CHECKING:
    from rearing.records.book import Book
    from tests.keeping.karst_book import Ids

GYNAEPHORA = (0.68, 0.91, 1.22, 1.58, 2.06, 2.69, 3.45)


def heads(book: Book, ids: Ids, *values: float, stage: Stage | None = None) -> None:
    measurements.measure(
        book,
        LATER,
        box_id=ids.box,
        what=Measured.HEAD_WIDTH,
        values=values,
        on=on(6, 20),
        stage=stage,
    )


def near(mean: float) -> tuple[float, ...]:
    return tuple(round(mean * share, 3) for share in (0.97, 1.0, 1.03))


# writing


def test_several_heads_are_one_entry_that_is_taken_back_whole(
    book: Book, ids: Ids
) -> None:
    heads(book, ids, 0.62, 0.64, 0.66, stage=Stage.L1)
    line = book.journal(most=1)[0].sentence
    assert line == "Measured 3 head widths of L1 in B21-01 A: 0.62 to 0.66 mm"
    rows = measurements.measured(book, [ids.box], on(6, 20))
    assert [row.value for row in rows] == [0.62, 0.64, 0.66]
    assert measurements.measured(book, [ids.box], on(6, 19)) == ()
    book.take_back(LATER)
    assert book.all(MeasurementRow) == ()
    book.do_again(LATER)
    assert len(book.all(MeasurementRow)) == 3


@pytest.mark.parametrize(
    ("values", "field", "words"),
    [
        ((), "values", "Which figures"),
        ((0.6, 0.0), "values", "above nought"),
        ((float("nan"),), "values", "above nought"),
    ],
)
def test_what_is_no_figure_is_refused(
    book: Book, ids: Ids, values: tuple[float, ...], field: str, words: str
) -> None:
    with pytest.raises(Refusal, match=words) as refused:
        heads(book, ids, *values)
    assert refused.value.field == field
    assert book.all(MeasurementRow) == ()


def test_a_slipped_point_is_asked_about(book: Book, ids: Ids) -> None:
    with pytest.raises(AskFirst, match="62 mm"):
        heads(book, ids, 62.0)
    measurements.measure(
        book,
        LATER,
        box_id=ids.box,
        what=Measured.HEAD_WIDTH,
        values=(62.0,),
        on=on(6, 20),
        sure=True,
    )
    assert len(book.all(MeasurementRow)) == 1


def test_a_day_before_the_box_was_opened_is_refused(book: Book, ids: Ids) -> None:
    with pytest.raises(Refusal, match="opened on"):
        measurements.measure(
            book,
            LATER,
            box_id=ids.box,
            what=Measured.MASS,
            values=(1.2,),
            on=on(5, 1),
        )


def test_one_figure_is_corrected_and_the_correction_taken_back(
    book: Book, ids: Ids
) -> None:
    heads(book, ids, 0.62, 6.4 / 10, stage=Stage.L1)
    row = book.all(MeasurementRow)[1]
    measurements.correct_measurement(
        book, LATER, measurement_id=row.id, value=0.93, stage=Stage.L2
    )
    said = book.journal(most=1)[0].sentence
    assert said == ("Head width in B21-01 A corrected from 0.64 (L1) to 0.93 (L2) mm")
    with pytest.raises(Refusal, match="already"):
        measurements.correct_measurement(
            book, LATER, measurement_id=row.id, value=0.93, stage=Stage.L2
        )
    book.take_back(LATER)
    assert book.one(MeasurementRow, row.id).value == 0.64


# typing


@pytest.mark.parametrize(
    ("typed", "values"),
    [
        ("0.62 0.64 0.66", (0.62, 0.64, 0.66)),
        ("0,62 0,64", (0.62, 0.64)),
        ("0,62; 0,64;", (0.62, 0.64)),
        ("0.62, 0.64,0.66", (0.62, 0.64, 0.66)),
        (".9  12", (0.9, 12.0)),
        ("", ()),
    ],
)
def test_figures_are_typed_in_a_line(typed: str, values: tuple[float, ...]) -> None:
    assert measurements.values_from(typed) == values


@pytest.mark.parametrize("typed", ["wide", "0.6-0.7", "0,62,0,64", "-1", "1e3"])
def test_what_is_not_one_figure_is_named(typed: str) -> None:
    with pytest.raises(Refusal, match="not one figure"):
        measurements.values_from(typed)


# what they say


def test_mean_and_range_stand_by_kind_and_stage(book: Book, ids: Ids) -> None:
    heads(book, ids, 0.9, stage=Stage.L2)
    heads(book, ids, 0.6, 0.7, stage=Stage.L1)
    heads(book, ids, 0.8)
    found = measurements.summed_up(measurements.measured(book, [ids.box], on(7, 1)))
    assert [one.stage for one in found] == [Stage.L1, Stage.L2, None]
    assert (found[0].number, found[0].low, found[0].high) == (2, 0.6, 0.7)
    assert found[0].mean == pytest.approx(0.65)


def test_heads_of_seven_instars_are_placed_though_five_are_usual(
    book: Book, ids: Ids
) -> None:
    for width in GYNAEPHORA:
        heads(book, ids, *near(width))
    found = heads_of(measurements.measured(book, [ids.box], on(7, 1)))
    assert [one.instar for one in found.groups] == [1, 2, 3, 4, 5, 6, 7]
    assert found.placed.series.ratio == pytest.approx(1.310, abs=0.005)
    assert not found.told
    assert len(found.boundaries) == 6
    for at, border in enumerate(found.boundaries):
        assert GYNAEPHORA[at] < border < GYNAEPHORA[at + 1]


def test_a_noted_instar_says_which_the_smallest_are(book: Book, ids: Ids) -> None:
    heads(book, ids, *near(GYNAEPHORA[2]), stage=Stage.L3)
    for width in GYNAEPHORA[3:5]:
        heads(book, ids, *near(width))
    heads(book, ids, 2.7, stage=Stage.L5)
    found = heads_of(measurements.measured(book, [ids.box], on(7, 1)))
    assert [one.instar for one in found.groups] == [3, 4, 5, 6]
    assert found.told
    assert found.against == 1


def test_too_few_heads_are_refused_in_words(book: Book, ids: Ids) -> None:
    heads(book, ids, 0.6, 0.62)
    with pytest.raises(Refusal, match="four widths"):
        heads_of(measurements.measured(book, [ids.box], on(7, 1)))

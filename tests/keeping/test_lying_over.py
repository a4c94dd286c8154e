"""When pupae count as lying over; the days are the tests' own.

That pupae without a moth for a fortnight wait a winter: common practice, no source.
"""

from __future__ import annotations

import datetime as dt

import pytest

from rearing.keeping.holding import BoxNow, Look
from rearing.keeping.ledger import Event, Kind, standing
from rearing.keeping.starts import lies_over
from rearing.records.rows import BoxRow, BroodRow
from rearing.sheets.shelf import load_all
from rearing.terms import BoxKind, Stage

LOOK = Look(dt.date(2021, 6, 6), None, {Stage.PUPA: 9}, {})
AUTUMN = dt.date(2020, 11, 10)


def tub(*events: Event) -> BoxNow:
    row = BoxRow(
        id=1,
        version=1,
        brood_id=1,
        label="T1",
        kind=BoxKind.TUB,
        host=None,
        tree_id=None,
        opened_on=AUTUMN,
        closed_on=None,
        closed_why=None,
        note=None,
        tools=None,
    )
    brood = BroodRow(
        id=1,
        version=1,
        code="B20-02",
        taxon="Saturnia pyri",
        mother_id=None,
        pairing_id=None,
        opened_on=AUTUMN,
        note=None,
    )
    came = Event(AUTUMN, None, Kind.IN, 10, 1)
    return BoxNow(row, brood, (), standing([came, *events]), (LOOK,), ())


def left(day: dt.date, *, emerged: bool) -> Event:
    return Event(day, None, Kind.LEFT, 1, 2, emerged=emerged)


@pytest.mark.parametrize(
    ("taxon", "events", "waits"),
    [
        ("Saturnia pyri", [left(dt.date(2021, 5, 16), emerged=True)], True),
        ("Saturnia pyri", [left(dt.date(2021, 5, 23), emerged=True)], True),
        ("Saturnia pyri", [left(dt.date(2021, 5, 24), emerged=True)], False),
        ("Saturnia pyri", [left(dt.date(2021, 1, 20), emerged=False)], False),
        ("Saturnia pyri", [], False),
        ("Aglia tau", [left(dt.date(2021, 5, 16), emerged=True)], False),
    ],
)
def test_a_fortnight_without_a_moth_is_lying_over(
    taxon: str, events: list[Event], waits: bool
) -> None:
    sheet = load_all().sheet_for(taxon)

    assert lies_over(tub(*events), LOOK, sheet) is waits

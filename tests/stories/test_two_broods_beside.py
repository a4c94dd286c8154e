"""Story 9's question laid beside another brood: she notes, she does not conclude.

Numbers are the invented scenario's own; shares are computed from them by hand.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from rearing.keeping.box_ledgers import ledger_of
from rearing.keeping.comparison import (
    beside_words,
    chance_words,
    compare,
    verdict_words,
)
from rearing.keeping.hatch_nights import hatch_by_night
from rearing.keeping.life import life_of
from rearing.keeping.life_curve import curve_of
from rearing.keeping.stage_looks import half_seen_in, looks_by_day
from rearing.problems import Refusal
from rearing.terms import Stage

if TYPE_CHECKING:
    from tests.stories.reader import Reader

LATE = dt.date(2021, 10, 31)


def test_hatch_of_the_sib_bred_beside_the_outbred(season: Reader) -> None:
    one, other = season.brood("B21-03"), season.brood("B21-05")
    found = compare(season.book, one.id, other.id, LATE)

    assert (found.one.code, found.other.code) == ("B21-03", "B21-05")
    assert found.one.life.fates.hatched == 102
    assert found.one.life.fates.eggs == 168
    assert found.hatch is not None
    assert found.hatch.share == pytest.approx(102 / 168 - 160 / 181)
    # computed: Newcombe's square-and-add interval
    assert found.hatch.low == pytest.approx(-0.36171, abs=1e-5)
    assert found.hatch.high == pytest.approx(-0.18739, abs=1e-5)
    assert beside_words(found).startswith(
        "Of 100 eggs of B21-03 28 fewer hatched than of B21-05 (36 fewer to 19 fewer)."
    )
    told = {row.why: (row.one, row.other) for row in found.losses}
    assert sum(a for a, _ in told.values()) == sum(
        loss.number for loss in found.one.life.losses
    )


def test_a_brood_is_not_laid_beside_itself(season: Reader) -> None:
    one = season.brood("B21-03")
    with pytest.raises(Refusal, match="same brood"):
        compare(season.book, one.id, one.id, LATE)


@pytest.mark.parametrize(
    ("p", "words", "verdict"),
    [
        (0.9, "most pairs", "no reason to think"),
        (0.5, "about 1 of 2 pairs", "no reason to think"),
        (0.33, "about 1 of 3 pairs", "no reason to think"),
        (0.05, "about 1 of 20 pairs", "worth watching"),
        (0.027, "about 1 of 40 pairs", "worth watching"),
        (0.004, "about 1 of 200 pairs", "worth asking"),
        (0.0000001, "fewer than 1 of 1,000 pairs", "worth asking"),
    ],
)
def test_a_chance_is_told_in_pairs_of_broods(
    p: float, words: str, verdict: str
) -> None:
    assert words in chance_words(p)
    assert verdict in verdict_words(p)


def test_the_curve_of_two_nights_away(season: Reader) -> None:
    life = life_of(season.book, season.brood("B21-08"), dt.date(2021, 8, 9))
    curve = curve_of(life)
    assert curve is not None
    assert curve.came == 64
    # 39 of 64 lost on 30 June; the first hatched on the day `first_on` says
    assert life.first_on is not None
    day = (dt.date(2021, 6, 30) - life.first_on).days
    assert curve.share(day - 1) == 1.0
    assert curve.share(day) == pytest.approx(25 / 64)
    assert curve.half_gone() == day
    assert curve.until == (dt.date(2021, 8, 9) - life.first_on).days


def test_the_ledger_of_tau_emperors(season: Reader) -> None:
    life = life_of(season.book, season.brood("B21-04"), dt.date(2021, 6, 12))
    ledger = ledger_of(life.fates)
    assert ledger.balances
    assert ledger.eggs == 86
    assert ledger.hatched == 74
    assert ledger.counted + ledger.by_book == ledger.alive
    assert {box.label for box in ledger.boxes} >= {"A", "S1"}


def test_hatch_stands_by_the_night_laid(season: Reader) -> None:
    pots = season.page("B21-04", dt.date(2021, 6, 12)).pots
    rows = hatch_by_night(pots)
    assert sum(row.laid for row in rows) == 86
    assert sum(row.hatched for row in rows) == 74
    for row in rows:
        assert row.share is not None
        assert row.share.low <= row.hatched / (row.laid - row.waiting) <= row.share.high


def test_looks_are_told_by_day_and_none_is_made_up(season: Reader) -> None:
    life = life_of(season.book, season.brood("B21-04"), dt.date(2021, 6, 30))
    looks = looks_by_day(life.fates.boxes)
    assert looks
    for look in looks:
        assert look.share_from(Stage.EGG) == 1.0
        assert look.total == sum(look.numbers.values())
    pace = half_seen_in(looks, life.first_on)
    assert list(pace.values()) == sorted(pace.values())

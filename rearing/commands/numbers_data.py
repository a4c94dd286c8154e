"""A brood's numbers as JSON has them; `numbers` says what each name means."""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict
from typing import TYPE_CHECKING

from rearing.keeping.comparison import beside_words
from rearing.keeping.fates import End

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping

    from rearing.commands.numbers import NumbersFound
    from rearing.keeping.box_ledgers import BroodLedger
    from rearing.keeping.comparison import Comparison
    from rearing.keeping.followed import Followed
    from rearing.keeping.hatch_nights import HatchRow
    from rearing.keeping.life import Life, Loss
    from rearing.keeping.measurements import Figures
    from rearing.keeping.stage_looks import LookDay
    from rearing.science.proportions import Proportion
    from rearing.terms import Stage

_BROOD_PARTS = (
    *("eggs", "hatched", "other_eggs", "waiting", "came", "lost", "left"),
    *("unaccounted", "alive", "counted"),
)
_BOX_PARTS = (
    *("label", "came", "moved", "lost", "left", "unaccounted", "number"),
    *("is_counted", "closed"),
)


def numbers_data(found: NumbersFound) -> dict[str, object]:
    """Return a brood's numbers as JSON has them."""
    page, life = found.page, found.page.life
    fates = life.fates
    left: Counter[str] = Counter()
    for one in fates.ended:
        if one.end is End.LEFT:
            left[one.why] += one.number
    return {
        "on": fates.on.isoformat(),
        "brood": fates.brood.code,
        "taxon": fates.taxon,
        "eggs": fates.eggs,
        "waiting": fates.waiting,
        "hatched": fates.hatched,
        "hatched_share": _share_data(life.hatch),
        "came": life.came,
        "alive": _stages_data(fates.alive),
        "left": _why_data(left),
        "moths": life.moths,
        "unaccounted": life.unaccounted,
        "survived": _share_data(life.survived),
        "survived_if_found": life.survived_if_found,
        "losses": [_loss_data(loss) for loss in life.losses],
        "stages": [asdict(row) for row in life.stages],
        "days": list(_days_data(life)),
        "ledger": _ledger_data(page.ledger),
        "hatch": [_hatch_data(row) for row in page.hatch],
        "looks": [_look_data(look) for look in page.looks],
        "figures": [_figures_data(one) for one in page.figures],
        "box": None if found.box is None else _box_data(found.box),
        "against": _against_data(found.beside),
    }


def _days_data(life: Life) -> Iterable[dict[str, object]]:
    for x in life.days:
        limits = {"q": x.q.share, "q_low": x.q.low, "q_high": x.q.high, "k": x.k}
        risk = {"n": x.n, "d": x.d, "left": x.left}
        living = {"l": x.l, "l_low": x.l_low, "l_high": x.l_high}
        yield {"on": x.on.isoformat(), "day": x.day, **risk, **living, **limits}


def _ledger_data(ledger: BroodLedger) -> dict[str, object]:
    boxes = [
        {
            **{name: getattr(box, name) for name in _BOX_PARTS},
            "counted_on": _iso(box.counted_on),
        }
        for box in ledger.boxes
    ]
    return {**{name: getattr(ledger, name) for name in _BROOD_PARTS}, "boxes": boxes}


def _hatch_data(row: HatchRow) -> dict[str, object]:
    return {
        **asdict(row),
        "first": _iso(row.first),
        "last": _iso(row.last),
        "share": _share_data(row.share),
    }


def _look_data(look: LookDay) -> dict[str, object]:
    return {
        "on": look.on.isoformat(),
        "stages": _stages_data(look.numbers),
        "resting": look.resting,
        "boxes": list(look.boxes),
    }


def _figures_data(one: Figures) -> dict[str, object]:
    return {
        "what": str(one.what),
        "unit": one.what.unit,
        "stage": None if one.stage is None else str(one.stage),
        "number": one.number,
        "mean": one.mean,
        "low": one.low,
        "high": one.high,
        "first_on": one.first_on.isoformat(),
        "last_on": one.last_on.isoformat(),
    }


def _iso(day: dt.date | None) -> str | None:
    return None if day is None else day.isoformat()


def _stages_data(numbers: Mapping[Stage, int]) -> list[dict[str, object]]:
    return [{"stage": str(stage), "number": n} for stage, n in numbers.items()]


def _why_data(numbers: Mapping[str, int]) -> list[dict[str, object]]:
    return [{"why": why, "number": number} for why, number in numbers.items()]


def _loss_data(loss: Loss) -> dict[str, object]:
    return {"why": loss.why, "stage": str(loss.stage), "number": loss.number}


def _box_data(box: Followed) -> dict[str, object]:
    return {
        "label": box.label,
        "onward": list(box.onward),
        "came": box.came,
        "lost": _why_data(box.lost),
        "left": _why_data(box.left),
        "unaccounted": box.unaccounted,
        "mixed": box.mixed,
        "alive": _stages_data(box.alive),
    }


def _against_data(found: Comparison | None) -> dict[str, object] | None:
    if found is None:
        return None
    one, other, test = found.one, found.other, found.test
    return {
        "brood": other.code,
        "hatched_share": _share_data(other.life.hatch),
        "survived": _share_data(other.life.survived),
        "hatch_difference": _share_data(found.hatch),
        "losses": [asdict(loss) for loss in found.losses],
        "pace": [
            {
                "stage": str(stage),
                "one": one.pace.get(stage),
                "other": other.pace.get(stage),
            }
            for stage in found.stages
        ],
        "words": beside_words(found),
        "died": None if test is None else test.died,
        "expected": None if test is None else test.expected,
        "chi_square": None if test is None else test.chi_square,
        "p": None if test is None else test.p,
    }


def _share_data(found: Proportion | None) -> dict[str, float] | None:
    if found is None:
        return None
    return {"share": found.share, "low": found.low, "high": found.high}

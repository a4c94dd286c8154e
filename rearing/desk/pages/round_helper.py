"""What a helper is to do on the evenings away, as sheets like the round's own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.away import DAY, STARVES, Why
from rearing.keeping.round_lines import Round, RoundLine, RoundPlace, Task

if TYPE_CHECKING:
    import datetime as dt

    from rearing.keeping.away import Away, Failing, LeafAsked
    from rearing.sheets.shelf import SheetShelf

RULES = (
    "Cut around larvae, never pull them off. Dry leaf only. Wash hands between "
    "broods. Whatever is not named here is left alone, and nothing stands in the sun."
)
"""For one who does not know the boxes (handbook 4.1, 4.3, 4.5, 4.9)."""


def helper_rounds(answer: Away, shelf: SheetShelf) -> tuple[Round, ...]:
    """Return a round for each evening on which somebody has to come."""
    asked = dict(answer.evenings)
    hatching = [one for one in answer.failing if one.why is Why.HATCH]
    days = [
        answer.first + DAY * i for i in range((answer.last - answer.first).days + 1)
    ]
    rounds = (
        Round(day, _places(day, asked.get(day, ()), hatching, shelf), RULES)
        for day in days
    )
    return tuple(one for one in rounds if one.lines)


def _places(
    day: dt.date,
    boxes: tuple[LeafAsked, ...],
    pots: list[Failing],
    shelf: SheetShelf,
) -> tuple[RoundPlace, ...]:
    by_place: dict[str, list[RoundLine]] = {}
    for pot in pots:
        if day >= (pot.at_worst - STARVES).date():
            by_place.setdefault(pot.place, []).append(_pot(pot, shelf))
    for box in boxes:
        by_place.setdefault(box.place, []).append(_box(box, shelf))
    return tuple(
        RoundPlace(0, name, "", tuple(lines)) for name, lines in by_place.items()
    )


def _box(asked: LeafAsked, shelf: SheetShelf) -> RoundLine:
    return RoundLine(
        kind="box",
        id=asked.box_id,
        code=asked.code,
        brood_id=0,
        taxon=asked.taxon,
        short=shelf.sheet_for(asked.taxon).short,
        task=Task.FRESH_LEAF,
        done=None,
        reason=f"Fresh {asked.host or 'leaf'}; the old out when they have left it",
        number=asked.number,
        known="larvae",
        by_book=False,
        until=None,
        quarantine=False,
        host=asked.host,
    )


def _pot(failing: Failing, shelf: SheetShelf) -> RoundLine:
    return RoundLine(
        kind="pot",
        id=0,
        code=failing.code,
        brood_id=0,
        taxon=failing.taxon,
        short=shelf.sheet_for(failing.taxon).short,
        task=Task.LOOK_FOR_HATCHING,
        done=None,
        reason="Small larvae in it: put them on leaf with a brush, note how many",
        number=failing.number,
        known="eggs",
        by_book=False,
        until=None,
        quarantine=False,
    )

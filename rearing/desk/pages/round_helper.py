"""What a helper is to do on the evenings away, as sheets like the round's own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.away import DAY, STARVES, Why
from rearing.keeping.round import QUARANTINE
from rearing.keeping.round_lines import Round, RoundLine, RoundPlace, Task

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.keeping.away import Away, Failing, LeafAsked
    from rearing.sheets.shelf import SheetShelf

RULES = (
    "Cut around larvae, never pull them off. Dry leaf only. Wash hands between "
    "broods. Whatever is not named here is left alone, and nothing stands in the sun."
)
"""For one who does not know the boxes (handbook 4.1, 4.3, 4.5, 4.9)."""

_OWN_TOOLS = "Forceps for it alone; wash hands after it"


def helper_rounds(answer: Away, shelf: SheetShelf, walked: Round) -> tuple[Round, ...]:
    """Return a round for each evening on which somebody has to come.

    `walked` is the keeper's own, with everything on it: the helper's order is its
    order, and who is kept apart there comes last here.
    """
    asked = dict(answer.evenings)
    hatching = [one for one in answer.failing if one.why is Why.HATCH]
    walk = _Walk(walked, shelf)
    days = [
        answer.first + DAY * i for i in range((answer.last - answer.first).days + 1)
    ]
    rounds = (
        Round(day, walk.places(day, asked.get(day, ()), hatching), RULES)
        for day in days
    )
    return tuple(one for one in rounds if one.lines)


class _Walk:
    """The keeper's way past the boxes, for one who does not know it."""

    def __init__(self, walked: Round, shelf: SheetShelf) -> None:
        self._shelf = shelf
        self._stops = {place.name: at for at, place in enumerate(walked.places)}
        self._at: dict[int, int] = {}
        self._line: dict[int, RoundLine] = {}
        for at, line in enumerate(walked.lines):
            if line.kind == "box":
                self._at[line.id], self._line[line.id] = at, line

    def places(
        self, day: dt.date, boxes: Sequence[LeafAsked], pots: Sequence[Failing]
    ) -> tuple[RoundPlace, ...]:
        """Return where the helper goes on an evening, the sick last."""
        by_place: dict[str, list[RoundLine]] = {}
        for pot in pots:
            if day >= (pot.at_worst - STARVES).date():
                by_place.setdefault(pot.place, []).append(_pot(pot, self._shelf))
        for box in sorted(boxes, key=lambda one: self._at.get(one.box_id, 0)):
            apart = self._is_apart(box)
            name = QUARANTINE if apart else box.place
            by_place.setdefault(name, []).append(self._box(box, apart=apart))
        last = len(self._stops)
        names = sorted(
            by_place, key=lambda name: (name == QUARANTINE, self._stops.get(name, last))
        )
        return tuple(
            RoundPlace(0, x, "last" if x == QUARANTINE else "", tuple(by_place[x]))
            for x in names
        )

    def _is_apart(self, asked: LeafAsked) -> bool:
        known = self._line.get(asked.box_id)
        return known is not None and known.quarantine

    def _box(self, asked: LeafAsked, *, apart: bool) -> RoundLine:
        known = self._line.get(asked.box_id)
        tools = known.tools if known is not None else None
        told = [f"Fresh {asked.host or 'leaf'}; the old out when they have left it"]
        if apart:
            told.insert(0, f"{asked.place}, after all others. {_OWN_TOOLS}")
        if tools:
            told.append(f"Its own tools: {tools}")
        return RoundLine(
            kind="box",
            id=asked.box_id,
            code=asked.code,
            brood_id=0,
            taxon=asked.taxon,
            short=self._shelf.sheet_for(asked.taxon).short,
            task=Task.FRESH_LEAF,
            done=None,
            reason=". ".join(told),
            number=asked.number,
            known="larvae",
            by_book=False,
            until=None,
            quarantine=apart,
            host=asked.host,
            tools=tools,
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
        reason="Larvae in it go on leaf with a brush; note how many",
        number=failing.number,
        known="eggs",
        by_book=False,
        until=None,
        quarantine=False,
    )

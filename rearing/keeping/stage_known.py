"""The stage animals are taken to be at where nobody said it: by the last look."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from rearing.records import tables as t
from rearing.records.among import among
from rearing.records.of_boxes import stages_seen_in
from rearing.records.rows import MoveRow
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from rearing.records.book import Book

_ORDER = {stage: place for place, stage in enumerate(Stage)}


def most_at(numbers: Mapping[Stage, int]) -> Stage:
    """Return the stage most were seen at; of two alike the later."""
    return max(numbers, key=lambda stage: (numbers[stage], _ORDER[stage]))


def stage_known(book: Book, box_id: int, on: dt.date) -> Stage | None:
    """Return the stage most of a box were at on a day; None where nobody knows.

    That is by the last look at it, or as they were put in.
    """
    return _Known(book, [box_id]).at(box_id, on)


def with_stages(book: Book, moves: Iterable[MoveRow]) -> tuple[MoveRow, ...]:
    """Return moves, those out of a box without a stage at that of the box then."""
    told = tuple(moves)
    untold = {
        move.from_box_id
        for move in told
        if move.stage is None and move.from_box_id is not None
    }
    if not untold:
        return told
    known = _Known(book, untold)
    return tuple(
        replace(move, stage=known.at(move.from_box_id, move.on))
        if move.stage is None and move.from_box_id is not None
        else move
        for move in told
    )


class _Known:
    """What is known of the stages of some boxes, read once."""

    def __init__(self, book: Book, box_ids: Iterable[int]) -> None:
        ids = list(box_ids)
        self._looks: dict[int, dict[tuple[dt.date, int], dict[Stage, int]]] = (
            defaultdict(lambda: defaultdict(dict))
        )
        for box_id, look_id, day, _, stage, number, _ in stages_seen_in(
            book, ids, dt.date.max
        ):
            if stage is not None and number:
                self._looks[box_id][day, look_id][stage] = number
        self._put_in: dict[int, list[tuple[dt.date, Stage]]] = defaultdict(list)
        for move in book.all(
            MoveRow,
            among(t.Move.to_box_id, ids),
            t.Move.stage.is_not(None),
            order=(t.Move.on, t.Move.id),
        ):
            if move.stage is not None:
                self._put_in[move.to_box_id].append((move.on, move.stage))

    def at(self, box_id: int, on: dt.date) -> Stage | None:
        """Return the stage most of a box were at on a day."""
        looks = [key for key in self._looks[box_id] if key[0] <= on]
        if looks:
            return most_at(self._looks[box_id][max(looks)])
        put_in = [stage for day, stage in self._put_in[box_id] if day <= on]
        return put_in[-1] if put_in else None

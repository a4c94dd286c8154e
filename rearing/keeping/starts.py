"""Where the animals of a brood begin in a forecast: hatch dates, or what was seen."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.keeping.moments import short_day, span_words
from rearing.science.stages import Start
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.keeping.holding import BoxNow, Holding, Look
    from rearing.records.rows import MoveRow
    from rearing.sheets.sheet import SpeciesSheet

QUIET_DAYS = 14
"""No moth for so long, and the pupae left wait another winter (common practice)."""

MORNING = dt.time(8)
"""Larvae hatch mostly in the morning (Oehlke, egg care)."""


def group_starts(
    boxes: Sequence[BoxNow], sheet: SpeciesSheet, held: Holding, from_s: float
) -> tuple[list[Start], str]:
    """Return the starts of boxes that stand together, and in words what they are."""
    starts: list[Start] = []
    looks: list[dt.date] = []
    hatches: list[dt.date] = []
    for box in boxes:
        look = box.last_look
        if look is not None and look.total:
            starts += _seen(box, look, sheet, held, from_s)
            looks.append(look.on)
        else:
            moves = [m for m in box.moves_in if m.number > 0]
            starts += _moved(box, moves, sheet, held, from_s)
            hatches += [m.on for m in moves]
    number = sum(start.number for start in starts)
    told = []
    if looks:
        told.append(f"stages seen {span_words(min(looks), max(looks))}")
    if hatches:
        told.append(f"put in {span_words(min(hatches), max(hatches))}")
    waits = any(b.last_look and lies_over(b, b.last_look, sheet) for b in boxes)
    over = ", lying over" if waits else ""
    return starts, f"{number} animals{over}, {' and '.join(told)}"


def lies_over(box: BoxNow, look: Look, sheet: SpeciesSheet) -> bool:
    """Return True for pupae that did not fly with the others and wait a winter more.

    They begin anew: the cold they had does not count, only the next one.
    """
    since = box.standing.last_emerged
    if since is None or not sheet.winter.lies_over:
        return False
    return (look.on - since).days >= QUIET_DAYS


def shared_out(total: int, weights: Sequence[float]) -> list[int]:
    """Share a number out in proportion, in whole animals that add up to it."""
    whole = sum(weights)
    if whole <= 0:
        return [0 for _ in weights]
    exact = [total * weight / whole for weight in weights]
    shares = [int(part) for part in exact]
    rest = total - sum(shares)
    order = sorted(range(len(weights)), key=lambda i: (shares[i] - exact[i], i))
    for i in order[:rest]:
        shares[i] += 1
    return shares


def _seen(
    box: BoxNow, look: Look, sheet: SpeciesSheet, held: Holding, from_s: float
) -> list[Start]:
    zone = held.home.zone
    at = look.at or dt.datetime.combine(look.on, dt.time(20), zone)
    at_s = max(at.timestamp(), from_s)
    parts: list[tuple[Stage, int, bool]] = []
    for stage, number in look.numbers.items():
        resting = min(look.resting.get(stage, 0), number)
        parts.append((stage, number - resting, False))
        parts.append((_next(stage, sheet), resting, True))
    numbers = shared_out(box.standing.number, [number for _, number, _ in parts])
    rest_s = sheet.moult_rest_hours.middle / 2 * 3600
    return [
        Start(
            at_s + (rest_s if rests else 0.0),
            known_stage(stage, sheet),
            number,
            fresh=rests or (stage is Stage.PUPA and lies_over(box, look, sheet)),
        )
        for (stage, _, rests), number in zip(parts, numbers, strict=True)
        if number and stage is not Stage.ADULT
    ]


def _moved(
    box: BoxNow,
    moves: Sequence[MoveRow],
    sheet: SpeciesSheet,
    held: Holding,
    from_s: float,
) -> list[Start]:
    numbers = shared_out(box.standing.number, [move.number for move in moves])
    zone = held.home.zone
    starts = []
    for move, number in zip(moves, numbers, strict=True):
        if not number:
            continue
        stage = move.stage or Stage.L1
        if stage is Stage.ADULT:
            continue
        at = move.at or dt.datetime.combine(move.on, MORNING, zone)
        # Just hatched, or just down to pupate; any other stage was merely moved in.
        fresh = move.from_pot_id is not None or stage is Stage.WANDERING
        at_s = max(at.timestamp(), from_s)
        starts.append(Start(at_s, known_stage(stage, sheet), number, fresh=fresh))
    return starts


def known_stage(stage: Stage, sheet: SpeciesSheet) -> Stage:
    """Return the stage, or the last usual instar for one beyond it."""
    if stage.is_larva and stage not in sheet.larval_stages:
        return sheet.larval_stages[-1]
    return stage


def _next(stage: Stage, sheet: SpeciesSheet) -> Stage:
    known = known_stage(stage, sheet)
    if known in sheet.larval_stages[:-1]:
        return sheet.larval_stages[sheet.larval_stages.index(known) + 1]
    if known is Stage.WANDERING:
        return Stage.PUPA
    return Stage.WANDERING if known.is_larva else known


def last_look_words(look: Look) -> str:
    """Return a look in words: L3 6, L4 43, L5 11 on 30 May."""
    parts = ", ".join(f"{stage} {n}" for stage, n in look.numbers.items())
    return f"{parts} on {short_day(look.on)}"

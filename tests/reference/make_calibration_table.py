"""Print the calibration table of DEVELOPERS.md: simulated broods of known truth.

Takes some twenty minutes. From the project's folder, in its own environment:

    python -m tests.reference.make_calibration_table [BROODS] [SEED]

Broods of `tests/science/known_broods.py` are forecast at five ages, indoors and
outdoors (half of them each), by the sheet alone and with four finished broods of the
species behind them.
"""

from __future__ import annotations

import sys

from rearing.science.honesty import Replayed, score
from tests.science.known_broods import AGES
from tests.science.replaying import replay

WORDS = {
    "egg": "laid, nothing counted",
    "L1": "in L1, hatch counted",
    "L3": "in L3, looks every third day",
    "L5": "in L5, the same",
    "pupa": "pupae, the same",
}


def main() -> None:
    """Print both tables as Markdown."""
    broods = int(sys.argv[1]) if len(sys.argv) > 1 else 1200
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 11
    by_sheet = replay(broods, seed)
    taught = replay(broods, seed + 1, learns=True)
    print(f"{broods} broods by the sheet alone, {broods} with four finished broods")
    print()
    print("| forecast made | place | prior | windows | first | half | last |")
    print("|---|---|---|--:|--:|--:|--:|")
    for age in AGES:
        for place in ("indoors", "outdoors"):
            for prior, done in (("sheet", by_sheet), ("learnt", taught)):
                some = [one for one in done.of(place=place) if one.age == age]
                print(_row(f"{WORDS[age]} | {place} | {prior}", some))
    print()
    print("| forecast made | place | error, sheet | error, learnt | calendar | part |")
    print("|---|---|--:|--:|--:|--:|")
    for age in AGES:
        for place in ("indoors", "outdoors"):
            sheet = score(_emergence(by_sheet.of(place=place), age))
            told = score(_emergence(taught.of(place=place), age))
            if sheet is None or told is None or told.calendar_error_days is None:
                continue
            print(
                f"| {WORDS[age]} | {place} | {sheet.error_days:.1f} d "
                f"| {told.error_days:.1f} d | {told.calendar_error_days:.1f} d "
                f"| {told.against_calendar:.2f} |"
            )


def _row(head: str, some: list[Replayed]) -> str:
    cells = []
    for piece in ("first", "half", "last"):
        found = score([one for one in some if one.piece == piece])
        cells.append("" if found is None else f"{100 * found.held.share:.0f} %")
    return f"| {head} | {len(some)} | " + " | ".join(cells) + " |"


def _emergence(some: list[Replayed], age: str) -> list[Replayed]:
    return [one for one in some if one.age == age and one.calendar_s is not None]


if __name__ == "__main__":
    main()

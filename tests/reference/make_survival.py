"""Make survival.json with lifelines, a general library of survival analysis.

Needs lifelines, pinned in requirements-survival.txt beside this file, in an
environment of its own:

    python -m venv .venv-survival
    .venv-survival/bin/pip install -r tests/reference/requirements-survival.txt
    .venv-survival/bin/python tests/reference/make_survival.py --check

Without --check the fixture is written anew; with it, it is compared and the exit code
is 1 where a value differs. Animals come from a seed: whole days of death or of leaving
alive, some of them come late (half-days, so that nobody comes and dies at once).
"""

from __future__ import annotations

import argparse
import importlib
import importlib.metadata
import json
import random
import sys
from pathlib import Path
from typing import Any

FIXTURE = Path(__file__).with_name("survival.json")
LOTS = 24
LEAST = 1e-9


def main() -> int:
    """Write the fixture, or compare it."""
    parser = argparse.ArgumentParser(description="Survivorship by lifelines.")
    parser.add_argument("--check", action="store_true", help="compare, write nothing")
    check = parser.parse_args().check
    made = made_by_lifelines()
    if not check:
        FIXTURE.write_text(json.dumps(made, indent=0) + "\n", encoding="utf-8")
        print(f"Wrote {FIXTURE.name}.")
        return 0
    same = _alike(json.loads(FIXTURE.read_text(encoding="utf-8")), made)
    print(f"{FIXTURE.name}: {'no difference' if same else 'differs'}.")
    return 0 if same else 1


def made_by_lifelines() -> dict[str, Any]:
    """Return lots of animals with their survivorship, and pairs compared."""
    chance = random.Random(5)
    lots = [_lot(chance, late=number % 2 == 1) for number in range(LOTS)]
    return {
        "source": "lifelines: KaplanMeierFitter with log-log limits, logrank_test",
        "made_with": {
            name: importlib.metadata.version(name) for name in ("lifelines", "numpy")
        },
        "lots": [{"animals": lot, "steps": _steps(lot)} for lot in lots],
        "pairs": [
            {"one": i, "other": i + 2, **_compared(lots[i], lots[i + 2])}
            for i in range(0, LOTS - 2, 4)
        ],
    }


def _lot(chance: random.Random, *, late: bool) -> list[tuple[float, int, bool]]:
    """Return animals: came, died or left, whether it died."""
    number = chance.randrange(12, 90)
    animals: list[tuple[float, int, bool]] = []
    pace = chance.uniform(8, 40)
    for _ in range(number):
        # The first third is there from the start, so that some always live.
        came = 0.0
        if late and len(animals) > number // 3:
            came = chance.randrange(0, 6) + 0.5
        ended = int(came) + 1 + int(chance.expovariate(1 / pace))
        animals.append((came, min(ended, 45), chance.random() < 0.7 and ended <= 45))
    return animals


def _steps(lot: list[tuple[float, int, bool]]) -> list[list[float]]:
    """Return time, share and limits after each time with a death but a last one."""
    # Loaded by name: the project's own environment does not have it.
    lifelines = importlib.import_module("lifelines")
    fitter = lifelines.KaplanMeierFitter()
    came, ended, died = zip(*lot, strict=True)
    fitter.fit(ended, event_observed=died, entry=came)
    table = fitter.event_table
    limits = fitter.confidence_interval_survival_function_
    found = []
    for time in sorted({end for _, end, dead in lot if dead}):
        share = float(fitter.survival_function_.loc[time].iloc[0])
        low, high = (float(x) for x in limits.loc[time])
        if share > LEAST:
            at_risk = int(table.loc[time, "at_risk"])
            found.append([time, at_risk, share, low, high])
    return found


def _compared(
    one: list[tuple[float, int, bool]], other: list[tuple[float, int, bool]]
) -> dict[str, float]:
    statistics = importlib.import_module("lifelines.statistics")
    found = statistics.logrank_test(
        *([end for _, end, _ in lot] for lot in (one, other)),
        *([dead for _, _, dead in lot] for lot in (one, other)),
    )
    return {"chi_square": float(found.test_statistic), "p": float(found.p_value)}


def _alike(kept: Any, made: Any) -> bool:
    """Tell whether two trees of values are the same, numbers to nine digits."""
    if isinstance(made, dict):
        return kept.keys() == made.keys() and all(
            _alike(kept[key], made[key]) for key in made
        )
    if isinstance(made, (list, tuple)):
        return len(kept) == len(made) and all(
            _alike(a, b) for a, b in zip(kept, made, strict=True)
        )
    if isinstance(made, float):
        return bool(abs(kept - made) <= LEAST * max(1.0, abs(made)))
    return bool(kept == made)


if __name__ == "__main__":
    sys.exit(main())

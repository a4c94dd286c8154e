"""Make sun_times.json with ephem, a general astronomy library.

Needs ephem, pinned in requirements-sky.txt beside this file:

    python -m venv .venv-reference
    .venv-reference/bin/pip install -r tests/reference/requirements-sky.txt
    .venv-reference/bin/python tests/reference/make_sun_times.py --check

Without --check the fixture is written anew; with it, it is compared and the exit code
is 1 where a value differs by more than a second. Places and days come from a seed.

ephem reckons the sun by VSOP87; here without refraction, the sun's middle at the
altitude named, so that two ways to the same geometry are compared.
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

FIXTURE = Path(__file__).with_name("sun_times.json")
PLACES = 100
ALTITUDES_DEG = (-50 / 60, -6.0, -12.0, -18.0)
DAY_S = 86400
START_S, DAYS = 1_262_304_000, 365 * 25  # from 1 January 2010, UTC


def main() -> int:
    """Write the fixture, or compare it."""
    parser = argparse.ArgumentParser(description="Sun times by ephem.")
    parser.add_argument("--check", action="store_true", help="compare, write nothing")
    check = parser.parse_args().check
    made = made_by_ephem()
    if not check:
        FIXTURE.write_text(json.dumps(made, indent=0) + "\n", encoding="utf-8")
        print(f"Wrote {FIXTURE.name}.")
        return 0
    different = differences(json.loads(FIXTURE.read_text(encoding="utf-8")), made)
    for line in different:
        print(line)
    print(f"{FIXTURE.name}: {len(different)} differences.")
    return 1 if different else 0


def made_by_ephem() -> dict[str, Any]:
    """Return places, days and the sun's times there [epoch s], null for none."""
    chance = random.Random(20)
    rows = []
    for _ in range(PLACES):
        lat, lon = (
            round(chance.uniform(-75, 75), 3),
            round(chance.uniform(-180, 180), 3),
        )
        day_s = START_S + DAY_S * chance.randrange(DAYS)
        # Noon by the sun's mean time at that longitude.
        noon_s = round(day_s + DAY_S / 2 - lon * 240)
        times = [event(lat, lon, noon_s, altitude) for altitude in ALTITUDES_DEG]
        rows.append({"lat": lat, "lon": lon, "noon_s": noon_s, "times": times})
    return {
        "source": "ephem: sun's middle at -50', -6, -12, -18 degrees, no refraction; "
        "before and after noon",
        "made_with": {"ephem": importlib.metadata.version("ephem")},
        "rows": rows,
    }


def event(
    lat: float, lon: float, noon_s: int, altitude: float
) -> tuple[int | None, int | None]:
    """Rising before and setting after a noon."""
    # Loaded by name: the project's own environment does not have it.
    ephem = importlib.import_module("ephem")
    observer = ephem.Observer()
    observer.lat, observer.lon = str(lat), str(lon)
    observer.elevation, observer.pressure = 0, 0
    observer.horizon = str(altitude)
    sun = ephem.Sun()
    found: list[int | None] = []
    for ask in ("previous_rising", "next_setting"):
        observer.date = ephem.Date((noon_s / DAY_S) - ephem_epoch_days(ephem))
        try:
            at = getattr(observer, ask)(sun, use_center=True)
        except (ephem.AlwaysUpError, ephem.NeverUpError):
            found.append(None)
            continue
        at_s = round((float(at) + ephem_epoch_days(ephem)) * DAY_S)
        found.append(at_s if abs(at_s - noon_s) <= DAY_S // 2 else None)
    return found[0], found[1]


def ephem_epoch_days(ephem: Any) -> float:
    """Days from ephem's zero to 1 January 1970, negative of its date of that day."""
    return -float(ephem.Date("1970/1/1"))


def differences(kept: dict[str, Any], made: dict[str, Any]) -> list[str]:
    """Return one line for each thing that differs."""
    found = [
        f"{key}: kept {kept.get(key)}, made {made[key]}"
        for key in ("source", "made_with")
        if kept.get(key) != made[key]
    ]
    for old, new in zip(kept["rows"], made["rows"], strict=True):
        for one, other in zip(old["times"], new["times"], strict=True):
            for a, b in zip(one, other, strict=True):
                if (a is None) != (b is None) or (a is not None and abs(a - b) > 1):
                    found.append(f"{new['lat']}, {new['lon']}: kept {a}, made {b}")
    return found


if __name__ == "__main__":
    sys.exit(main())

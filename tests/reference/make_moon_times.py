"""Make moon_times.json with skyfield and an ephemeris of the Jet Propulsion Laboratory.

Needs skyfield and the data package that carries DE421, pinned in requirements-moon.txt
beside this file:

    python -m venv .venv-moon
    .venv-moon/bin/pip install -r tests/reference/requirements-moon.txt
    .venv-moon/bin/python tests/reference/make_moon_times.py --check

Without --check the fixture is written anew; with it, it is compared and the exit code
is 1 where a time differs by more than a second. Places and days come from a seed. The
program reckons the moon with another library (ephem), so two roads are compared.
"""

from __future__ import annotations

import argparse
import importlib
import importlib.metadata
import json
import random
import sys
import warnings
from pathlib import Path
from typing import Any

FIXTURE = Path(__file__).with_name("moon_times.json")
PLACES, POLAR = 100, 15
DAY_S = 86400
START_S, DAYS = 1_262_304_000, 365 * 25  # from 1 January 2010, UTC


def main() -> int:
    """Write the fixture, or compare it."""
    parser = argparse.ArgumentParser(description="Moon times by skyfield.")
    parser.add_argument("--check", action="store_true", help="compare, write nothing")
    check = parser.parse_args().check
    made = made_by_skyfield()
    if not check:
        FIXTURE.write_text(json.dumps(made, indent=0) + "\n", encoding="utf-8")
        print(f"Wrote {FIXTURE.name}.")
        return 0
    different = differences(json.loads(FIXTURE.read_text(encoding="utf-8")), made)
    for line in different:
        print(line)
    print(f"{FIXTURE.name}: {len(different)} differences.")
    return 1 if different else 0


def made_by_skyfield() -> dict[str, Any]:
    """Return places, days, and the moon's risings and settings there [epoch s]."""
    # Loaded by name: the project's own environment does not have them.
    api = importlib.import_module("skyfield.api")
    data = importlib.import_module("skyfield_data")
    with warnings.catch_warnings():
        # Its table of the earth's turning ends; ours is not read from it.
        warnings.simplefilter("ignore")
        load = api.Loader(data.get_skyfield_data_path())
        bodies, scale = load("de421.bsp"), load.timescale(builtin=True)
    chance = random.Random(44)
    rows = []
    for number in range(PLACES):
        widest = (76, 89.5) if number < POLAR else (-75, 75)
        lat = round(chance.uniform(*widest), 3) * (-1 if number % 2 else 1)
        lon = round(chance.uniform(-180, 180), 3)
        noon_s = round(START_S + DAY_S * chance.randrange(DAYS) + DAY_S / 2 - lon * 240)
        rows.append({"lat": lat, "lon": lon, "noon_s": noon_s})
        rows[-1] |= of_one(bodies, scale, rows[-1])
    names = ("skyfield", "skyfield-data", "jplephem")
    return {
        "source": "skyfield with DE421: upper edge at the horizon, refraction 34', in "
        "the 24 hours after a noon; lit fraction in their middle",
        "made_with": {name: importlib.metadata.version(name) for name in names},
        "rows": rows,
    }


def of_one(bodies: Any, scale: Any, row: dict[str, Any]) -> dict[str, Any]:
    """Return the moon's events of one row; a graze that crosses nothing is none."""
    almanac = importlib.import_module("skyfield.almanac")
    api = importlib.import_module("skyfield.api")
    here = bodies["earth"] + api.wgs84.latlon(row["lat"], row["lon"])
    start, middle, end = (
        scale.ut1_jd((row["noon_s"] + part * DAY_S) / DAY_S + 2440587.5)
        for part in (0, 0.5, 1)
    )
    found: dict[str, Any] = {}
    for name, ask in (
        ("rises", almanac.find_risings),
        ("sets", almanac.find_settings),
    ):
        moments, crosses = ask(here, bodies["moon"], start, end)
        found[name] = [
            round(moment.utc_datetime().timestamp())
            for moment, real in zip(moments, crosses, strict=True)
            if real
        ]
    lit = float(almanac.fraction_illuminated(bodies, "moon", middle))
    return found | {"fraction": round(lit, 4)}


def differences(kept: dict[str, Any], made: dict[str, Any]) -> list[str]:
    """Return one line for each thing that differs."""
    found = [
        f"{key}: kept {kept.get(key)}, made {made[key]}"
        for key in ("source", "made_with")
        if kept.get(key) != made[key]
    ]
    for old, new in zip(kept["rows"], made["rows"], strict=True):
        place = f"{new['lat']}, {new['lon']}"
        if abs(old["fraction"] - new["fraction"]) > 1e-4:
            found.append(f"{place}: kept {old['fraction']}, made {new['fraction']}")
        for key in ("rises", "sets"):
            same = len(old[key]) == len(new[key]) and all(
                abs(a - b) <= 1 for a, b in zip(old[key], new[key], strict=True)
            )
            if not same:
                found.append(f"{place} {key}: kept {old[key]}, made {new[key]}")
    return found


if __name__ == "__main__":
    sys.exit(main())

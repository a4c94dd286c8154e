"""Make growing_degree_days.json with xclim, a general climate library.

Needs xclim, xarray, numpy, pandas and vega_datasets, pinned in requirements.txt beside
this file; they are heavy, so they live in an environment of their own:

    python -m venv .venv-reference
    .venv-reference/bin/pip install -r tests/reference/requirements.txt
    .venv-reference/bin/python tests/reference/make_growing_degree_days.py --check

Without --check the fixture is written anew; with it, it is compared and the exit
code is 1 where a value differs. No clock and no chance is involved.

The data are Seattle's daily minimum and maximum, 2012 to 2015, as vega_datasets
ships them (its own note: drawn from public-domain NOAA data).
"""

from __future__ import annotations

import argparse
import importlib
import importlib.metadata
import json
import sys
from pathlib import Path
from typing import Any

FIXTURE = Path(__file__).with_name("growing_degree_days.json")
THRESHOLDS_C = (0.0, 4.0, 5.0, 10.0, 12.5)
LIBRARIES = ("numpy", "pandas", "vega_datasets", "xarray", "xclim")


def main() -> int:
    """Write the fixture, or compare it."""
    parser = argparse.ArgumentParser(description="Growing degree-days by xclim.")
    parser.add_argument("--check", action="store_true", help="compare, write nothing")
    check = parser.parse_args().check
    made = made_by_xclim()
    if not check:
        FIXTURE.write_text(json.dumps(made, indent=1) + "\n", encoding="utf-8")
        print(f"Wrote {FIXTURE.name}.")
        return 0
    different = differences(json.loads(FIXTURE.read_text(encoding="utf-8")), made)
    for line in different:
        print(line)
    print(f"{FIXTURE.name}: {len(different)} differences.")
    return 1 if different else 0


def made_by_xclim() -> dict[str, Any]:
    """Return the monthly sums, and with what they were made."""
    # Loaded by name: the project's own environment has neither.
    indices = importlib.import_module("xclim.indices")
    mean = mean_temperature()
    sums = {}
    for threshold in THRESHOLDS_C:
        monthly = indices.growing_degree_days(
            mean, thresh=f"{threshold} degC", freq="MS"
        )
        sums[str(threshold)] = [round(float(v), 6) for v in monthly.values]
    months = [str(t)[:7] for t in monthly["time"].values]
    return {
        "source": "xclim.indices.growing_degree_days of (temp_min + temp_max) / 2, "
        "vega_datasets seattle_weather, monthly sums [°C d]",
        "made_with": {name: importlib.metadata.version(name) for name in LIBRARIES},
        "months": months,
        "degree_days_by_threshold_c": sums,
    }


def mean_temperature() -> Any:
    """Return Seattle's daily mean as the array xclim wants."""
    vega = importlib.import_module("vega_datasets")
    xarray = importlib.import_module("xarray")
    table = vega.local_data.seattle_weather()
    mean = (table["temp_min"].to_numpy() + table["temp_max"].to_numpy()) / 2.0
    days = table["date"].to_numpy().astype("datetime64[ns]")
    return xarray.DataArray(
        mean, coords={"time": days}, dims="time", attrs={"units": "degC"}
    )


def differences(kept: dict[str, Any], made: dict[str, Any]) -> list[str]:
    """Return one line for each thing that differs, values to 1e-6 degree-days."""
    found = [
        f"{key}: kept {kept.get(key)}, made {made[key]}"
        for key in ("source", "made_with", "months")
        if kept.get(key) != made[key]
    ]
    for threshold, values in made["degree_days_by_threshold_c"].items():
        old = kept["degree_days_by_threshold_c"].get(threshold, [])
        if len(old) != len(values):
            found.append(f"{threshold} °C: kept {len(old)} months, made {len(values)}")
            continue
        found += [
            f"{threshold} °C, {month}: kept {a}, made {b}"
            for month, a, b in zip(made["months"], old, values, strict=True)
            if abs(a - b) > 1.5e-6
        ]
    return found


if __name__ == "__main__":
    sys.exit(main())

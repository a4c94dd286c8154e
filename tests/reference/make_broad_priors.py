"""Recompute resources/species/_lepidoptera.toml from the open compilation.

Needs numpy and the file of the compilation, which is not kept here: the rows of
order Lepidoptera of `COIS_data/SeasonalityDatabase_MASTER.csv`, repository
jgking216/ICBseasonality (Buckley, Arakaki, Cannistra, Kharouba & Kingsolver 2017,
Integr. Comp. Biol. 57:988-998), with its columns ET, LT, TP (thresholds) and
DE, DLT, DP (degree-days).

    python tests/reference/make_broad_priors.py FILE.csv            writes the sheet
    python tests/reference/make_broad_priors.py FILE.csv --check    compares, 1 if not
"""

from __future__ import annotations

import argparse
import csv
import math
import sys
import tomllib
from collections import defaultdict
from pathlib import Path

import numpy as np

SHEET = Path(__file__).parents[2] / "resources" / "species" / "_lepidoptera.toml"
COLUMNS = {"egg": ("ET", "DE"), "larva": ("LT", "DLT"), "pupa": ("TP", "DP")}
WARM_C = 25.0  # above every threshold of the compilation (highest 21.5)

HEAD = '''\
# What is known of the need of heat of moths and butterflies at large. It is used
# for a stage of which nothing is recorded, and says so. Written by
# tests/reference/make_broad_priors.py: edit that, not this.
source = """Computed from the rows of Lepidoptera in the compilation of Buckley, \\
Arakaki, Cannistra, Kharouba & Kingsolver 2017, Integr. Comp. Biol. 57:988-998, \\
file SeasonalityDatabase_MASTER.csv, repository jgking216/ICBseasonality"""
tag = "derived"
handling = """Rows with both threshold and degree-days of the stage; a row that \\
repeats species, threshold and degree-days of another is used once; eggs given more \\
than half of the degree-days from egg to adult are left out, because there egg and \\
larva stand together; nothing else is left out. ln K = intercept + slope * T0 by \\
ordinary least squares. The lines beginning within_ are spreads between data sets of \\
one species: of T0, of ln K about a common slope, and of ln days at 25 °C."""
'''

Row = tuple[str, float, float]


def rows_of(path: Path, stage: str) -> list[Row]:
    """Return species, T0 and K of a stage, exact repeats once, in stable order."""
    threshold, constant = COLUMNS[stage]
    with path.open(encoding="utf-8", errors="replace", newline="") as file:
        lines = (line for line in file if not line.startswith("#"))
        found = {
            (row["Species"].strip(), float(row[threshold]), float(row[constant]))
            for row in csv.DictReader(lines)
            if row[threshold] != "NA" and row[constant] != "NA" and sound(row, constant)
        }
    return sorted(found)


def sound(row: dict[str, str], constant: str) -> bool:
    """Tell whether an egg's constant can be an egg's: at most half of the whole."""
    whole = row["EADDC"]
    if constant != "DE" or whole == "NA":
        return True
    return float(row["DE"]) <= float(whole) / 2


def prior(rows: list[Row]) -> dict[str, float]:
    """Return the numbers of one stage."""
    t0 = np.array([row[1] for row in rows])
    ln_k = np.log([row[2] for row in rows])
    slope, intercept = np.polyfit(t0, ln_k, 1)
    rest = ln_k - intercept - slope * t0
    return {
        "n": len(rows),
        "t0_mean_c": float(t0.mean()),
        "t0_sd_c": float(t0.std(ddof=1)),
        "ln_k_intercept": float(intercept),
        "ln_k_slope": float(slope),
        "residual_sd": math.sqrt(float(rest @ rest) / (len(rows) - 2)),
        **within(rows),
    }


def within(rows: list[Row]) -> dict[str, float]:
    """Return spreads between data sets of one species, pooled over species."""
    by_species: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        by_species[row[0]].append(row)
    groups = [group for group in by_species.values() if len(group) > 1]
    t0 = centred([[row[1] for row in group] for group in groups])
    ln_k = centred([[math.log(row[2]) for row in group] for group in groups])
    days = centred(
        [[math.log(row[2] / (WARM_C - row[1])) for row in group] for group in groups]
    )
    free = len(t0) - len(groups)
    slope = float(t0 @ ln_k) / float(t0 @ t0)
    rest = ln_k - slope * t0
    return {
        "within_n": len(t0),
        "within_species": len(groups),
        "within_t0_sd_c": math.sqrt(float(t0 @ t0) / free),
        "within_residual_sd": math.sqrt(float(rest @ rest) / (free - 1)),
        "within_ln_days_sd": math.sqrt(float(days @ days) / free),
    }


def centred(groups: list[list[float]]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Return every value less the mean of its group."""
    return np.concatenate([np.array(group) - np.mean(group) for group in groups])


def sheet_text(path: Path) -> str:
    """Return the whole sheet as text."""
    parts = [HEAD]
    for stage in COLUMNS:
        numbers = prior(rows_of(path, stage)).items()
        lines = [f"{key} = {round(value, 4)}" for key, value in numbers]
        parts.append("\n".join([f"\n[{stage}]", *lines, ""]))
    return "".join(parts)


def main() -> int:
    """Write the sheet, or compare it with what the compilation gives."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("file", type=Path)
    parser.add_argument("--check", action="store_true")
    asked = parser.parse_args()
    text = sheet_text(asked.file)
    if not asked.check:
        SHEET.write_text(text, encoding="utf-8")
        print(f"Wrote {SHEET}")
        return 0
    same = tomllib.loads(text) == tomllib.loads(SHEET.read_text(encoding="utf-8"))
    print("The sheet agrees." if same else "The sheet differs from the compilation.")
    return 0 if same else 1


if __name__ == "__main__":
    sys.exit(main())

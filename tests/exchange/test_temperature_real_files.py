"""Real weather files read through the importer, against the csv module and dateutil.

The files are those of the `vega_datasets` package: Seattle's daily weather 2012-2015
and hourly temperature normals of one year, both from NOAA.
"""

from __future__ import annotations

import csv
import math
from datetime import date, datetime
from pathlib import Path

import numpy as np
from dateutil import parser, tz
from vega_datasets import local_data

from rearing.exchange.temperatures import read, understand

DAILY = Path(local_data.seattle_weather.filepath)
HOURLY = Path(local_data.seattle_temps.filepath)
SEATTLE = "America/Los_Angeles"


def plain_rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_four_years_of_daily_weather() -> None:
    how = understand(DAILY, zone=SEATTLE, unit="c")
    assert how.daily
    assert how.doubts == ()
    found = read(DAILY, how)
    rows = plain_rows(DAILY)
    (daily,) = found.daily
    assert daily.day.tolist() == [
        date.fromisoformat(row["date"].replace("/", "-")) for row in rows
    ]
    assert daily.low_c.tolist() == [float(row["temp_min"]) for row in rows]
    assert daily.high_c.tolist() == [float(row["temp_max"]) for row in rows]
    assert len(rows) == 1461  # four years with one leap day
    assert found.set_aside == ()
    assert found.duplicates == found.blanks == 0


def test_a_year_of_hours_in_fahrenheit() -> None:
    how = understand(HOURLY, zone=SEATTLE, unit="f")
    found = read(HOURLY, how)
    rows = plain_rows(HOURLY)
    (series,) = found.series
    # The hours are normals without a clock change: one does not exist in spring.
    (skipped,) = found.set_aside
    assert skipped.text.startswith("2010/03/14 02:00")
    kept = [row for row in rows if not row["date"].startswith("2010/03/14 02:00")]
    assert len(series.at_s) == len(kept) == len(rows) - 1
    total_f = math.fsum(float(row["temp"]) for row in kept)
    total_c = (total_f - 32 * len(kept)) * 5 / 9
    assert math.isclose(math.fsum(series.celsius), total_c, rel_tol=1e-12)
    zone = tz.gettz(SEATTLE)
    expected = [
        datetime.strptime(row["date"], "%Y/%m/%d %H:%M")
        .replace(tzinfo=zone)
        .timestamp()
        for row in kept
    ]
    np.testing.assert_array_equal(series.at_s, expected)


def test_the_same_hours_at_a_fixed_offset_lose_none() -> None:
    found = read(HOURLY, understand(HOURLY, zone="UTC-08:00", unit="f"))
    rows = plain_rows(HOURLY)
    (series,) = found.series
    pacific = tz.tzoffset("", -8 * 3600)
    assert series.at_s.tolist() == [
        parser.parse(row["date"]).replace(tzinfo=pacific).timestamp() for row in rows
    ]
    assert found.set_aside == ()


def test_the_unsaid_fahrenheit_of_the_hours_is_noticed() -> None:
    how = understand(HOURLY, zone=SEATTLE)
    assert [doubt.taken for doubt in how.doubts] == ["f"]

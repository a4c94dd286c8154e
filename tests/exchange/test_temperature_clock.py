"""Wall clocks to UTC, checked against python-dateutil's own zone files and rules."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

import numpy as np
import pytest
from dateutil import tz
from hypothesis import given
from hypothesis import strategies as st

from rearing.exchange.temperature_clock import to_utc, zone_named
from rearing.exchange.temperature_hours import NO_OFFSET, offset_of
from rearing.exchange.temperatures import read, understand
from rearing.problems import Refusal

if TYPE_CHECKING:
    from pathlib import Path

# dateutil reads zone data with code of its own, independent of zoneinfo.
OTHER_LJUBLJANA = tz.gettz("Europe/Ljubljana")


def written(path: Path, rows: list[str]) -> Path:
    path.write_text("time,temp °C\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return path


def wall_rows(start: datetime, count: int, step: timedelta) -> list[datetime]:
    """Wall-clock times of a logger in Ljubljana that follows the clock changes."""
    assert OTHER_LJUBLJANA is not None
    return [
        (start + n * step).astimezone(OTHER_LJUBLJANA).replace(tzinfo=None)
        for n in range(count)
    ]


def seconds(start: datetime, count: int, step: timedelta) -> list[int]:
    return [int((start + n * step).timestamp()) for n in range(count)]


@pytest.mark.parametrize("minutes", [5, 10, 15, 30, 60, 7, 45])
@pytest.mark.parametrize("newest_first", [False, True])
def test_the_repeated_hour_is_told_apart_by_the_order_of_rows(
    minutes: int, newest_first: bool, tmp_path: Path
) -> None:
    # 2021-10-31: 03:00 CEST became 02:00 CET at 01:00 UTC
    # (EU directive 2000/84/EC, from memory).
    start, step = datetime(2021, 10, 30, 20, tzinfo=UTC), timedelta(minutes=minutes)
    count = 60 * 10 // minutes
    walls = wall_rows(start, count, step)
    rows = [f"{at:%Y-%m-%d %H:%M},{10 + n / 100}" for n, at in enumerate(walls)]
    if newest_first:
        rows.reverse()
    path = written(tmp_path / "autumn.csv", rows)
    found = read(path, understand(path, zone="Europe/Ljubljana"))
    (series,) = found.series
    assert series.at_s.tolist() == seconds(start, count, step)
    np.testing.assert_array_equal(series.celsius, [10 + n / 100 for n in range(count)])
    assert found.guessed_hour == 0
    assert found.set_aside == ()


def test_rows_sorted_by_the_wall_clock_still_fill_both_rounds(tmp_path: Path) -> None:
    start, step = datetime(2021, 10, 30, 22, tzinfo=UTC), timedelta(minutes=30)
    walls = sorted(wall_rows(start, 16, step))
    path = written(tmp_path / "a.csv", [f"{at:%Y-%m-%d %H:%M},9.5" for at in walls])
    found = read(path, understand(path, zone="Europe/Ljubljana"))
    assert found.series[0].at_s.tolist() == seconds(start, 16, step)
    assert found.duplicates == 0


def test_rows_doubled_all_along_are_repeats_and_not_a_second_round(
    tmp_path: Path,
) -> None:
    times = [f"2021-10-31 0{h}:00,9.5" for h in (0, 0, 1, 1, 2, 2, 3, 3)]
    path = written(tmp_path / "a.csv", times)
    found = read(path, understand(path, zone="Europe/Ljubljana"))
    assert found.duplicates == 4
    assert found.kept == 4
    assert found.guessed_hour == 2


def test_one_round_only_is_a_guess_and_counted(tmp_path: Path) -> None:
    times = [f"2021-10-31 0{h}:00,9.5" for h in (0, 1, 2, 3, 4)]
    path = written(tmp_path / "a.csv", times)
    found = read(path, understand(path, zone="Europe/Ljubljana"))
    at = datetime.fromtimestamp(int(found.series[0].at_s[2]), UTC)
    assert at == datetime(2021, 10, 31, 0, 0, tzinfo=UTC)
    assert found.guessed_hour == 1
    assert "repeated hour" in found.sentence


def test_a_time_the_clock_skipped_is_set_aside_with_its_line(tmp_path: Path) -> None:
    # 2021-03-28: 02:00 CET became 03:00 CEST (EU directive 2000/84/EC, from memory).
    times = ["01:30,5.0", "02:00,5.1", "02:30,5.2", "03:00,5.3", "03:30,5.4"]
    path = written(tmp_path / "a.csv", [f"2021-03-28 {text}" for text in times])
    found = read(path, understand(path, zone="Europe/Ljubljana"))
    assert [(one.line, one.text) for one in found.set_aside] == [
        (3, "2021-03-28 02:00,5.1"),
        (4, "2021-03-28 02:30,5.2"),
    ]
    assert "did not exist in Europe/Ljubljana" in found.set_aside[0].reason
    steps = np.diff(found.series[0].at_s)
    assert steps.tolist() == [1800, 1800]


def test_a_logger_on_a_fixed_offset_has_no_skipped_hour(tmp_path: Path) -> None:
    rows = [f"2021-03-28 0{h}:00,5.0" for h in range(6)]
    path = written(tmp_path / "a.csv", rows)
    found = read(path, understand(path, zone="UTC+01:00"))
    assert found.set_aside == ()
    assert found.series[0].at_s[0] == datetime(2021, 3, 27, 23, tzinfo=UTC).timestamp()
    assert np.diff(found.series[0].at_s).tolist() == [3600] * 5


def test_each_logger_of_a_stacked_file_keeps_its_own_order(tmp_path: Path) -> None:
    start, step = datetime(2021, 10, 30, 22, tzinfo=UTC), timedelta(minutes=30)
    walls = wall_rows(start, 12, step)
    lines = [f"{name},{at:%Y-%m-%d %H:%M},8.5" for at in walls for name in "AB"]
    path = tmp_path / "a.csv"
    path.write_text("logger,time,temp_c\n" + "\n".join(lines), encoding="utf-8")
    found = read(path, understand(path, zone="Europe/Ljubljana"))
    assert [series.name for series in found.series] == ["A", "B"]
    for series in found.series:
        assert series.at_s.tolist() == seconds(start, 12, step)


ZONES = (
    "Europe/Ljubljana",
    "Europe/London",
    "America/Los_Angeles",
    "America/St_Johns",
    "Australia/Lord_Howe",
    "Asia/Kolkata",
    "America/Havana",
    "Africa/Casablanca",
)


@given(
    zone=st.sampled_from(ZONES),
    minutes=st.lists(
        st.integers(min_value=0, max_value=60 * 24 * 365 * 20), min_size=1, max_size=50
    ),
)
def test_conversion_agrees_with_dateutil(zone: str, minutes: list[int]) -> None:
    other = tz.gettz(zone)
    assert other is not None
    walls = [datetime(2004, 1, 1) + timedelta(minutes=m) for m in minutes]  # noqa: DTZ001 # wall clock
    local = np.array([int(w.replace(tzinfo=UTC).timestamp()) for w in walls])
    told = to_utc(local, np.full(len(local), NO_OFFSET), zone_named(zone))
    for wall, at, skipped in zip(walls, told.at_s, told.skipped, strict=True):
        aware = wall.replace(tzinfo=other)
        assert skipped == (not tz.datetime_exists(aware))
        if not skipped:
            rounds = {tz.enfold(aware, fold).timestamp() for fold in (0, 1)}
            assert at in rounds


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("+02:00", 2.0),
        ("UTC-5", -5.0),
        ("GMT+0530", 5.5),
        ("Z", 0.0),
        ("cest", 2.0),
        ("−03:30", -3.5),
    ],
)
def test_written_offsets(text: str, hours: float) -> None:
    assert offset_of(text) == hours * 3600


@pytest.mark.parametrize("name", ["Nowhere/Land", "", "Europe", "../etc", "+25:00"])
def test_an_unknown_zone_is_refused_in_words(name: str) -> None:
    with pytest.raises(Refusal, match="no time zone called") as caught:
        zone_named(name)
    assert caught.value.field == "zone"

"""Odd rows, odd figures and odd files: set aside with line and reason, never lost."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from rearing.exchange.temperatures import (
    Cancelled,
    DateOrder,
    Role,
    Temperatures,
    Unit,
    look_again,
    read,
    understand,
)
from rearing.problems import Refusal, UnreadableFile

if TYPE_CHECKING:
    from pathlib import Path

ZONE = "Europe/Ljubljana"


def of(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "shed.csv"
    path.write_text(text, encoding="utf-8")
    return path


def read_text(tmp_path: Path, text: str, **asked: str) -> Temperatures:
    path = of(tmp_path, text)
    return read(path, understand(path, zone=asked.get("zone", ZONE)))


def rows(values: list[str], sign: str = ",") -> str:
    return "".join(
        f"2021-05-{1 + n // 24:02d} {n % 24:02d}:00{sign}{value}\n"
        for n, value in enumerate(values)
    )


@pytest.mark.parametrize(
    ("cell", "why"),
    [
        ("---", "no number"),
        ("NaN", "no number"),
        ("ERR", "no number"),
        ("1e5000", "no number"),
        ("12,5", "no number"),
        ("inf", "no number"),
        ("1_2", "no number"),
        ("-127.00", "not connected"),
        ("85.0", "switched on"),
        ("70.1", "outside -60 to 70"),
        ("-60.1", "outside -60 to 70"),
        ("-9999", "outside -60 to 70"),
    ],
)
def test_an_impossible_figure_is_set_aside(cell: str, why: str, tmp_path: Path) -> None:
    text = "time;temp °C\n" + rows(["12.5", "13.0", cell, "13.5", "14.0"], ";")
    found = read_text(tmp_path, text)
    (aside,) = found.set_aside
    assert aside.line == 4
    assert cell in aside.text
    assert why in aside.reason
    assert found.series[0].celsius.tolist() == [12.5, 13.0, 13.5, 14.0]
    assert found.set_aside_counts == {aside.reason: 1}


def test_the_edges_of_the_possible_are_kept(tmp_path: Path) -> None:
    found = read_text(tmp_path, "time,temp °C\n" + rows(["-60", "70", "0", "-0.0"]))
    assert found.series[0].celsius.tolist() == [-60.0, 70.0, 0.0, 0.0]


def test_a_sensor_fault_in_fahrenheit_is_known_too(tmp_path: Path) -> None:
    # 185 °F = 85 °C and −196.6 °F = −127 °C by definition of the scales.
    found = read_text(tmp_path, "time,temp °F\n" + rows(["50", "185", "-196.6", "32"]))
    assert "switched on" in found.set_aside[0].reason
    assert "not connected" in found.set_aside[1].reason
    assert found.series[0].celsius.tolist() == [10.0, 0.0]


def test_repeats_are_counted_and_contradictions_set_aside(tmp_path: Path) -> None:
    text = (
        "time,temp °C\n2021-05-01 10:00,12.0\n2021-05-01 11:00,13.0\n"
        "2021-05-01 10:00,12.0\n2021-05-01 10:00,12.4\n2021-05-01 12:00,14.0\n"
    )
    found = read_text(tmp_path, text)
    assert found.duplicates == 1
    (aside,) = found.set_aside
    assert (aside.line, aside.text) == (5, "2021-05-01 10:00,12.4")
    assert "first was kept" in aside.reason
    assert found.series[0].celsius.tolist() == [12.0, 13.0, 14.0]


def test_rows_out_of_order_are_sorted(tmp_path: Path) -> None:
    lines = rows([str(v) for v in range(10)]).splitlines(keepends=True)
    found = read_text(tmp_path, "time,temp °C\n" + "".join(lines[5:] + lines[:5]))
    assert found.series[0].celsius.tolist() == list(range(10))
    assert (np.diff(found.series[0].at_s) == 3600).all()


def test_headings_again_a_footer_and_a_cut_row_are_set_aside(tmp_path: Path) -> None:
    head = "time,temp °C,rh\n"
    body = rows(["12.5,50", "13.0,50"])
    text = f"{head}{body}{head}2021-05-02 00:00,14.0,51\n\n2021-05\nEnd of file\n"
    found = read_text(tmp_path, text)
    told = [(one.line, one.text, one.reason.split()[0]) for one in found.set_aside]
    assert told == [
        (4, "time,temp °C,rh", "the"),
        (7, "2021-05", "no"),
        (8, "End of file", "no"),
    ]
    assert "headings again" in found.set_aside[0].reason
    assert found.kept == 3
    assert found.rows_read == 6


def test_a_stray_quotation_mark_swallows_nothing(tmp_path: Path) -> None:
    text = 'time,temp °C,note\n2021-05-01 10:00,12.0,"broken\n'
    text += "2021-05-01 11:00,13.0,ok\n2021-05-01 12:00,14.0,ok\n"
    assert read_text(tmp_path, text).series[0].celsius.tolist() == [12.0, 13.0, 14.0]


def test_several_loggers_side_by_side(tmp_path: Path) -> None:
    text = "time;Shed;Oak;Cellar\n" + rows(
        ["12,5;11,0;", "13,0;;9,5", "13,5;12,0;ERR"], ";"
    )
    found = read_text(tmp_path, text)
    assert [s.name for s in found.series] == ["Shed", "Oak", "Cellar"]
    assert [s.celsius.tolist() for s in found.series] == [
        [12.5, 13.0, 13.5],
        [11.0, 12.0],
        [9.5],
    ]
    assert found.blanks == 2
    assert len(found.set_aside) == 1


def test_a_long_list_of_faults_is_capped_but_counted(tmp_path: Path) -> None:
    text = "time;temp °C\n" + rows(["12.5", "ERR"] * 300, ";")
    found = read_text(tmp_path, text)
    assert len(found.set_aside) == 200
    assert sum(found.set_aside_counts.values()) == 300


def test_daily_lowest_and_highest(tmp_path: Path) -> None:
    text = (
        "date;T min °C;T max °C;mean °C\n1.5.2021;4,5;18,0;11\n2.5.2021;19,0;5,0;11\n"
        "3.5.2021;;17,0;11\n14.5.2021;6,0;16,5;11\n"
    )
    found = read_text(tmp_path, text)
    assert found.series == ()
    (daily,) = found.daily
    assert daily.day.astype(str).tolist() == ["2021-05-01", "2021-05-14"]
    assert daily.low_c.tolist() == [4.5, 6.0]
    assert daily.high_c.tolist() == [18.0, 16.5]
    assert not daily.mean_only
    reasons = {one.line: one.reason for one in found.set_aside}
    assert "lowest is above" in reasons[3]
    assert "only one" in reasons[4]


def test_two_stations_by_the_day_are_paired_by_name(tmp_path: Path) -> None:
    text = (
        "date,Shed max (°C),Shed min (°C),Oak min (°C),Oak max (°C)\n"
        "2021-05-01,18,4,3,19\n2021-05-02,17,5,2,20\n"
    )
    found = read_text(tmp_path, text)
    assert {d.name: (d.low_c.tolist(), d.high_c.tolist()) for d in found.daily} == {
        "Shed": ([4.0, 5.0], [18.0, 17.0]),
        "Oak": ([3.0, 2.0], [19.0, 20.0]),
    }


def test_one_figure_a_day_is_its_mean_and_said(tmp_path: Path) -> None:
    path = of(tmp_path, "date,temp °C\n2021-05-01,11.5\n2021-05-02,12.5\n")
    how = understand(path, zone=ZONE)
    assert any("day's mean" in sentence for sentence in how.sentences)
    (daily,) = read(path, how).daily
    assert daily.mean_only
    assert daily.low_c.tolist() == daily.high_c.tolist() == [11.5, 12.5]


def test_a_reading_every_morning_is_an_instant_not_a_day(tmp_path: Path) -> None:
    text = "time,temp °C\n2021-05-01 08:00,11.5\n2021-05-02 08:00,12.5\n"
    found = read_text(tmp_path, text)
    assert found.daily == ()
    assert np.diff(found.series[0].at_s).tolist() == [86400]


def test_day_first_is_proved_by_a_day_late_in_the_file(tmp_path: Path) -> None:
    head = "".join(f"01/0{m}/2021 10:00,1{m}.0\n" for m in range(1, 9)) * 80
    path = of(tmp_path, f"time,temp °C\n{head}13/09/2021 10:00,15.0\n")
    how = understand(path, zone=ZONE)
    assert how.day_first is True
    assert not how.order_open
    assert any("13/09/2021 shows it" in sentence for sentence in how.sentences)


def test_month_first_is_proved_by_a_day_over_twelve(tmp_path: Path) -> None:
    path = of(tmp_path, "time,temp °C\n05/01/2021 10:00,10\n05/13/2021 10:00,15\n")
    how = understand(path, zone=ZONE)
    assert how.day_first is False
    assert how.doubts == ()


def test_an_open_order_is_asked_and_the_likelier_taken(tmp_path: Path) -> None:
    text = "".join(f"05/{d:02d}/2021 10:00,12.5\n" for d in range(1, 9))
    path = of(tmp_path, "time,temp °C\n" + text)
    how = understand(path, zone=ZONE)
    assert [doubt.about for doubt in how.doubts] == ["date order"]
    assert how.doubts[0].taken == "month first"
    assert how.doubts[0].others == ("day first",)
    answered = understand(path, zone=ZONE, day_first=True)
    assert answered.doubts == ()
    first = read(path, answered).series[0].at_s[:2]
    assert np.diff(first).tolist() == [31 * 86400]  # 5 January to 5 February


def test_two_digit_years_may_lead(tmp_path: Path) -> None:
    text = "".join(f"21-05-{d:02d} 10:00,12.5\n" for d in range(10, 32))
    path = of(tmp_path, "time,temp °C\n" + text)
    how = understand(path, zone=ZONE)
    assert how.date_order is DateOrder.YEAR_FIRST
    assert how.first_rows[0].when == "2021-05-10 10:00"


def test_a_day_that_does_not_exist_is_set_aside(tmp_path: Path) -> None:
    text = "time,temp °C\n28.02.2021 10:00,5\n29.02.2021 10:00,6\n13.13.2021 10:00,7\n"
    found = read_text(tmp_path, text)
    assert [one.line for one in found.set_aside] == [3, 4]
    assert found.kept == 1


def test_midnight_written_as_24_and_left_out(tmp_path: Path) -> None:
    text = (
        "time,temp °C\n2021-05-01 23:00,5\n2021-05-01 24:00,6\n2021-05-02 01:00,7\n"
        "2021-05-02 23:00,5\n2021-05-03,6\n"
    )
    found = read_text(tmp_path, text)
    assert np.diff(found.series[0].at_s).tolist() == [3600, 3600, 22 * 3600, 3600]


def test_an_unsaid_unit_is_asked(tmp_path: Path) -> None:
    path = of(tmp_path, "time,temp\n" + rows(["64.5", "71.0", "68.0"]))
    how = understand(path, zone=ZONE)
    assert [doubt.about for doubt in how.doubts] == ["unit"]
    assert how.doubts[0].taken == "f"
    sure = understand(path, zone=ZONE, unit="f")
    assert sure.doubts == ()
    assert read(path, sure).series[0].celsius[2] == pytest.approx(20.0)
    with pytest.raises(Refusal, match="no unit"):
        understand(path, zone=ZONE, unit="x")


def test_the_keeper_may_choose_other_columns(tmp_path: Path) -> None:
    path = of(tmp_path, "time,temp °C,dew point\n" + rows(["12.5,8.0", "13.0,8.5"]))
    how = understand(path, zone=ZONE)
    assert [column.role for column in how.columns][1:] == [
        Role.TEMPERATURE,
        Role.UNUSED,
    ]
    columns = (
        how.columns[0],
        replace(how.columns[1], role=Role.UNUSED),
        replace(how.columns[2], role=Role.TEMPERATURE, unit=Unit.CELSIUS),
    )
    changed = look_again(path, replace(how, columns=columns))
    assert changed.first_rows[0].celsius == (8.0,)
    assert "Not used: temp °C." in changed.sentences
    (series,) = read(path, changed).series
    assert (series.name, series.celsius.tolist()) == ("dew point", [8.0, 8.5])
    with pytest.raises(Refusal, match="temperature column"):
        read(path, replace(how, columns=how.columns[:1]))


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b" \r\n\r\n", "empty"),
        (b"PK\x03\x04rest of it", "spreadsheet"),
        (b"%PDF-1.7", "PDF"),
        (b"\x00\x01\x02\x00\x07\x08\x09" * 50, "not text"),
        (b"Dear Ana,\nthe moths came.\nYours\n", "none was found"),
        (b"a,b\n1,2\n3,4\n", "no date"),
        (b"time,note\n2021-05-01 10:00,warm\n", "none was found"),
        (b"time,humidity\n2021-05-01 10:00,50\n", "no column of temperatures"),
        (b"time,temp\n2021-05-01 10:00,12,5\n2021-05-01 11:00,13,0\n", "semicolons"),
        (b"x" * 200_000, "longer than"),
    ],
)
def test_a_file_that_is_no_table_says_what_was_found(
    content: bytes, said: str, tmp_path: Path
) -> None:
    path = tmp_path / "odd.csv"
    path.write_bytes(content)
    with pytest.raises(UnreadableFile, match=said) as caught:
        understand(path, zone=ZONE)
    assert "odd.csv" in caught.value.sentence


def test_a_missing_file_and_a_folder_are_told(tmp_path: Path) -> None:
    for path in (tmp_path / "none.csv", tmp_path):
        with pytest.raises(UnreadableFile, match="could not be opened"):
            understand(path, zone=ZONE)


def test_progress_rises_to_one_and_a_stop_stops(tmp_path: Path) -> None:
    lines = "".join(f"{1_600_000_000 + 60 * n},{10 + n % 7}\n" for n in range(70_000))
    path = of(tmp_path, "timestamp,temp °C\n" + lines)
    how = understand(path, zone=ZONE)
    told: list[float] = []
    assert read(path, how, progress=told.append).kept == 70_000
    assert told == sorted(told)
    assert len(told) > 3
    assert told[-1] == 1.0
    seen: list[float] = []
    with pytest.raises(Cancelled, match="Nothing was added"):
        read(path, how, progress=seen.append, cancelled=lambda: len(seen) > 1)
    assert len(seen) == 2


def test_a_row_cut_between_date_and_time_is_set_aside(tmp_path: Path) -> None:
    text = "date,time,temp °C\n01/05/2021,10:00,12.5\n02/05/2021\n"
    found = read_text(tmp_path, text)
    assert [one.line for one in found.set_aside] == [3]
    assert found.kept == 1


def test_failed_first_rows_are_set_aside_not_passed_over(tmp_path: Path) -> None:
    text = "time,temp °C\n" + rows(["ERR", "", "12.5", "13.0", "13.5", "12.0"])
    found = read_text(tmp_path, text)
    assert [one.line for one in found.set_aside] == [2]
    assert (found.rows_read, found.blanks, found.kept) == (6, 1, 4)


def test_a_logger_that_starts_late_is_read(tmp_path: Path) -> None:
    late = [f"{10 + n % 5},{'' if n < 600 else 8 + n % 3}" for n in range(700)]
    found = read_text(tmp_path, "time,Temp shed °C,Temp oak °C\n" + rows(late))
    assert [len(series.at_s) for series in found.series] == [700, 100]


def test_a_heading_may_say_the_order(tmp_path: Path) -> None:
    body = "03/04/2021 10:00,12.5\n03/05/2021 10:00,12.5\n"
    for words, when in (("DD/MM/YYYY", "2021-04-03"), ("mm/dd/yyyy", "2021-03-04")):
        path = of(tmp_path, f"Date ({words}),temp °C\n{body}")
        how = understand(path, zone=ZONE)
        assert how.doubts == ()
        assert how.first_rows[0].when == f"{when} 10:00"


def test_unclear_columns_are_asked(tmp_path: Path) -> None:
    path = of(tmp_path, "time;QN;TT;RF\n" + rows(["3;12.5;80", "3;13.5;81"], ";"))
    how = understand(path, zone=ZONE, unit="c")
    assert [doubt.about for doubt in how.doubts] == ["column"]
    bare = of(tmp_path, rows(["12.5,80", "13.5,81"]))
    how = understand(bare, zone=ZONE, unit="c")
    assert [doubt.about for doubt in how.doubts] == ["column"]
    assert [column.role for column in how.columns][1:] == [
        Role.TEMPERATURE,
        Role.UNUSED,
    ]


def test_hours_in_one_figure_with_the_day(tmp_path: Path) -> None:
    text = "id;when;temp °C;eor\n" + "".join(
        f"44;20210501{h:02d};{10 + h}.5;eor\n" for h in range(5)
    )
    found = read_text(tmp_path, text)
    assert np.diff(found.series[0].at_s).tolist() == [3600] * 4


def test_neighbours_of_a_temperature_are_not_temperatures(tmp_path: Path) -> None:
    head = (
        "Date,Max Temp (°C),Min Temp (°C),Mean Temp (°C),Heat Deg Days (°C),"
        "Dew Point Temp (°C),Rel Hum (%),Wind (km/h),Battery (V)"
    )
    path = of(tmp_path, f"{head}\n2021-05-01,18,4,11,7,3,60,12,3.1\n")
    roles = [column.role for column in understand(path, zone=ZONE).columns]
    assert roles == [Role.DAY, Role.HIGH, Role.LOW, *[Role.UNUSED] * 6]

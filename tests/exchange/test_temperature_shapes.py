"""One record of temperatures, written in many shapes, is read as the same record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from rearing.exchange.temperatures import read, understand

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

LJUBLJANA = ZoneInfo("Europe/Ljubljana")
START = datetime(2021, 5, 10, 22, 30, tzinfo=UTC)
INSTANTS = [START + timedelta(hours=3 * n) for n in range(40)]
CELSIUS = [round(12 + 0.5 * ((7 * n) % 40) - 15 * (n % 9 == 0), 1) for n in range(40)]


def local(at: datetime) -> datetime:
    return at.astimezone(LJUBLJANA)


def comma(value: float) -> str:
    return f"{value}".replace(".", ",")


@dataclass(frozen=True)
class Shape:
    name: str
    row: Callable[[int, datetime, float], str]
    head: str = ""
    foot: str = ""
    encoding: str = "utf-8"
    end: str = "\n"

    def text(self) -> str:
        rows = [
            self.row(n, at, celsius)
            for n, (at, celsius) in enumerate(zip(INSTANTS, CELSIUS, strict=True), 1)
        ]
        whole = self.head + "\n".join(rows) + "\n" + self.foot
        return whole.replace("\n", self.end)


SHAPES = (
    Shape(
        "comma, ISO with a space",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M:%S},{c}",
        "time,temp °C\n",
    ),
    Shape("no heading", lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M},{c}"),
    Shape(
        "semicolon, decimal comma, day first",
        lambda n, at, c: f"{local(at):%d.%m.%Y %H:%M};{comma(c)}",
        "Datum;Temperatur [°C]\n",
    ),
    Shape(
        "tab, day and time apart",
        lambda n, at, c: f"{local(at):%d/%m/%Y}\t{local(at):%H:%M:%S}\t{c}",
        "Date\tTime\tTemp (C)\n",
    ),
    Shape(
        "upright bars",
        lambda n, at, c: f"{local(at):%Y/%m/%d %H:%M}|{c}|45.1",
        "when|temp_c|rh\n",
    ),
    Shape(
        "runs of spaces",
        lambda n, at, c: f"{local(at):%Y-%m-%d}  {local(at):%H:%M}   {c:>6}   55",
        "date        time    tempC   hum\n",
    ),
    Shape(
        "spaces and AM, PM",
        lambda n, at, c: f"{local(at):%m/%d/%Y %I:%M %p} {c}",
        "Date Time Half Temp_C\n",
    ),
    Shape(
        "month first with AM, PM",
        lambda n, at, c: f"{n},{local(at):%m/%d/%y %I:%M:%S %p},{c},,",
        '"#","Date Time","Temp, °C","Started","Stopped"\n',
    ),
    Shape(
        "preamble and units below the headings",
        lambda n, at, c: f"{n};{local(at):%d.%m.%Y %H:%M};{comma(c)};61,0;OK",
        "Logger 4711\nSite: shed, north wall\n\nNo.;Date;T1;RH;State\n;;°C;%;\n",
    ),
    Shape(
        "offset in the heading",
        lambda n, at, c: f"{(at + timedelta(hours=2)):%Y-%m-%d %H:%M:%S},{c}",
        '"Date Time, GMT+02:00","Temp, °C"\n',
    ),
    Shape(
        "ISO with Z", lambda n, at, c: f"{at:%Y-%m-%dT%H:%M:%SZ},{c}", "t,temperature\n"
    ),
    Shape(
        "ISO with offset", lambda n, at, c: f"{local(at).isoformat()},{c}", "t,temp_C\n"
    ),
    Shape("ISO basic", lambda n, at, c: f"{local(at):%Y%m%dT%H%M%S};{c}", "t;temp C\n"),
    Shape("fourteen figures", lambda n, at, c: f"{local(at):%Y%m%d%H%M%S},{c}"),
    Shape(
        "summer time in letters",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M} CEST,{c}",
        "time,temp\n",
    ),
    Shape(
        "seconds since 1970",
        lambda n, at, c: f"{int(at.timestamp())},{c}",
        "timestamp,temperature\n",
    ),
    Shape(
        "milliseconds since 1970",
        lambda n, at, c: f"{int(at.timestamp()) * 1000};{c}",
        "time;temp\n",
    ),
    Shape(
        "spreadsheet days",
        lambda n, at, c: (
            f"{local(at).replace(tzinfo=UTC).timestamp() / 86400 + 25569:.6f}\t{c}"
        ),
        "Date\tTemp °C\n",
    ),
    Shape(
        "year, month, day, hour apart",
        lambda n, at, c: (
            f"{local(at):%Y},{local(at).month},{local(at).day},"
            f"{local(at).hour},{local(at).minute},{c}"
        ),
        "year,month,day,hour,minute,temp_c\n",
    ),
    Shape(
        "month in English words",
        lambda n, at, c: f"{local(at):%d-%b-%Y %H:%M},{c}",
        "date,temp\n",
    ),
    Shape(
        "month in words, American",
        lambda n, at, c: f'"{local(at):%B %d, %Y %I:%M %p}",{c}',
        "date,temp\n",
    ),
    Shape(
        "month in German words",
        lambda n, at, c: f"{local(at).day}. Mai {local(at):%Y %H:%M};{comma(c)}",
        "Zeit;Temperatur\n",
    ),
    Shape(
        "weekday first",
        lambda n, at, c: f"{local(at):%a %d.%m.%Y %H:%M};{comma(c)}",
        "Zeit;Temperatur\n",
    ),
    Shape(
        "two-digit year, day first",
        lambda n, at, c: f"{local(at):%d.%m.%y %H:%M};{comma(c)}",
        "Zeit;Temp\n",
    ),
    Shape(
        "unpadded figures",
        lambda n, at, c: (
            f"{local(at).day}/{local(at).month}/{local(at):%Y} "
            f"{local(at).hour}:{local(at):%M},{c}"
        ),
        "date,temp\n",
    ),
    Shape(
        "time before the date",
        lambda n, at, c: f"{local(at):%H:%M %d/%m/%Y},{c}",
        "when,temp\n",
    ),
    Shape(
        "temperature before the time",
        lambda n, at, c: f"{c};{local(at):%Y-%m-%d %H:%M}",
        "Temp °C;Time\n",
    ),
    Shape(
        "unit behind every figure",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M},{c} °C",
        "time,value\n",
    ),
    Shape(
        "Fahrenheit",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M},{c * 9 / 5 + 32:.2f}",
        "time,Temp (°F)\n",
    ),
    Shape(
        "Kelvin",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M},{c + 273.15:.2f}",
        "time,t2m temp [K]\n",
    ),
    Shape(
        "everything in quotes",
        lambda n, at, c: f'"{local(at):%d.%m.%Y %H:%M}","{comma(c)}"',
        '"Datum","Temp °C"\n',
    ),
    Shape(
        "byte-order mark and \\r\\n",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M};{c}",
        "Time;Temp °C\n",
        encoding="utf-8-sig",
        end="\r\n",
    ),
    Shape(
        "two bytes a sign",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M}\t{c}",
        "Time\tTemp °C\n",
        encoding="utf-16",
    ),
    Shape(
        "two bytes a sign, no mark",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M}\t{c}",
        "Time\tTemp °C\n",
        encoding="utf-16-le",
    ),
    Shape(
        "western code page",
        lambda n, at, c: f"{local(at):%d.%m.%Y %H:%M};{comma(c)}",
        "Zeit (Märzenhütte);Temperatur °C\n",
        encoding="cp1252",
    ),
    Shape(
        "line ends of one \\r",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M},{c}",
        "Time,Temp °C\n",
        end="\r",
    ),
    Shape(
        "real minus signs",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M},{f'{c}'.replace('-', '−')}",
        "Time,Temp °C\n",
    ),
    Shape(
        "dots in the time",
        lambda n, at, c: f"{local(at):%d.%m.%Y};{local(at):%H.%M};{comma(c)}",
        "Dato;Tid (time);Temp\n",
    ),
    Shape(
        "parts of a second",
        lambda n, at, c: f"{local(at):%Y-%m-%d %H:%M:%S}.000,{c}",
        "Time,Temp °C\n",
    ),
    Shape(
        "blank after each comma",
        lambda n, at, c: f"{local(at):%Y-%m-%d}, {local(at):%H:%M}, {c}, 55",
        "Date, Time, Temperature, Humidity\n",
    ),
    Shape(
        "offset in a column of its own",
        lambda n, at, c: f"{at:%Y-%m-%d},{at:%H:%M},+00:00,{c}",
        "date,time,zone,temp\n",
    ),
)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.name)
def test_every_shape_gives_the_same_record(shape: Shape, tmp_path: Path) -> None:
    path = tmp_path / "shed.csv"
    path.write_bytes(shape.text().encode(shape.encoding))
    how = understand(path, zone="Europe/Ljubljana")
    found = read(path, how)
    assert found.set_aside == ()
    (series,) = found.series
    assert series.at_s.dtype == np.int64
    assert series.at_s.tolist() == [int(at.timestamp()) for at in INSTANTS]
    np.testing.assert_allclose(series.celsius, CELSIUS, rtol=0, atol=0.006)
    assert found.rows_read == found.kept == len(INSTANTS)


@pytest.mark.parametrize("shape", SHAPES, ids=lambda shape: shape.name)
def test_the_preview_shows_what_will_be_read(shape: Shape, tmp_path: Path) -> None:
    path = tmp_path / "shed.csv"
    path.write_bytes(shape.text().encode(shape.encoding))
    how = understand(path, zone="Europe/Ljubljana")
    assert len(how.first_rows) == 8
    shown = [row.celsius[0] for row in how.first_rows]
    np.testing.assert_allclose(np.array(shown, float), CELSIUS[:8], atol=0.006)
    first = how.first_rows[0]
    assert first.line == how.first_line == shape.head.count("\n") + 1
    assert first.when[:4] == "2021"
    assert all(sentence.endswith(".") for sentence in how.sentences)

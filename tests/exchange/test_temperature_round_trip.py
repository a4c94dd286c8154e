"""Any record written in any shape comes back the same."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import numpy as np
from dateutil import tz
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rearing.exchange.temperatures import read, understand

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

ZONES = ("Europe/Ljubljana", "America/Los_Angeles", "Asia/Kolkata", "UTC+03:00")
FORMATS = (
    "%Y-%m-%d %H:%M:%S",
    "%d.%m.%Y %H:%M:%S",
    "%m/%d/%Y %I:%M:%S %p",
    "%Y%m%dT%H%M%S",
    "%d %b %Y %H:%M:%S",
    "%H:%M:%S %d/%m/%y",
)


@dataclass(frozen=True)
class Record:
    start_s: int
    step_s: int
    tenths: tuple[int, ...]

    @property
    def at_s(self) -> list[int]:
        return [self.start_s + n * self.step_s for n in range(len(self.tenths))]


@dataclass(frozen=True)
class Writing:
    form: str
    zone: str
    delimiter: str
    decimal: str
    encoding: str
    fahrenheit: bool
    headed: bool
    index: bool
    quoted: bool
    preamble: int


RECORDS = st.builds(
    Record,
    start_s=st.integers(min_value=946_684_800, max_value=1_900_000_000),
    step_s=st.sampled_from([60, 300, 600, 900, 1800, 3600, 10_800]),
    tenths=st.lists(
        st.integers(min_value=-300, max_value=450), min_size=2, max_size=120
    ).map(tuple),
)
WRITINGS = st.builds(
    Writing,
    form=st.sampled_from(FORMATS),
    zone=st.sampled_from(ZONES),
    delimiter=st.sampled_from([",", ";", "\t", "|"]),
    decimal=st.sampled_from([".", ","]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
    fahrenheit=st.booleans(),
    headed=st.booleans(),
    index=st.booleans(),
    quoted=st.booleans(),
    preamble=st.integers(min_value=0, max_value=3),
)


def text_of(record: Record, writing: Writing) -> str:
    zone = tz.gettz(writing.zone) or tz.tzoffset(None, 3 * 3600)
    lines = [f"Logger 12, line {n}" for n in range(writing.preamble)]
    if writing.headed:
        head = ["Time", f"Temp °{'F' if writing.fahrenheit else 'C'}"]
        lines.append(joined(["No.", *head] if writing.index else head, writing))
    for n, (at_s, tenths) in enumerate(zip(record.at_s, record.tenths, strict=True), 1):
        wall = datetime.fromtimestamp(at_s, UTC).astimezone(zone)
        figure = f"{tenths * 0.18 + 32:.3f}" if writing.fahrenheit else f"{tenths / 10}"
        fields = [wall.strftime(writing.form), figure.replace(".", writing.decimal)]
        lines.append(joined([str(n), *fields] if writing.index else fields, writing))
    return "\n".join(lines) + "\n"


def joined(fields: list[str], writing: Writing) -> str:
    # A comma cannot be both: quotes are how a writer keeps them apart.
    both = writing.delimiter == "," and writing.decimal == ","
    wrap: Callable[[str], str] = '"{}"'.format if writing.quoted or both else str
    return writing.delimiter.join(map(wrap, fields))


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(record=RECORDS, writing=WRITINGS)
def test_what_is_written_is_read(
    record: Record, writing: Writing, tmp_path: Path
) -> None:
    path = tmp_path / "any.csv"
    path.write_text(text_of(record, writing), encoding=writing.encoding)
    day_first = {"%m/%d/%Y %I:%M:%S %p": False}.get(writing.form, True)
    unit = "f" if writing.fahrenheit else "c"
    how = understand(path, zone=writing.zone, unit=unit, day_first=day_first)
    found = read(path, how)
    assert found.set_aside == ()
    (series,) = found.series
    # A record that shows one round only of a repeated hour may be an hour off there.
    if not found.guessed_hour:
        assert series.at_s.tolist() == record.at_s
    np.testing.assert_allclose(
        series.celsius, np.array(record.tenths) / 10, rtol=0, atol=1e-9
    )

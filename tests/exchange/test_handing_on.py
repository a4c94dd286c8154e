"""Coordinates and text as they are handed on: near enough, and never broken."""

from __future__ import annotations

import csv
import io
import math
import xml.etree.ElementTree as ET
from xml.sax.saxutils import escape

from hypothesis import given, settings
from hypothesis import strategies as st

from rearing.exchange.archive import csv_bytes
from rearing.exchange.archive_parts import plain
from rearing.exchange.coordinates import spot


@given(
    st.floats(-90, 90),
    st.floats(-180, 180),
    st.sampled_from([0.001, 0.01, 0.05, 0.1, 0.25, 1.0, 10.0]),
)
def test_the_true_place_lies_within_the_uncertainty(
    lat: float, lon: float, step: float
) -> None:
    found = spot(lat, lon, step)
    assert found.uncertainty_m is not None
    # By the haversine formula on a sphere of 6371 km.
    one, other = math.radians(lat), math.radians(found.latitude)
    turn = math.radians(found.longitude - lon)
    half = math.sin((other - one) / 2) ** 2
    half += math.cos(one) * math.cos(other) * math.sin(turn / 2) ** 2
    apart_m = 2 * 6_371_000 * math.asin(math.sqrt(half))
    assert apart_m <= found.uncertainty_m + 1
    assert abs(found.latitude) <= 90
    assert abs(found.longitude) <= 180


@settings(max_examples=30, deadline=None)
@given(st.text(), st.text())
def test_no_text_breaks_the_files(text: str, other: str) -> None:
    packed = csv_bytes(("a", "b"), [{"a": text, "b": other}]).decode()
    _, row = csv.reader(io.StringIO(packed, newline=""))
    assert row == [plain(text), plain(other)]
    ET.fromstring(f"<a>{escape(plain(text))}</a>".encode())

"""Signs a terminal can't show, and the shape of what is written."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rearing.commands.paper import Paper
from rearing.commands.signs import shown


@pytest.mark.parametrize(
    ("encoding", "expected"),
    [
        ("utf-8", "Hiša · 2♂ 1♀ 20 °C, 18° – “x”"),
        ("latin-1", 'Hisa · 2m 1f 20 °C, 18° - "x"'),
        ("ascii", 'Hisa - 2m 1f 20 C, 18 deg - "x"'),
    ],
)
def test_signs_become_what_the_encoding_has(encoding: str, expected: str) -> None:
    assert shown("Hiša · 2♂ 1♀ 20 °C, 18° – “x”", encoding) == expected


@given(text=st.text(), encoding=st.sampled_from(["ascii", "utf-8", "cp437", "koi8-r"]))
def test_whatever_is_shown_can_be_written_on_one_line(text: str, encoding: str) -> None:
    found = shown(text, encoding)
    found.encode(encoding)
    assert found.isprintable()
    if text.isascii() and text.isprintable():
        assert found == text


@given(text=st.text(st.characters(codec="ascii")), columns=st.integers(0, 300))
def test_paragraphs_keep_to_the_width_and_lose_no_word(text: str, columns: int) -> None:
    stream = io.StringIO()
    paper = Paper(stream, columns)
    assert 60 <= paper.width <= 100
    paper.paragraph(text, indent=4, later=2)
    words = paper.fit(text).split()
    assert stream.getvalue().split() == words
    for line in stream.getvalue().splitlines():
        assert len(line) <= paper.width or len(line.split()) == 1


def test_columns_stand_below_one_another() -> None:
    stream = io.StringIO()
    Paper(stream).table([("day", "sum"), ("1 June", "1,234")], indent=1, right="lr")
    assert stream.getvalue() == " day       sum\n 1 June  1,234\n"


def test_no_paper_takes_everything_and_says_nothing() -> None:
    paper = Paper(None)
    paper.line("x")
    paper.paragraph("x")
    paper.json({"x": 1})


def test_json_never_holds_a_number_that_json_lacks() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        Paper(io.StringIO()).json({"x": float("nan")})

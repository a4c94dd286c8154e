"""Tables handed out: CSV as RFC 4180 has it, read back by two other readers."""

from __future__ import annotations

import csv
import datetime as dt
import io
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rearing.exchange.tables import (
    Table,
    csv_text,
    file_name,
    save_table,
    tab_text,
    table,
)
from rearing.problems import AskFirst, Refusal
from rearing.terms import Sex

if TYPE_CHECKING:
    from pathlib import Path

DAY = dt.date(2021, 6, 12)
texts = st.text(st.characters(exclude_categories=("Cs", "Cc")))


def read(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


def test_values_stand_as_they_are_known() -> None:
    moment = dt.datetime(2021, 6, 12, 20, 15, tzinfo=dt.UTC)
    row = (DAY, moment, 7, 1 / 3, None, True, False, Sex.MALE, float("nan"), -2.5)
    told = table("A", [f"c{at}" for at in range(len(row))], [row])
    assert read(csv_text(told))[1] == [
        *("2021-06-12", "2021-06-12T20:15:00+00:00", "7", repr(1 / 3)),
        *("", "yes", "no", "male", "", "-2.5"),
    ]


def test_lines_end_as_in_rfc_4180() -> None:
    told = table("A", ["a", "b"], [("x", 'say "so", then'), ("two\nlines", 1)])
    assert csv_text(told) == ('a,b\r\nx,"say ""so"", then"\r\n"two\nlines",1\r\n')


@pytest.mark.parametrize("text", ["=1+1", "+7", "-8", "@sum", " =1", "\t=1", "＝1"])
def test_a_text_that_looks_like_a_formula_is_guarded(text: str) -> None:
    told = table("A", ["a"], [(text,)])
    for lines in (read(csv_text(told)), read(tab_text(told))):
        assert lines[1][0].startswith("'")


def test_a_number_below_zero_is_no_formula() -> None:
    assert csv_text(table("A", ["a"], [(-3,), (-1.5,)])) == "a\r\n-3\r\n-1.5\r\n"


@given(rows=st.lists(st.tuples(texts, texts, st.integers(), st.floats(width=64))))
def test_what_is_written_is_read_back(
    rows: list[tuple[str, str, int, float]],
) -> None:
    back = read(csv_text(table("A", ["a", "b", "n", "x"], rows)))
    assert len(back) == len(rows) + 1
    for (first, second, number, part), cells in zip(rows, back[1:], strict=True):
        for text, cell in ((first, cells[0]), (second, cells[1])):
            assert cell in {text, f"'{text}"} or cell == "\n".join(text.splitlines())
        assert int(cells[2]) == number
        if part - part == 0:
            assert float(cells[3]) == part
        else:
            assert cells[3] == ""


@given(rows=st.lists(st.tuples(st.text(), st.text())))
def test_the_clipboard_has_a_line_a_row_and_a_tab_a_cell(
    rows: list[tuple[str, str]],
) -> None:
    lines = tab_text(table("A", ["a", "b"], rows)).split("\n")
    assert len(lines) == len(rows) + 2
    assert all(line.count("\t") == 1 for line in lines[:-1])


def test_a_row_of_another_width_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="2 headings"):
        Table("A", ("a", "b"), ((1,),))


def test_a_file_is_named_by_page_table_day_and_book() -> None:
    told = table("Boxes of B21-04: now", ["a"], [])
    named = file_name("Broods", told, DAY, "hisa")
    assert named == "Broods, Boxes of B21-04 now, 2021-06-12, hisa.csv"


def test_a_file_that_is_there_is_asked_about(tmp_path: Path) -> None:
    told = table("A", ["leaf [g]"], [(1.25,)])
    path = tmp_path / "a.csv"
    save_table(path, told)
    assert path.read_bytes() == b"leaf [g]\r\n1.25\r\n"
    with pytest.raises(AskFirst, match="in its place"):
        save_table(path, table("A", ["b"], []))
    assert path.read_bytes() == b"leaf [g]\r\n1.25\r\n"
    save_table(path, table("A", ["°C"], []), sure=True)
    assert path.read_text("utf-8") == "°C\n"
    assert [one.name for one in tmp_path.iterdir()] == ["a.csv"]


@pytest.mark.parametrize("name", ["", "nowhere/a.csv", "a.txt"])
def test_where_it_cannot_be_written_is_said(tmp_path: Path, name: str) -> None:
    with pytest.raises(Refusal) as refused:
        save_table(tmp_path / name, table("A", ["a"], []))
    assert refused.value.field == "file"

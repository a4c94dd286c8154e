"""Whatever a slip of the pen does to a sheet, the only complaint is `BrokenSheet`."""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rearing import sheets
from rearing.belongings import resource
from rearing.problems import BrokenSheet
from rearing.sheets.read import read_sheet

if TYPE_CHECKING:
    from pathlib import Path

LINES = resource("species", "sphinx_ligustri.toml").read_text("utf-8").splitlines()
DEFAULTS = sheets.load_all().defaults

VALUES = [
    "-1",
    "true",
    '""',
    "[]",
    "[1, 2, 3]",
    "{}",
    "inf",
    "2021-05-28",
    "'x'",
    "[{}]",
]

slips = st.lists(
    st.tuples(
        st.integers(0, len(LINES) - 1),
        st.sampled_from(["drop", "double", "value", "key", "cut"]),
        st.sampled_from(VALUES),
    ),
    min_size=1,
    max_size=3,
)


def slipped(line: str, how: str, value: str) -> list[str]:
    """Return what a slip of the pen makes of a line."""
    key, equals, _ = line.partition(" = ")
    if how == "drop":
        return []
    if how == "double":
        return [line, line]
    if how == "cut":
        return [line[: len(line) // 2]]
    if not equals:
        return [line.replace("[[", "[").replace("]]", "]")]
    return [f"{key} = {value}"] if how == "value" else [f"x{line}"]


@given(slips=slips)
@settings(
    max_examples=300,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_a_slip_of_the_pen_is_read_or_told(
    tmp_path: Path, slips: list[tuple[int, str, str]]
) -> None:
    lines: list[list[str]] = [[line] for line in LINES]
    for number, how, value in slips:
        lines[number] = slipped(LINES[number], how, value)
    path = tmp_path / "sphinx_ligustri.toml"
    path.write_text("\n".join(chain.from_iterable(lines)), encoding="utf-8")
    trouble = complaint(path)
    if trouble is None:
        assert read_sheet(path, DEFAULTS).name.casefold() == "sphinx ligustri"
    else:
        assert "sphinx_ligustri.toml" in trouble.sentence
        assert trouble.reason.endswith((".", "?"))


def complaint(path: Path) -> BrokenSheet | None:
    """Return what is said of a sheet, None where it is sound."""
    try:
        read_sheet(path, DEFAULTS)
    except BrokenSheet as trouble:
        return trouble
    return None

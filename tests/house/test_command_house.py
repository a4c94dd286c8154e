"""The command line's own house rules: what it loads, says and documents."""

from __future__ import annotations

import ast
import datetime as dt
import importlib
import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from vega_datasets import local_data

from rearing.__main__ import main
from rearing.commands.arguments import COMMANDS
from rearing.keeping import lamp, leaf, leaf_tests, measurements
from rearing.records import tables as t
from rearing.records.book import Book
from rearing.records.journal import Entry
from rearing.records.rows import BoxRow, BroodRow
from rearing.terms import Measured, Sex, Stage, TreeSign
from tests.commands import small_season

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
HEAVY = (
    *("PySide6", "shiboken6", "matplotlib", "alembic"),
    *("scipy.stats", "scipy.optimize"),
)
DAILY = local_data.seattle_weather.filepath
LOADED = """
import json, sys
from rearing.__main__ import main
code = main(sys.argv[1:])
print(json.dumps([code, sorted(sys.modules)]), file=sys.stderr)
"""


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    folder = tmp_path_factory.mktemp("house")
    book, durations = folder / "Season.rearing", folder / "durations.csv"
    small_season.make_season(book)
    _complete_the_night(book)
    durations.write_text("temperature,days\n18,60\n22,40\n26,30\n")
    widths = folder / "widths.csv"
    widths.write_text("0.68\n0.70\n0.91\n0.93\n1.22\n1.20\n1.59\n1.57\n")
    curved = folder / "curved.csv"
    curved.write_text("15,80\n18,50\n21,37\n24,29\n27,25\n30,23\n33,27\n")
    return {
        "BOOK": str(book),
        "DURATIONS": str(durations),
        "WIDTHS": str(widths),
        "CURVED": str(curved),
        "DAILY": str(DAILY),
        "ARCHIVE": str(folder / "nights.zip"),
    }


def _complete_the_night(path: Path) -> None:
    """Give the night an outage and a second look, so that every key is told."""
    dark = dt.datetime(2021, 5, 28, 23, tzinfo=dt.UTC)
    with Book.open(path) as book:
        lamp.record_outage(
            book,
            Entry(dark),
            night_id=1,
            from_at=dark,
            to_at=dark + dt.timedelta(hours=1),
        )
        male = lamp.Call("Saturnia pyri", Sex.MALE)
        lamp.redetermine(book, Entry(dark), arrival_id=1, call=male)
        _tell_of_leaf(book, Entry(dark))
        _measure(book)


def _tell_of_leaf(book: Book, entry: Entry) -> None:
    """Enter a tree with a sign, a cut and test larvae, so that every key is told."""
    tree = leaf.add_tree(book, entry, name="Beech 2", host="beech").new_id
    leaf.note_sign(
        book, entry, tree_id=tree, sign=TreeSign.BUD_BURST, on=dt.date(2021, 4, 20)
    )
    leaf.cut_leaf(
        book, entry, host="beech", on=dt.date(2021, 6, 11), tree_id=tree, sure=True
    )
    leaf_tests.begin_test(
        book, entry, tree_id=tree, begun_on=dt.date(2021, 6, 11), sure=True
    )


def _measure(book: Book) -> None:
    """Measure heads in each box of the brood that is asked for."""
    brood = book.find(BroodRow, t.Brood.code == "B21-02")
    assert brood is not None
    for box in book.all(BoxRow, t.Box.brood_id == brood.id):
        measurements.measure(
            book,
            small_season.entry(6, 12),
            box_id=box.id,
            what=Measured.HEAD_WIDTH,
            values=(0.9,),
            on=small_season.AS_ON,
            stage=Stage.L2,
        )


ANSWERS = {
    "round": "round BOOK --json",
    "forecast": "forecast BOOK --json",
    "night": "night BOOK --on 2021-05-28 --json",
    "sky": "sky --lat 45 --lon 14 --on 2021-05-28 --zone UTC --json",
    "heat": "heat DAILY --lower 10 --unit c --json",
    "fit": "fit DURATIONS --json",
    "widths": "widths WIDTHS --json",
    "leaf": "leaf BOOK --carry 0.2 --cages 2 --json",
    "calendar": "calendar BOOK --json",
    "trace": "trace BOOK B21-02 D --json",
    "numbers": "numbers BOOK --brood B21-02 --against B21-01 --box A --json",
    "away": "away BOOK --from 2021-06-14 --to 2021-06-16 --json",
}
# Only a curve has parameters, and only a curve needs the heavier mathematics.
KEYED = {**ANSWERS, "fit": "fit CURVED --json"}
OTHERS = [
    *("round BOOK", "forecast BOOK", "check BOOK", "heat DAILY --lower 10", "BOOK"),
    *(
        "night BOOK",
        "archive BOOK ARCHIVE",
        "sky --lat 45 --lon 14 --on 2021-05-28 --zone UTC",
    ),
]


def loaded_by(words: str, files: dict[str, str]) -> set[str]:
    hidden = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *(files.get(w, w) for w in words.split())],
        cwd=ROOT,
        env={key: value for key, value in os.environ.items() if key not in hidden},
        capture_output=True,
        text=True,
        check=True,
    )
    code, modules = json.loads(done.stderr.splitlines()[-1])
    assert code == 0
    return set(modules)


@pytest.mark.parametrize("words", [*ANSWERS.values(), *OTHERS])
def test_answers_in_text_load_no_window_and_nothing_heavy(
    words: str, files: dict[str, str]
) -> None:
    modules = loaded_by(words, files)
    assert "rearing.commands.paper" in modules
    assert [name for name in HEAVY if name in modules] == []


@pytest.mark.parametrize("words", [ANSWERS["heat"], ANSWERS["fit"], ANSWERS["sky"]])
def test_a_file_is_read_without_the_database(words: str, files: dict[str, str]) -> None:
    assert "sqlalchemy" not in loaded_by(words, files)


@pytest.mark.parametrize("command", ANSWERS)
def test_every_key_of_the_json_stands_in_its_modules_docstring(
    command: str, files: dict[str, str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([files.get(word, word) for word in KEYED[command].split()]) == 0
    data = json.loads(capsys.readouterr().out)
    names = {"round": "round_text", "forecast": "forecast_text"}
    module = importlib.import_module(f"rearing.commands.{names.get(command, command)}")
    documented = set(re.findall(r"``(\w+)``", module.__doc__ or ""))
    assert documented == set(keys_in(data))


def keys_in(data: object) -> Iterator[str]:
    """Yield every key of nested JSON."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield key
            yield from keys_in(value)
    elif isinstance(data, list):
        for value in data:
            yield from keys_in(value)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_tells_what_it_takes(
    command: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, "--help"]) == 0
    told = capsys.readouterr().out
    assert told.startswith(f"usage: rearing {command}")
    assert "%%" not in told
    assert main(["--help"]) == 0
    assert f"rearing {command}" in capsys.readouterr().out


def test_everything_is_written_on_paper_and_nothing_printed() -> None:
    """A bare print would end on a terminal that can't show its signs."""
    places = [*(ROOT / "rearing/commands").glob("*.py"), ROOT / "rearing/__main__.py"]
    assert len(places) > 10
    printing = [
        f"{path.name}:{node.lineno}"
        for path in places
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "print"
    ]
    assert printing == []


def test_only_the_composition_root_asks_the_clock() -> None:
    asking = [
        path.name
        for path in (ROOT / "rearing/commands").glob("*.py")
        if re.search(r"\.(now|today|utcnow)\(|time\(\)", path.read_text("utf-8"))
    ]
    assert asking == []

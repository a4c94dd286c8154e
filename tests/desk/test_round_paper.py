"""The round on paper: what stands on the sheet, on how many, and in which file."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from PySide6.QtGui import QPdfWriter

from rearing.desk.pages.round_paper import SIZES, RoundPaper
from rearing.keeping.round_lines import Round, RoundLine, RoundPlace, Task

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.desk.theme import Theme

DRY = "Oak of Thu 24 June lasts two days at 29°, to Sat 26 June."


def line(number: int, task: Task = Task.FRESH_LEAF, done: str = "") -> RoundLine:
    return RoundLine(
        kind="box",
        id=number,
        code=f"B21-08 {number}",
        brood_id=8,
        taxon="Marumba quercus",
        short="M. quercus",
        task=task,
        done=done or None,
        reason=DRY,
        number=17,
        known="counted 24 June",
        by_book=False,
        until="until Sat 26 June" if task is Task.LEAVE_ALONE else None,
        quarantine=False,
    )


def round_of(many: int) -> Round:
    lines = tuple(line(number) for number in range(many))
    done = line(900, done="Fed 19:36: oak, 60 g")
    rest = line(901, Task.LEAVE_ALONE)
    places = (
        RoundPlace(1, "Attic", "29°", lines),
        RoundPlace(2, "Hall shelf", "18°", (done, rest)),
    )
    return Round(dt.date(2021, 6, 25), places, "Leaf to fetch for 8 boxes: oak for 8")


def paper(theme: Theme, path: Path, many: int) -> RoundPaper:
    writer = QPdfWriter(str(path))
    writer.setResolution(300)
    made = RoundPaper(round_of(many), "Round, Friday", theme.look.faces, writer)
    made.paint()
    return made


def test_every_line_stands_on_one_sheet_with_its_box_and_its_reason(
    theme: Theme, tmp_path: Path
) -> None:
    path = tmp_path / "round.pdf"
    (sheet,) = paper(theme, path, 24).sheets()
    told = " ".join(piece.text for piece in sheet)
    for number in range(24):
        (code,) = [piece for piece in sheet if piece.text == f"B21-08 {number}"]
        assert code.box > 0
        assert not code.ticked
    assert told.count("lasts two days at 29°") == 25
    assert "Attic 29°" in " ".join(told.split())
    assert "Leaf to fetch for 8 boxes" in told
    assert path.read_bytes().startswith(b"%PDF")
    assert path.read_bytes().count(b"/Type /Page\n") == 1


def test_what_was_done_is_ticked_and_what_rests_has_no_box(
    theme: Theme, tmp_path: Path
) -> None:
    (sheet,) = paper(theme, tmp_path / "round.pdf", 3).sheets()
    done = next(piece for piece in sheet if piece.text == "B21-08 900")
    rest = next(piece for piece in sheet if piece.text == "B21-08 901")
    assert (done.ticked, done.box > 0, rest.box) == (True, True, 0.0)
    told = " ".join(piece.text for piece in sheet)
    assert "Fed 19:36: oak, 60 g" in told
    assert "until Sat 26 June" in told


def test_a_short_round_is_written_large_and_a_long_one_goes_on(
    theme: Theme, tmp_path: Path
) -> None:
    path = tmp_path / "round.pdf"
    (short,) = paper(theme, path, 3).sheets()
    sizes = [x.face.pointSizeF() for x in short if x.text.startswith("B21-08")]
    assert set(sizes) == {SIZES[0]}
    long = paper(theme, path, 200).sheets()
    assert len(long) > 1
    assert path.read_bytes().count(b"/Type /Page\n") == len(long)
    codes = [x.text for sheet in long for x in sheet if x.text.startswith("B21-08")]
    assert len(codes) == 202
    assert {x.face.pointSizeF() for x in long[0] if x.text == codes[0]} == {SIZES[-1]}


def test_nothing_stands_beyond_the_sheet(theme: Theme, tmp_path: Path) -> None:
    writer = QPdfWriter(str(tmp_path / "round.pdf"))
    writer.setResolution(300)
    made = RoundPaper(round_of(24), "Round, Friday", theme.look.faces, writer)
    room = writer.pageLayout().paintRectPixels(300)
    (sheet,) = made.sheets()
    assert all(0 < piece.y <= room.height() for piece in sheet)
    from PySide6.QtGui import QFontMetricsF

    for piece in sheet:
        wide = QFontMetricsF(piece.face, writer).horizontalAdvance(piece.text)
        assert piece.x + wide <= room.width() + 1

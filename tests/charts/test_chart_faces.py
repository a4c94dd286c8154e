from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from rearing.charts.faces import chart_fonts
from rearing.charts.look import ChartColours, ChartLook


def variable_sans() -> Path:
    spec = find_spec("fontpkg_source_sans_3")
    assert spec is not None
    assert spec.origin is not None
    files = (Path(spec.origin).parent / "files").glob("*.ttf")
    return next(path for path in files if "Italic" not in path.stem)


def test_the_regular_weight_is_cut_out_once(tmp_path: Path) -> None:
    made = chart_fonts(variable_sans(), None, None, tmp_path / "faces")
    assert made.figures is not None
    with TTFont(made.figures) as font:
        assert "fvar" not in font
        assert font["OS/2"].usWeightClass == 400
        assert {ord(sign) for sign in "0123456789°−≥–"} <= set(font.getBestCmap())
    before = made.figures.stat().st_mtime_ns
    again = chart_fonts(variable_sans(), None, None, tmp_path / "faces")
    assert again.figures == made.figures
    assert made.figures.stat().st_mtime_ns == before
    assert [path.name for path in (tmp_path / "faces").iterdir()] == [made.figures.name]


def test_the_cut_face_is_heavier_than_the_file_it_comes_from(tmp_path: Path) -> None:
    # The variable file is drawn at its lightest, and heavier letters are wider.
    made = chart_fonts(variable_sans(), None, None, tmp_path)
    assert made.figures is not None
    with TTFont(variable_sans()) as light, TTFont(made.figures) as regular:
        for sign in "MW":
            name = regular.getBestCmap()[ord(sign)]
            assert regular["hmtx"][name][0] > light["hmtx"][name][0]


@pytest.mark.parametrize("face", ["figures", "words", "pencil"])
def test_without_the_packages_a_chart_still_has_a_face(face: str) -> None:
    look = ChartLook(ChartColours(*["#000000"] * 9))
    assert getattr(look, face)().get_size_in_points() == 9.5

"""Static faces for charts, cut once from the variable font files and kept.

A variable file is drawn at the weight it was made at, which for the sans is its
lightest; so its regular weight is cut out into a small file of its own.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from matplotlib import font_manager

from rearing.charts.look import ChartFonts

if TYPE_CHECKING:
    from pathlib import Path

_REGULAR = 400
_LETTERS = (
    *range(0x20, 0x7F),
    *range(0xA0, 0x100),
    0x2013,
    0x2014,
    0x2018,
    0x2019,
    0x201C,
    0x201D,
)
_SIGNS = (0x2026, 0x2212, 0x2190, 0x2192, 0x2264, 0x2265)


def chart_fonts(
    sans: Path | None, serif: Path | None, italic: Path | None, folder: Path
) -> ChartFonts:
    """Return the faces of charts, made in `folder` the first time.

    `sans` is a variable font file; the serif ones are used as they are, for theirs
    stand at their regular weight.
    """
    figures = None if sans is None else _regular(sans, folder)
    for path in (figures, serif, italic):
        if path is not None:
            font_manager.fontManager.addfont(path)
    return ChartFonts(figures=figures, words=serif, pencil=italic)


def _regular(path: Path, folder: Path) -> Path:
    size = path.stat().st_size
    made = folder / f"{path.stem.partition('[')[0]}-{_REGULAR}-{size}.ttf"
    if not made.exists():
        folder.mkdir(parents=True, exist_ok=True)
        # Under another name first: a program that starts meanwhile finds it whole.
        half = made.with_name(f"{made.name}.{os.getpid()}")
        _cut(path, half)
        half.replace(made)
    return made


def _cut(path: Path, target: Path) -> None:
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont
    from fontTools.varLib.instancer import instantiateVariableFont

    # Kerning pairs take most of the time to cut, and figures have none.
    options = Options(layout_features=[], notdef_outline=True)
    options.drop_tables += ["GPOS", "GSUB", "GDEF", "STAT"]
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=[*_LETTERS, *_SIGNS])
    with TTFont(path, lazy=True) as font:
        subsetter.subset(font)
        instantiateVariableFont(font, {"wght": _REGULAR}, inplace=True)
        font.save(target)

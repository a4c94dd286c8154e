"""The look of charts, taken from the theme that is in force."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from platformdirs import user_cache_path

from rearing.charts.faces import chart_fonts
from rearing.charts.look import ChartColours, ChartFonts, ChartLook
from rearing.desk.fonts import font_files

if TYPE_CHECKING:
    from pathlib import Path

    from rearing.desk.theme import Theme


def chart_look(theme: Theme) -> ChartLook:
    """Return the colours and sizes of the view for a chart."""
    tokens, faces = theme.look.tokens, theme.look.faces
    colours = ChartColours(
        page=tokens.page,
        ink=tokens.ink,
        ink2=tokens.ink2,
        pencil=tokens.pencil,
        rule=tokens.rule,
        rule2=tokens.rule2,
        madder=tokens.madder,
        blue=tokens.blue,
        heat=tokens.larva,
    )
    return ChartLook(colours, faces.small.pointSizeF(), _fonts())


@lru_cache(maxsize=1)
def _fonts() -> ChartFonts:
    return chart_fonts(
        _file("fontpkg_source_sans_3", italic=False),
        _file("fontpkg_vollkorn", italic=False),
        _file("fontpkg_vollkorn", italic=True),
        user_cache_path("rearing", appauthor=False) / "faces",
    )


def _file(package: str, *, italic: bool) -> Path | None:
    fitting = [p for p in font_files(package) if ("Italic" in p.stem) is italic]
    return fitting[0] if fitting else None

"""How a chart looks: colours as plain text, sizes, and the faces it writes in."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from matplotlib.font_manager import FontProperties

if TYPE_CHECKING:
    from pathlib import Path


@dataclass(frozen=True, slots=True)
class ChartColours:
    """One view's colours by what they are for, each ``#rrggbb``."""

    page: str
    ink: str
    ink2: str
    pencil: str
    rule: str
    rule2: str
    madder: str
    blue: str
    heat: str


@dataclass(frozen=True, slots=True)
class ChartFonts:
    """Font files to write with; without one, whatever sans stands ready."""

    figures: Path | None = None
    words: Path | None = None
    pencil: Path | None = None


@dataclass(frozen=True, slots=True)
class ChartLook:
    """What a drawing function needs to know of the view; `points` is the small text."""

    colours: ChartColours
    points: float = 9.5
    fonts: ChartFonts = field(default_factory=ChartFonts)

    def figures(self) -> FontProperties:
        """Return the face of figures and dates."""
        return _face(self.fonts.figures, self.points, "normal")

    def words(self) -> FontProperties:
        """Return the face of names."""
        return _face(self.fonts.words, self.points, "normal")

    def pencil(self) -> FontProperties:
        """Return the face of what is expected or missing: italic."""
        return _face(self.fonts.pencil, self.points, "italic")


def _face(
    path: Path | None, points: float, style: Literal["normal", "italic"]
) -> FontProperties:
    if path is not None and path.exists():
        return FontProperties(fname=path, size=points)
    return FontProperties(family="DejaVu Sans", style=style, size=points)

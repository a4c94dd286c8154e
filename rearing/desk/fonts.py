"""The two typefaces of the book, loaded at start, and the named faces made of them."""

from __future__ import annotations

from dataclasses import dataclass, fields
from importlib.util import find_spec
from pathlib import Path

from PySide6.QtGui import QFont, QFontDatabase

SERIF_FALLBACK = ("Gentium Plus", "Georgia", "DejaVu Serif")
SANS_FALLBACK = ("Segoe UI", "Noto Sans", "DejaVu Sans")
_WEIGHT_AXIS = "wght"
_REGULAR = 400
_MEDIUM = 500
_SEMIBOLD = 600
SCALE_LEAST, SCALE_MOST = 0.8, 2.5


@dataclass(frozen=True, slots=True)
class Families:
    """Family names to try in turn; `variable` when the first has a weight axis."""

    serif: tuple[str, ...]
    sans: tuple[str, ...]
    serif_variable: bool
    sans_variable: bool


def load_families() -> Families:
    """Load both typefaces from their packages; fall back where one is missing."""
    serif = _load("fontpkg_vollkorn", "Vollkorn")
    sans = _load("fontpkg_source_sans_3", "Source Sans 3")
    return Families(
        serif=("Vollkorn", *SERIF_FALLBACK) if serif else SERIF_FALLBACK,
        sans=("Source Sans 3", *SANS_FALLBACK) if sans else SANS_FALLBACK,
        serif_variable=serif,
        sans_variable=sans,
    )


def font_files(package: str) -> tuple[Path, ...]:
    """Return the font files of a font package, none when it isn't there."""
    spec = find_spec(package)
    if spec is None or spec.origin is None:
        return ()
    return tuple(sorted((Path(spec.origin).parent / "files").glob("*.ttf")))


def _load(package: str, family: str) -> bool:
    for path in font_files(package):
        QFontDatabase.addApplicationFont(str(path))
    return QFontDatabase.hasFamily(family)


@dataclass(frozen=True, slots=True)
class Faces:
    """Every face the program writes in, at one text scale."""

    title: QFont
    subtitle: QFont
    code: QFont
    species_title: QFont
    section: QFont
    lead: QFont
    lead_quiet: QFont
    rail: QFont
    rail_open: QFont
    rail_number: QFont
    body: QFont
    body_strong: QFont
    code_line: QFont
    code_quiet: QFont
    species: QFont
    verb: QFont
    verb_struck: QFont
    pencil: QFont
    pencil_strong: QFont
    pencil_small: QFont
    numeral: QFont
    small: QFont
    small_strong: QFont
    key: QFont


# face: (serif?, points at 100 %, weight, italic); the floor is 9.5 points
_TABLE: dict[str, tuple[bool, float, int, bool]] = {
    "title": (True, 27, _MEDIUM, False),
    "subtitle": (True, 13, _REGULAR, False),
    "code": (False, 25, _SEMIBOLD, False),
    "species_title": (True, 25, _REGULAR, True),
    "section": (True, 12, _SEMIBOLD, False),
    "lead": (True, 11.5, _SEMIBOLD, False),
    "lead_quiet": (True, 11.5, _REGULAR, False),
    "rail": (True, 13.5, _REGULAR, False),
    "rail_open": (True, 13.5, _SEMIBOLD, False),
    "rail_number": (True, 11.5, _REGULAR, True),
    "body": (False, 10.5, _REGULAR, False),
    "body_strong": (False, 10.5, _SEMIBOLD, False),
    "code_line": (False, 11, _SEMIBOLD, False),
    "code_quiet": (False, 11, _REGULAR, False),
    "species": (True, 11, _REGULAR, True),
    "verb": (True, 11, _SEMIBOLD, False),
    "verb_struck": (True, 11, _REGULAR, False),
    "pencil": (True, 10.5, _REGULAR, True),
    "pencil_strong": (True, 10.5, _SEMIBOLD, True),
    "pencil_small": (True, 9.5, _REGULAR, True),
    "numeral": (False, 11, _SEMIBOLD, False),
    "small": (False, 9.5, _REGULAR, False),
    "small_strong": (False, 9.5, _SEMIBOLD, False),
    "key": (False, 10.5, _SEMIBOLD, False),
}


def faces(families: Families, scale: float = 1.0) -> Faces:
    """Return the faces at a text scale, held within 80 to 250 %."""
    scale = min(max(scale, SCALE_LEAST), SCALE_MOST)
    made: dict[str, QFont] = {}
    for field in fields(Faces):
        serif, points, weight, italic = _TABLE[field.name]
        font = _font(families, serif=serif, weight=weight)
        font.setPointSizeF(points * scale)
        font.setItalic(italic)
        old_style = field.name == "rail_number"
        font.setFeature(QFont.Tag("onum" if old_style else "lnum"), 1)
        if not old_style:
            font.setFeature(QFont.Tag("tnum"), 1)
        made[field.name] = font
    return Faces(**made)


def _font(families: Families, *, serif: bool, weight: int) -> QFont:
    font = QFont(list(families.serif if serif else families.sans))
    font.setStyleHint(QFont.StyleHint.Serif if serif else QFont.StyleHint.SansSerif)
    if families.serif_variable if serif else families.sans_variable:
        # the axis alone: with setWeight as well Qt embolds the variable face twice
        font.setVariableAxis(QFont.Tag(_WEIGHT_AXIS), weight)
    else:
        font.setWeight(QFont.Weight(weight))
    return font

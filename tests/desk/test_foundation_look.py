from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

import pytest
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter, QPalette

from rearing.desk import fonts
from rearing.desk.theme import Theme, View, look_of, palette
from rearing.desk.tokens import DARK, DAY, Tokens, contrast, red

if TYPE_CHECKING:
    from PySide6.QtGui import QFont
    from PySide6.QtWidgets import QApplication

TEXT = ("ink", "ink2", "pencil", "madder", "blue", "leaf", "ochre")
GROUNDS = ("page", "desk", "wash")


def test_contrast_agrees_with_known_pairs() -> None:
    # WCAG 2.2: black on white is 21:1; #767676 on white is the grey usually quoted as
    # the lightest that passes AA, 4.54:1 (from memory)
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)
    assert contrast("#FFFFFF", "#767676") == contrast("#767676", "#FFFFFF")


@pytest.mark.parametrize("tokens", [DAY, DARK], ids=["day", "dark"])
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("text", TEXT)
def test_all_text_can_be_read_on_all_grounds(
    tokens: Tokens, ground: str, text: str
) -> None:
    # WCAG 2.2, success criterion 1.4.3 (AA): 4.5:1
    assert contrast(getattr(tokens, text), getattr(tokens, ground)) >= 4.5


@pytest.mark.parametrize("tokens", [DAY, DARK], ids=["day", "dark"])
@pytest.mark.parametrize("text", ["ink", "ink2", "pencil", "blue", "madder"])
def test_the_current_line_can_be_read(tokens: Tokens, text: str) -> None:
    assert contrast(getattr(tokens, text), tokens.blue_wash) >= 4.5


@pytest.mark.parametrize("tokens", [DAY, DARK], ids=["day", "dark"])
@pytest.mark.parametrize("number", range(1, 9))
def test_every_instar_is_lettered_readably(tokens: Tokens, number: int) -> None:
    fill, ink = tokens.instar(number)
    assert contrast(fill, ink) >= 4.5


@pytest.mark.parametrize("step", range(1, 6))
def test_red_gives_no_blue_and_hardly_any_green_light(step: int) -> None:
    tokens = red(step)
    shades = [
        value
        for field in fields(Tokens)
        if isinstance(value := getattr(tokens, field.name), str)
    ]
    for shade in shades:
        colour = QColor(shade)
        assert colour.blue() <= (0 if step <= 3 else 0x36)
        assert colour.green() <= (0x14 if step <= 3 else 0x4A)
    assert tokens.page == tokens.desk == "#000000"


def test_red_grows_brighter_with_its_step() -> None:
    shades = [contrast(red(step).ink, "#000000") for step in range(1, 6)]
    assert shades == sorted(shades)
    with pytest.raises(ValueError, match="brightness 6"):
        red(6)


@pytest.mark.parametrize("tokens", [DAY, DARK, red()], ids=["day", "dark", "red"])
def test_palettes_are_set_for_inactive_windows_too(
    qapp: QApplication, tokens: Tokens
) -> None:
    made = palette(tokens)
    group, role = QPalette.ColorGroup, QPalette.ColorRole
    for which in (role.Window, role.Base, role.Text, role.Highlight):
        active = made.color(group.Active, which)
        assert made.color(group.Inactive, which) == active
    disabled = made.color(group.Disabled, role.Text)
    assert disabled == QColor(tokens.pencil)


def test_switching_the_view_changes_the_application(
    theme: Theme, qapp: QApplication
) -> None:
    seen: list[str] = []
    theme.changed.connect(lambda: seen.append(theme.look.tokens.page))
    theme.set_view(View.DARK)
    assert qapp.palette().color(QPalette.ColorRole.Base) == QColor(DARK.page)
    theme.set_view(View.RED, red_step=5)
    assert theme.look.tokens == red(5)
    assert seen == [DARK.page, "#000000"]


def test_text_scale_stays_within_its_bounds(theme: Theme) -> None:
    theme.set_scale(9)
    assert theme.scale == fonts.SCALE_MOST
    widest = theme.look.px(100)
    theme.set_scale(0.1)
    assert theme.scale == fonts.SCALE_LEAST
    assert theme.look.px(100) < 100 < widest
    theme.larger()
    assert theme.scale == pytest.approx(0.9)


@pytest.mark.parametrize("scale", [0.8, 1.0, 1.6, 2.5])
def test_lengths_follow_the_text(qapp: QApplication, scale: float) -> None:
    look = look_of(DAY, fonts.load_families(), scale)
    assert look.px(100) == pytest.approx(100 * scale, rel=0.06)


def test_both_typefaces_come_with_the_program(qapp: QApplication) -> None:
    families = fonts.load_families()
    assert families.serif[0] == "Vollkorn"
    assert families.sans[0] == "Source Sans 3"
    assert families.serif_variable
    assert families.sans_variable


def _blackness(face: QFont) -> float:
    """Return how much ink a word takes, as a share of its box."""
    image = QImage(300, 60, QImage.Format.Format_Grayscale8)
    image.fill(0)
    painter = QPainter(image)
    painter.setPen(QColor("#FFFFFF"))
    painter.setFont(face)
    painter.drawText(5, 45, "Hamburg 34")
    painter.end()
    return sum(bytes(image.constBits())) / QFontMetricsF(face).horizontalAdvance("H")


def test_semibold_is_blacker_than_regular_and_neither_is_hairline(
    qapp: QApplication,
) -> None:
    faces = fonts.faces(fonts.load_families(), 2.0)
    # the variable sans file comes up ExtraLight unless its axis is set: a thin 200
    # draws about half the ink of 400 (measured here)
    regular, strong = _blackness(faces.body), _blackness(faces.body_strong)
    thin = faces.body
    thin.setVariableAxis(faces.body.Tag("wght"), 200)
    assert strong > regular * 1.1
    assert regular > _blackness(thin) * 1.3


def test_without_the_packages_other_faces_serve(qapp: QApplication) -> None:
    bare = fonts.Families(
        fonts.SERIF_FALLBACK,
        fonts.SANS_FALLBACK,
        serif_variable=False,
        sans_variable=False,
    )
    faces = fonts.faces(bare)
    assert look_of(DAY, bare, 1.0).px(100) == pytest.approx(100, rel=0.1)
    assert faces.title.families() == list(fonts.SERIF_FALLBACK)
    assert faces.body_strong.weight() == 600
    assert fonts.font_files("no_such_font_package") == ()


def test_no_face_is_smaller_than_the_floor(qapp: QApplication) -> None:
    faces = fonts.faces(fonts.load_families())
    sizes = [getattr(faces, field.name).pointSizeF() for field in fields(fonts.Faces)]
    assert min(sizes) >= 9.5

"""Day, dark and red: the palette of the window and the look that painters read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFontInfo, QFontMetricsF, QPalette

from rearing.desk import tokens as colours
from rearing.desk.fonts import SCALE_LEAST, SCALE_MOST, Faces, Families, faces

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from rearing.desk.tokens import Tokens

_UNITS_IN_A_LINE = 5.0
_UNITS_IN_A_LETTER = 3.5
_UNIT_AT_100 = 4.0
SCALE_STEP = 0.1


class View(StrEnum):
    """Which palette the keeper asked for."""

    SYSTEM = "as the system"
    DAY = "day"
    DARK = "dark"
    RED = "red"


@dataclass(frozen=True, slots=True)
class Look:
    """What a painter needs: colours, faces, and a length that follows the text."""

    tokens: Tokens
    faces: Faces
    unit: float

    def px(self, at_100: float) -> int:
        """Return a length given for 100 % text, in pixels at this text size."""
        return max(1, round(at_100 * self.unit / _UNIT_AT_100))

    def colour(self, token: str) -> QColor:
        """Return a token as a colour of Qt's."""
        return QColor(getattr(self.tokens, token))


RED_SCALE = 1.7
"""In red nothing is written smaller than 16 points: dim red is read by its size."""


def look_of(tokens: Tokens, families: Families, scale: float) -> Look:
    """Return the look made of one view's colours at one text scale."""
    made = faces(families, scale)
    # by the letters' size too: a face with tight lines would else crowd its columns
    by_line = QFontMetricsF(made.body).height() / _UNITS_IN_A_LINE
    by_letter = QFontInfo(made.body).pixelSize() / _UNITS_IN_A_LETTER
    unit = max(by_line, by_letter)
    return Look(tokens=tokens, faces=made, unit=unit)


class Theme(QObject):
    """Holds the look and puts it on the application; `changed` after every switch."""

    changed = Signal()

    def __init__(
        self,
        app: QApplication,
        families: Families,
        *,
        view: View = View.SYSTEM,
        scale: float = 1.0,
        red_step: int = colours.RED_DEFAULT_STEP,
    ) -> None:
        super().__init__(app)
        self._app = app
        self._families = families
        self._view = view
        self._scale = scale
        self._red_step = red_step
        app.setStyle("Fusion")
        self._apply()
        app.styleHints().colorSchemeChanged.connect(self._system_changed)

    @property
    def look(self) -> Look:
        """The look in force."""
        return self._look

    @property
    def view(self) -> View:
        """The view asked for."""
        return self._view

    @property
    def scale(self) -> float:
        """The text scale, 1.0 for 100 %."""
        return self._scale

    @property
    def red_step(self) -> int:
        """The brightness at the lamp, 1 to 5."""
        return self._red_step

    def step_red(self, way: int) -> None:
        """Make the red view a step brighter (1) or dimmer (-1), and turn to it."""
        step = min(max(self._red_step + way, 1), colours.RED_STEPS)
        self.set_view(View.RED, red_step=step)

    def set_view(self, view: View, *, red_step: int | None = None) -> None:
        """Switch palette; `red_step` 1 to 5 is the brightness at the lamp."""
        self._view = view
        self._red_step = self._red_step if red_step is None else red_step
        self._apply()

    def set_scale(self, scale: float) -> None:
        """Set the text scale, held within 80 to 250 %."""
        self._scale = round(min(max(scale, SCALE_LEAST), SCALE_MOST), 2)
        self._apply()

    def larger(self) -> None:
        """Make all text a step larger."""
        self.set_scale(self._scale + SCALE_STEP)

    def smaller(self) -> None:
        """Make all text a step smaller."""
        self.set_scale(self._scale - SCALE_STEP)

    def _tokens(self) -> Tokens:
        if self._view is View.RED:
            return colours.red(self._red_step)
        if self._view is View.SYSTEM:
            scheme = self._app.styleHints().colorScheme()
            return colours.DARK if scheme is Qt.ColorScheme.Dark else colours.DAY
        return colours.DARK if self._view is View.DARK else colours.DAY

    def _apply(self) -> None:
        red = self._view is View.RED
        scale = max(self._scale, RED_SCALE) if red else self._scale
        self._look = look_of(self._tokens(), self._families, scale)
        self._app.setFont(self._look.faces.body)
        self._app.setPalette(palette(self._look.tokens))
        # the desktop's own dialogs are white, and undo an hour of getting used to it
        own_dialogs = Qt.ApplicationAttribute.AA_DontUseNativeDialogs
        self._app.setAttribute(own_dialogs, on=red)
        self.changed.emit()

    def _system_changed(self) -> None:
        if self._view is View.SYSTEM:
            self._apply()


def palette(tokens: Tokens) -> QPalette:
    """Return the palette of one view for active, inactive and disabled widgets."""
    role = QPalette.ColorRole
    shades: dict[QPalette.ColorRole, str] = {
        role.Window: tokens.desk,
        role.WindowText: tokens.ink,
        role.Base: tokens.page,
        role.Light: tokens.page,
        role.AlternateBase: tokens.wash,
        role.Button: tokens.wash,
        role.Midlight: tokens.wash,
        role.ToolTipBase: tokens.wash,
        role.ToolTipText: tokens.ink,
        role.Text: tokens.ink,
        role.ButtonText: tokens.ink,
        role.BrightText: tokens.madder,
        role.PlaceholderText: tokens.pencil,
        role.Mid: tokens.rule,
        role.Dark: tokens.rule2,
        role.Shadow: tokens.rule2,
        role.Highlight: tokens.blue_wash,
        role.HighlightedText: tokens.ink,
        role.Link: tokens.blue,
        role.LinkVisited: tokens.blue,
        role.Accent: tokens.blue,
    }
    group = QPalette.ColorGroup
    made = QPalette()
    for kind in (group.Active, group.Inactive, group.Disabled):
        for which, shade in shades.items():
            made.setColor(kind, which, QColor(shade))
    for which in (role.Text, role.WindowText, role.ButtonText, role.HighlightedText):
        made.setColor(group.Disabled, which, QColor(tokens.pencil))
    return made

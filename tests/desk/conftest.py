"""A theme and a lit desk for tests of windows."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from rearing.desk.fonts import load_families
from rearing.desk.theme import Theme, View

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PySide6.QtWidgets import QApplication


@pytest.fixture
def theme(qapp: QApplication) -> Iterator[Theme]:
    """Return day colours at 100 %."""
    made = Theme(qapp, load_families(), view=View.DAY)
    yield made
    made.deleteLater()

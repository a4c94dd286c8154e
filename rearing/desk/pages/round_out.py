"""The round's lines as the table that is handed out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.page import Shown
from rearing.records.rows import BroodRow

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from rearing.keeping.round_lines import Round
    from rearing.records.book import Book


def shown_round(book: Book, found: Round | None, where: QWidget) -> tuple[Shown, ...]:
    """Return the round as a table; nothing where it has no line."""
    if found is None or not found.lines:
        return ()
    from rearing.exchange.round_table import round_table

    broods = {row.id: row.code for row in book.all(BroodRow)}
    return (Shown(round_table(found, broods), where),)

"""Writes the lamp nights to a file that opens elsewhere."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.archive import archive_bytes, save, table_bytes
from rearing.exchange.archive_rows import Handing
from rearing.keeping.moments import counted
from rearing.keeping.recording import recording
from rearing.problems import Refusal

if TYPE_CHECKING:
    import datetime as dt
    from pathlib import Path

    from rearing.commands.paper import Paper
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf


def write_archive(
    book: Book,
    shelf: SheetShelf,
    on: dt.date,
    out: Path,
    paper: Paper,
    *,
    step: float | None = None,
) -> None:
    """Write all nights up to a day as an archive (.zip) or one table (.csv)."""
    kinds = {".zip": archive_bytes, ".csv": table_bytes}
    written = kinds.get(out.suffix.lower())
    if written is None:
        raise Refusal(
            f"“{out}” ends neither in .zip (a Darwin Core Archive) nor in .csv.",
            field="out",
        )
    found = recording(book, shelf, on)
    save(out, written(Handing(found, step)))
    moths = sum(night.counts.moths for night in found.nights)
    nights = counted(len(found.nights), "lamp night")
    paper.line(f"Wrote {nights} with {counted(moths, 'moth')} to {out}")
    if step is None and found.nights:
        paper.paragraph(
            "Coordinates are as they stand in the book; --round 0.1 blurs them for "
            "species or sites that need it."
        )

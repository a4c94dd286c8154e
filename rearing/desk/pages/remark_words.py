"""Notes as a page writes them: newest first, each with its day and where it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.typed import near_words

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from rearing.keeping.remarks import Remark


def remark_words(remarks: Iterable[Remark], on: dt.date, *, first: str = "") -> str:
    """Return notes a line each; `first` was written when the thing was begun."""
    said = [_line(remark, on) for remark in remarks]
    return "\n".join([*said, first] if first else said)


def _line(remark: Remark, on: dt.date) -> str:
    where = f", {remark.where}" if remark.where else ""
    corrected = " (corrected)" if remark.corrected else ""
    return f"{near_words(remark.on, on)}{where}: {remark.text}{corrected}"

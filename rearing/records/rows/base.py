"""The base of every row."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

if TYPE_CHECKING:
    from rearing.records import tables


@dataclass(frozen=True, slots=True)
class Row:
    """The base of every row: its table, its id and its change counter."""

    TABLE: ClassVar[type[tables.Kept]]

    id: int
    version: int

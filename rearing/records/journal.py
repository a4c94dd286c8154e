"""The journal: every change with the rows before and after, and the way back.

A change is one transaction with one sentence. Taking back replays the rows in
reverse, in a transaction of its own, so the way back and forth survives a restart.
"""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any

from sqlalchemy import Boolean, Date, delete, insert, select, update

from rearing.problems import AskFirst, Refusal
from rearing.records.tables import Base, Change, ChangeRow
from rearing.records.tables.base import Instant, Word

if TYPE_CHECKING:
    from sqlalchemy import Column, Connection, CursorResult, Table

    from rearing.records.tables import Kept


@dataclass(frozen=True, slots=True)
class Entry:
    """Who writes, and when: an aware moment in the keeper's own zone."""

    now: dt.datetime
    who: str = ""

    @property
    def on(self) -> dt.date:
        """The keeper's day."""
        return self.now.date()


@dataclass(frozen=True, slots=True)
class Touched:
    """What a change did, in words, and which things it concerns."""

    change_id: int
    sentence: str
    subjects: frozenset[tuple[str, int]] = frozenset()
    new_id: int = 0

    def concerns(self, kind: str) -> bool:
        """Return True when something of this table was touched."""
        return any(name == kind for name, _ in self.subjects)


class Line(StrEnum):
    """What kind of line the journal holds."""

    ENTRY = "entry"
    TAKEN_BACK = "taken back"
    DONE_AGAIN = "done again"


@dataclass(frozen=True, slots=True)
class JournalLine:
    """One line of the journal as it is read."""

    id: int
    at: dt.datetime
    on: dt.date
    who: str
    kind: str
    sentence: str
    undone: bool


class Pen:
    """Writes rows inside one change and keeps their images."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._images: list[dict[str, Any]] = []
        self.sentence = ""
        self.subjects: set[tuple[str, int]] = set()
        self.new_id = 0

    def say(self, sentence: str) -> None:
        """Set the sentence that the journal keeps of this change."""
        self.sentence = sentence

    def add(self, table: type[Kept], **values: object) -> int:
        """Add a row and return its id."""
        result = self._connection.execute(insert(table).values(**values))
        row_id = _new_id(result)
        self._keep(table, row_id, None, self._image(table, row_id))
        return row_id

    def change(self, table: type[Kept], row_id: int, **values: object) -> None:
        """Change some values of a row."""
        before = self._image(table, row_id)
        self._connection.execute(
            update(table)
            .where(table.id == row_id)
            .values(**values, version=table.version + 1)
        )
        self._keep(table, row_id, before, self._image(table, row_id))

    def remove(self, table: type[Kept], row_id: int) -> None:
        """Remove a row that the journal can bring back."""
        before = self._image(table, row_id)
        self._connection.execute(delete(table).where(table.id == row_id))
        self._keep(table, row_id, before, None)

    def add_unkept(self, table: type[Base], rows: list[dict[str, object]]) -> None:
        """Add many rows outside the journal; only for those an own row stands for."""
        if rows:
            self._connection.execute(insert(table), rows)

    @property
    def connection(self) -> Connection:
        """The open transaction, for reads that must see this change."""
        return self._connection

    def _image(self, table: type[Kept], row_id: int) -> dict[str, Any]:
        row = self._connection.execute(
            select(table.__table__).where(table.id == row_id)
        ).one_or_none()
        if row is None:
            raise Refusal("That line is no longer in the book.")
        return dict(row._mapping)

    def _keep(
        self,
        table: type[Kept],
        row_id: int,
        before: dict[str, Any] | None,
        after: dict[str, Any] | None,
    ) -> None:
        self.subjects.add((table.__tablename__, row_id))
        self._images.append(
            {
                "table_name": table.__tablename__,
                "row_id": row_id,
                "before": None if before is None else _to_text(before),
                "after": None if after is None else _to_text(after),
            }
        )

    def close(self, entry: Entry) -> Touched:
        """Write the journal's line and return what was touched."""
        if not self.sentence:
            raise ValueError("a change without its sentence")
        change_id = _write_line(
            self._connection, entry, Line.ENTRY, self.sentence, about=None
        )
        if self._images:
            self._connection.execute(
                insert(ChangeRow),
                [{"change_id": change_id, **image} for image in self._images],
            )
        return Touched(change_id, self.sentence, frozenset(self.subjects), self.new_id)


def take_back(connection: Connection, entry: Entry, *, sure: bool = False) -> Touched:
    """Take back the latest change that stands. Another day's is asked about first."""
    line = connection.execute(
        select(*Change.__table__.c)
        .where(Change.kind == Line.ENTRY, Change.undone.is_(False))
        .order_by(Change.id.desc())
        .limit(1)
    ).one_or_none()
    if line is None:
        raise Refusal("There is nothing left to take back.")
    if line.on != entry.on and not sure:
        raise AskFirst(
            f"The last entry is from {_day(line.on)}: “{line.sentence}” "
            "Take it back all the same?"
        )
    if line.who != entry.who and not sure:
        raise AskFirst(
            f"The last entry is by {line.who or 'somebody else'}: “{line.sentence}” "
            "Take it back all the same?"
        )
    subjects = _replay(connection, line.id, back=True)
    return _mark(connection, entry, line, Line.TAKEN_BACK, subjects)


def do_again(connection: Connection, entry: Entry) -> Touched:
    """Do again the change taken back last, if nothing was entered since."""
    # What was taken back before the latest entry is out of reach for good, also when
    # that entry is taken back in its turn.
    latest_entry = (
        select(Change.id)
        .where(Change.kind == Line.ENTRY)
        .order_by(Change.id.desc())
        .limit(1)
        .scalar_subquery()
    )
    taken_back_since = select(Change.about_id).where(
        Change.kind == Line.TAKEN_BACK, Change.id > latest_entry
    )
    line = connection.execute(
        select(*Change.__table__.c)
        .where(Change.undone.is_(True), Change.id.in_(taken_back_since))
        .order_by(Change.id)
        .limit(1)
    ).one_or_none()
    if line is None:
        raise Refusal("Nothing was taken back that could be done again.")
    subjects = _replay(connection, line.id, back=False)
    return _mark(connection, entry, line, Line.DONE_AGAIN, subjects)


def lines(connection: Connection, *, most: int = 200) -> tuple[JournalLine, ...]:
    """Return the journal's latest lines, newest first."""
    c = Change.__table__.c
    found = connection.execute(
        select(c.id, c.at, c.on, c.who, c.kind, c.sentence, c.undone)
        .order_by(c.id.desc())
        .limit(most)
    )
    return tuple(JournalLine(*row) for row in found)


def _mark(
    connection: Connection,
    entry: Entry,
    line: Any,
    kind: Line,
    subjects: frozenset[tuple[str, int]],
) -> Touched:
    back = kind is Line.TAKEN_BACK
    connection.execute(update(Change).where(Change.id == line.id).values(undone=back))
    sentence = f"{'Taken back' if back else 'Done again'}: {line.sentence}"
    change_id = _write_line(connection, entry, kind, sentence, about=line.id)
    return Touched(change_id, sentence, subjects)


def _write_line(
    connection: Connection,
    entry: Entry,
    kind: Line,
    sentence: str,
    *,
    about: int | None,
) -> int:
    result = connection.execute(
        insert(Change).values(
            at=entry.now,
            on=entry.on,
            who=entry.who,
            kind=kind,
            sentence=sentence,
            undone=False,
            about_id=about,
        )
    )
    return _new_id(result)


def _new_id(result: CursorResult[Any]) -> int:
    key = result.inserted_primary_key
    if key is None:
        raise ValueError("a row without an id")
    return int(key[0])


def _replay(
    connection: Connection, change_id: int, *, back: bool
) -> frozenset[tuple[str, int]]:
    order = ChangeRow.id.desc() if back else ChangeRow.id.asc()
    images = connection.execute(
        select(
            ChangeRow.table_name, ChangeRow.row_id, ChangeRow.before, ChangeRow.after
        )
        .where(ChangeRow.change_id == change_id)
        .order_by(order)
    ).all()
    for table_name, row_id, before, after in images:
        table = Base.metadata.tables[table_name]
        old, new = (after, before) if back else (before, after)
        _put(connection, table, row_id, old, new)
    return frozenset((name, row_id) for name, row_id, _, _ in images)


def _put(
    connection: Connection, table: Table, row_id: int, old: str | None, new: str | None
) -> None:
    if new is None:
        connection.execute(delete(table).where(table.c.id == row_id))
    elif old is None:
        connection.execute(insert(table).values(_from_text(table, new)))
    else:
        connection.execute(
            update(table).where(table.c.id == row_id).values(_from_text(table, new))
        )


def _to_text(image: dict[str, Any]) -> str:
    return json.dumps(
        image, default=lambda value: value.isoformat(), ensure_ascii=False
    )


def _from_text(table: Table, text: str) -> dict[str, Any]:
    # A column that a later program added is absent from an old image: left as it is.
    stored = json.loads(text)
    return {
        name: _stored(table.c[name], value)
        for name, value in stored.items()
        if name in table.c
    }


def _stored(column: Column[Any], value: Any) -> Any:
    if value is None:
        return None
    kind = column.type
    if isinstance(kind, Instant):
        return dt.datetime.fromisoformat(value)
    if isinstance(kind, Date):
        return dt.date.fromisoformat(value)
    if isinstance(kind, Word):
        return kind.words(value)
    if isinstance(kind, Boolean):
        return bool(value)
    return value


def _day(day: dt.date) -> str:
    return f"{day:%A} {day.day} {day:%B %Y}"

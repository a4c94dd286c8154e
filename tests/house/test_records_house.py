"""The form of the book: migrations, tables and rows say the same."""

from __future__ import annotations

import ast
import dataclasses
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from sqlalchemy import create_engine

import rearing.records.migrations as steps
from rearing.records import rows, schema
from rearing.records.book import Book
from rearing.records.tables import Base, Kept

if TYPE_CHECKING:
    from collections.abc import Iterator

STEPS = sorted((Path(steps.__file__).parent / "versions").glob("[0-9]*.py"))
ROWS = [kind for name in rows.__all__ if (kind := getattr(rows, name)) is not rows.Row]


@pytest.fixture
def migrated(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    path = tmp_path / "Migrated.rearing"
    Book.make(path).close()
    with closing(sqlite3.connect(path)) as connection:
        yield connection


@pytest.fixture
def modelled(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    path = tmp_path / "Modelled.rearing"
    engine = create_engine(f"sqlite:///{path}")
    Base.metadata.create_all(engine)
    engine.dispose()
    with closing(sqlite3.connect(path)) as connection:
        yield connection


def tables_of(connection: sqlite3.Connection) -> set[str]:
    found = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
    return {name for (name,) in found} - {"alembic_version"}


def form_of(connection: sqlite3.Connection, table: str) -> dict[str, object]:
    """Return all that SQLite itself knows of a table's form, order of columns apart."""
    ask = connection.execute
    indexes = {
        (name, unique, origin): [
            column for _, _, column in ask(f'PRAGMA index_info("{name}")')
        ]
        for _, name, unique, origin, _ in ask(f'PRAGMA index_list("{table}")')
    }
    return {
        "columns": {row[1]: row[2:] for row in ask(f'PRAGMA table_info("{table}")')},
        "keys": {row[2:] for row in ask(f'PRAGMA foreign_key_list("{table}")')},
        "indexes": indexes,
        "without rowid": ask(
            "SELECT wr, strict FROM pragma_table_list WHERE name = ?", (table,)
        ).fetchall(),
    }


@pytest.mark.filterwarnings("ignore:Cannot correctly sort tables")
def test_the_migrated_book_has_the_form_of_the_models(
    migrated: sqlite3.Connection, modelled: sqlite3.Connection
) -> None:
    names = tables_of(modelled)

    assert tables_of(migrated) == names
    assert len(names) == len(Base.metadata.tables) > 20
    for name in sorted(names):
        assert form_of(migrated, name) == form_of(modelled, name), name


@pytest.mark.filterwarnings("ignore:Cannot correctly sort tables")
def test_the_migration_tool_finds_nothing_left_to_migrate(tmp_path: Path) -> None:
    from alembic.autogenerate import compare_metadata
    from alembic.migration import MigrationContext

    with Book.make(tmp_path / "New.rearing") as book, book.reading() as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "compare_server_default": True}
        )
        assert compare_metadata(context, Base.metadata) == []


def test_the_number_of_the_form_is_the_number_of_steps() -> None:
    assert [step.name[:4] for step in STEPS] == [
        f"{number:04}" for number in range(1, schema.VERSION + 1)
    ]


@pytest.mark.parametrize("step", STEPS, ids=lambda step: step.stem)
def test_a_step_imports_nothing_that_may_change_under_it(step: Path) -> None:
    imported: set[str] = set()
    for node in ast.walk(ast.parse(step.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {name.name.split(".")[0] for name in node.names}
        elif isinstance(node, ast.ImportFrom):
            imported.add((node.module or "").split(".")[0])

    assert imported
    assert imported <= {"alembic", "sqlalchemy"}


def test_every_table_that_is_journalled_has_its_row() -> None:
    assert {kind.TABLE for kind in ROWS} == set(Kept.__subclasses__())
    assert len({kind.TABLE for kind in ROWS}) == len(ROWS)


@pytest.mark.parametrize("kind", ROWS, ids=lambda kind: kind.__name__)
def test_a_row_has_its_tables_columns_in_their_order_and_kind(
    kind: type[rows.Row],
) -> None:
    # Both are annotated in words: "int | None" in the row, "Mapped[int | None]" there.
    row = {field.name: f"Mapped[{field.type}]" for field in dataclasses.fields(kind)}
    columns = {**Kept.__annotations__, **kind.TABLE.__annotations__}

    assert list(row) == list(columns)
    assert row == columns
    assert set(row) == set(kind.TABLE.__table__.columns.keys())

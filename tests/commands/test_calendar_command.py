"""What is coming as text, JSON and a calendar file."""

from __future__ import annotations

from typing import TYPE_CHECKING

import vobject

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from tests.commands.conftest import Answer


def test_what_is_coming(ask: Callable[..., Answer], season_book: Path) -> None:
    found = ask("calendar", season_book)

    assert found.code == 0
    assert "Coming from Saturday 12 June 2021 on" in found.out
    assert "B21-02 D: quarantine ends" in found.out
    assert "Fresh leaf: Hall shelf" in found.out
    keys = [one["key"] for one in ask("calendar", season_book, "--json").data["events"]]
    assert "apart B21-02 D" in keys
    assert len(set(keys)) == len(keys)


def test_a_calendar_file(
    ask: Callable[..., Answer], season_book: Path, tmp_path: Path
) -> None:
    out = tmp_path / "coming.ics"
    found = ask("calendar", season_book, out)

    assert found.code == 0
    events = list(vobject.readOne(out.read_text("utf-8")).vevent_list)
    assert f"Wrote {len(events)} events to coming.ics" in found.out
    assert ask("calendar", season_book, season_book).code == 2
    assert ask("calendar", season_book, out, "--json").code == 2

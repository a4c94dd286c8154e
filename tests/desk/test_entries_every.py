from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QComboBox, QWidget

from rearing.desk import entries

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.desk.entry_book import Ids
    from tests.desk.entry_desk import Desk

Key = Qt.Key


EVERY: tuple[tuple[str, Callable[[Ids], tuple[object, ...]]], ...] = (
    *((name, lambda _: ()) for name in ("home", "site", "place", "tree", "cut")),
    ("forecast", lambda _: ()),
    *((name, lambda _: ()) for name in ("night", "check", "arrival", "outage")),
    *((name, lambda _: ()) for name in ("female", "second_look", "eggs", "pairing")),
    *((name, lambda _: ()) for name in ("emergence", "open_box", "carry")),
    *((name, lambda _: ()) for name in ("close_tree", "tree_sign", "leaf_test")),
    *((name, lambda _: ()) for name in ("open_tree", "judge_test", "throw_away")),
    ("bare", lambda _: ()),
    ("change_place", lambda ids: (ids.shelf,)),
    ("correct_eggs", lambda _: (1,)),
    *((name, lambda ids: (ids.pot,)) for name in ("fate", "put_on_leaf", "close_pot")),
    *((name, lambda ids: (ids.moth,)) for name in ("let_go", "mated")),
    *((name, lambda ids: (ids.box,)) for name in ("move", "feed", "count", "stages")),
    *((name, lambda ids: (ids.box,)) for name in ("loss", "leave", "close_box")),
    ("measure", lambda ids: (ids.box,)),
    *((name, lambda ids: ("box", ids.box)) for name in ("note", "photo")),
    *((name, lambda _: (1,)) for name in ("correct_note", "correct_photo")),
    ("correct_measurement", lambda _: (1,)),
)


@pytest.mark.parametrize(("name", "thing"), EVERY, ids=[name for name, _ in EVERY])
def test_every_part_of_every_form_has_a_name(
    desk: Desk, name: str, thing: Callable[[Ids], tuple[object, ...]]
) -> None:
    form = desk.open(name, *thing(desk.ids))
    nameless = [
        type(part).__name__
        for part in form.findChildren(QWidget)
        if part.focusPolicy() & Qt.FocusPolicy.TabFocus
        and part.isVisible()
        and not isinstance(part.parentWidget(), QComboBox)
        and not _name(part)
    ]
    assert nameless == []
    assert form.accessibleName()


def _name(part: QWidget) -> str:
    told = QAccessible.queryAccessibleInterface(part)
    return told.text(QAccessible.Text.Name)


@pytest.mark.parametrize(("name", "thing"), EVERY, ids=[name for name, _ in EVERY])
def test_every_field_of_every_form_says_what_it_takes(
    desk: Desk, name: str, thing: Callable[[Ids], tuple[object, ...]]
) -> None:
    form = desk.open(name, *thing(desk.ids))
    parts = {field.key: form.input(field.key).focus_part() for field in form._ask}
    mute = [key for key, part in parts.items() if not part.accessibleDescription()]
    assert mute == []


@pytest.mark.parametrize(("name", "thing"), EVERY, ids=[name for name, _ in EVERY])
def test_no_two_labels_of_a_form_share_a_letter(
    desk: Desk, name: str, thing: Callable[[Ids], tuple[object, ...]]
) -> None:
    form = desk.open(name, *thing(desk.ids))
    labels = [field.label for field in form._ask]
    letters = [label[label.index("&") + 1].lower() for label in labels if "&" in label]
    assert len(letters) == len(set(letters)), labels


def test_every_form_of_the_package_is_tried_here() -> None:
    assert {name for name, _ in EVERY} == set(entries.__all__)


@pytest.mark.parametrize(("name", "thing"), EVERY, ids=[name for name, _ in EVERY])
def test_a_form_left_untouched_writes_nothing_on_escape(
    desk: Desk, name: str, thing: Callable[[Ids], tuple[object, ...]]
) -> None:
    before = desk.book.journal(most=1)[0].id
    form = desk.open(name, *thing(desk.ids))
    with desk.bot.waitSignal(form.closed):
        QTest.keyClick(form, Key.Key_Escape)
    assert desk.book.journal(most=1)[0].id == before

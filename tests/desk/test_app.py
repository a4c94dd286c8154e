"""The program around its pages: books, days, finding, taking back, help."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QLineEdit, QMessageBox

from rearing.belongings import sample
from rearing.desk import app
from rearing.desk.asking import AskPanel
from rearing.desk.book_stand import SAMPLE
from rearing.desk.finder import Finder
from rearing.desk.help_panel import HelpPanel
from rearing.desk.theme import View
from rearing.desk.welcome import Welcome
from rearing.desk.widgets.form import EntryForm
from rearing.records.book import Book
from rearing.records.copies import folder_of
from rearing.records.rows import BoxVisitRow
from tests.desk.stand import ON, Stand, control, focus, press, type_words

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from PySide6.QtWidgets import QApplication
    from pytestqt.qtbot import QtBot

Key = Qt.Key


@pytest.fixture
def empty(qapp: QApplication, tmp_path: Path) -> Iterator[Stand]:
    """Return a stand on which no book lies yet."""
    made = Stand(tmp_path)
    yield made
    made.close()


@pytest.fixture
def stand(empty: Stand) -> Stand:
    empty.open(empty.sample())
    return empty


def welcomes(stand: Stand) -> list[Welcome]:
    windows = stand.desk.app.topLevelWidgets()
    return [one for one in windows if isinstance(one, Welcome) and one.isVisible()]


def boxes(stand: Stand) -> list[QMessageBox]:
    windows = stand.desk.app.topLevelWidgets()
    return [one for one in windows if isinstance(one, QMessageBox) and one.isVisible()]


# books


def test_the_sample_says_itself_on_which_day_it_is_read(empty: Stand) -> None:
    empty.open(empty.sample(), None)
    assert empty.opened.session.on == ON
    assert "As on Sat 12 June" in empty.window.almanac.accessibleName()
    assert empty.window.windowTitle().endswith("Hiša na Robu – Rearing")


def test_what_is_no_book_is_told_and_others_are_offered(
    empty: Stand, tmp_path: Path
) -> None:
    path = tmp_path / "letter.rearing"
    path.write_text("Dear Ana, the pavoniella have hatched.")
    empty.stand.begin_with(path)
    assert empty.stand.open_book is None
    (told,) = boxes(empty)
    assert "letter.rearing" in told.text()
    told.close()
    assert welcomes(empty)
    assert path.read_text().startswith("Dear Ana")


def test_a_letter_in_the_welcome_opens_the_sample(empty: Stand) -> None:
    empty.stand.welcome()
    (welcome,) = welcomes(empty)
    QTest.keyClick(welcome.ways, Key.Key_S)
    assert empty.book.path == empty.folder / SAMPLE
    assert not welcomes(empty)


def test_the_own_sample_keeps_what_was_tried_in_it(stand: Stand) -> None:
    stand.stand.open_sample()
    QTest.qWaitForWindowActive(stand.window)
    press("W")
    visits = stand.number_of(BoxVisitRow)
    stand.open(stand.sample())
    stand.stand.open_sample()
    assert stand.number_of(BoxVisitRow) == visits


def test_a_new_book_gets_its_ending_and_never_overwrites(
    stand: Stand, tmp_path: Path
) -> None:
    before = stand.window
    assert stand.stand.begin(tmp_path / "mine")
    assert stand.book.path == tmp_path / "mine.rearing"
    assert not before.isVisible()
    assert not stand.stand.begin(tmp_path / "season.rearing")
    (told,) = boxes(stand)
    assert "exists already" in told.text()
    told.close()
    assert stand.book.path == tmp_path / "mine.rearing"


def test_the_name_of_a_new_book_is_ready_to_be_typed_over(stand: Stand) -> None:
    stand.stand.ask_new()
    dialog = stand.stand.dialog
    assert isinstance(dialog, QFileDialog)
    line = dialog.findChild(QLineEdit)
    assert line is not None
    assert (line.text(), line.selectedText()) == ("My book.rearing", "My book")
    dialog.reject()


def test_a_book_is_opened_from_the_dialog(stand: Stand, tmp_path: Path) -> None:
    other = tmp_path / "other.rearing"
    Book.make(other).close()
    stand.stand.ask_open()
    dialog = stand.stand.dialog
    assert isinstance(dialog, QFileDialog)
    dialog.fileSelected.emit(str(other))
    dialog.reject()
    assert stand.book.path == other


def test_a_copy_is_checked_and_said(stand: Stand, tmp_path: Path) -> None:
    stand.stand.ask_copy()
    dialog = stand.stand.dialog
    assert isinstance(dialog, QFileDialog)
    dialog.fileSelected.emit(str(tmp_path / "carried away.rearing"))
    dialog.reject()
    assert stand.window.said == "Copied and checked: carried away.rearing."
    with Book.open(tmp_path / "carried away.rearing") as copy:
        assert len(copy.all(BoxVisitRow)) == stand.number_of(BoxVisitRow)


def test_the_days_copy_is_made_beside_the_book(stand: Stand, qtbot: QtBot) -> None:
    folder = folder_of(stand.book.path)
    qtbot.waitUntil(
        lambda: folder.is_dir() and any(folder.glob("*.rearing")), timeout=10_000
    )
    qtbot.waitUntil(lambda: not stand.desk.tasks.busy, timeout=10_000)
    (copy,) = folder.iterdir()
    assert copy.name.startswith("season 2021-06-12 ")
    assert copy.name.endswith(" daily.rearing")


# what is kept of the workplace


def test_the_window_comes_back_as_it_was_left(empty: Stand) -> None:
    path = empty.sample()
    empty.open(path)
    empty.window.open_page(4)
    empty.window.resize(780, 700)
    empty.desk.theme.set_view(View.DARK)
    empty.desk.theme.set_scale(1.4)
    empty.stand.clear_away()

    again = Stand(empty.folder)
    assert again.desk.settings.last_book == str(path)
    assert again.desk.theme.view is View.DARK
    assert again.desk.theme.scale == 1.4
    again.stand.begin_with(path)
    assert again.window.page is again.window.page_at(4)
    assert (again.window.width(), again.window.height()) == (780, 700)
    again.close()


def test_own_files_lie_where_the_keeper_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("REARING_HOME", str(tmp_path / "mine"))
    assert app.own_folder() == tmp_path / "mine"
    assert (tmp_path / "mine").is_dir()


# days


def test_the_book_is_turned_to_another_day_and_back(stand: Stand) -> None:
    control(Key.Key_D)
    assert isinstance(stand.round.panel, EntryForm)
    control(Key.Key_A)
    type_words("20 June 2021")
    press(Key.Key_Return)
    assert stand.round.sheet.head.heading.words.startswith("Sunday 20 June 2021")
    control(Key.Key_D)
    control(Key.Key_A)
    press(Key.Key_Delete, Key.Key_Return)
    assert not stand.opened.session.is_as_on
    assert stand.round.sheet.head.heading.under == ""


# finding


@pytest.mark.parametrize(
    ("words", "page"),
    [
        ("B21-07 pot 2", 1),  # it stands on the round, and is handled there
        ("b21-04", 4),
        ("W21-05", 3),
        ("28 May 2021 Terrace", 3),
        ("attic", 8),
        ("Oak 2", 5),
        ("saturnia pyri", 4),
    ],
)
def test_words_go_to_their_page(stand: Stand, words: str, page: int) -> None:
    control(Key.Key_K)
    assert isinstance(stand.round.panel, Finder)
    type_words(words)
    press(Key.Key_Return)
    assert stand.window.page is stand.window.page_at(page)
    assert stand.round.panel is None


def test_what_is_nowhere_is_said_and_esc_returns(stand: Stand) -> None:
    control(Key.Key_K)
    finder = stand.round.panel
    assert isinstance(finder, Finder)
    type_words("zebra")
    assert finder.shown == ()
    assert finder.words == "Nothing in the book is called “zebra”."
    press(Key.Key_Return, Key.Key_Escape)
    assert stand.round.panel is None
    assert stand.walk.hasFocus()


def test_arrows_walk_what_was_found_while_typing(stand: Stand) -> None:
    control(Key.Key_K)
    finder = stand.round.panel
    assert isinstance(finder, Finder)
    type_words("pyri")
    assert len(finder.shown) > 2
    press(Key.Key_Down, Key.Key_Down)
    assert focus() is finder.typed
    assert finder.list.current_key() == 2


# taking back


def test_an_entry_of_another_day_is_asked_about(stand: Stand) -> None:
    before = stand.last()
    control(Key.Key_Z)
    panel = stand.round.panel
    assert isinstance(panel, AskPanel)
    assert "Take it back all the same?" in panel.question.words
    press("N")
    assert stand.round.panel is None
    assert stand.last() == before
    control(Key.Key_Z)
    press("Y")
    assert stand.last() == f"Taken back: {before}"
    assert stand.window.said.startswith("Taken back: ")


def test_with_nothing_to_put_back_the_page_says_so(stand: Stand) -> None:
    control(Key.Key_Y)
    assert "Nothing was taken back" in stand.round.notices.words


# help


def test_f1_lists_the_keys_of_the_page_and_of_the_window(stand: Stand) -> None:
    press(Key.Key_F1)
    panel = stand.round.panel
    assert isinstance(panel, HelpPanel)
    for words in ("F   fed", "type a count", "Ctrl+K   Find", "Ctrl+Z   Take back"):
        assert words in panel.words
    press(Key.Key_Escape)
    assert stand.walk.hasFocus()


def test_the_cautions_name_what_can_hurt_and_whom_to_ask(stand: Stand) -> None:
    stand.opened.show_cautions()
    panel = stand.round.panel
    assert isinstance(panel, HelpPanel)
    said = panel.words.casefold()
    for danger in (
        "ultraviolet",
        "mains",
        "rain",
        "sting",
        "scales",
        "poison",
        "bleach",
    ):
        assert danger in said, danger
    for help_ in ("ladder", "local rules", "qualified person", "doctor", "permit"):
        assert help_ in said, help_


def test_about_names_the_book_and_the_licences(stand: Stand) -> None:
    stand.opened.show_about()
    panel = stand.round.panel
    assert isinstance(panel, HelpPanel)
    assert str(stand.book.path) in panel.words
    assert "LGPL" in panel.words


# starting up


OPENING = """
import sys
from pathlib import Path
from PySide6.QtTest import QTest
from rearing.desk.book_stand import BookStand
from rearing.desk.starting import set_up
folder = Path(sys.argv[1])
stand = BookStand(set_up(["rearing"], folder / "window.ini"), folder)
stand.begin_with(Path(sys.argv[2]))
QTest.qWaitForWindowExposed(stand.open_book.window)
print(*sorted(sys.modules))
stand.clear_away()
"""


def test_a_window_opens_without_what_only_other_pages_need(tmp_path: Path) -> None:
    book = tmp_path / "season.rearing"
    book.write_bytes(sample(SAMPLE).read_bytes())
    done = subprocess.run(
        [sys.executable, "-c", OPENING, str(tmp_path), str(book)],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    loaded = set(done.stdout.split())
    assert "rearing.desk.pages.round_page" in loaded
    unwanted = {
        "matplotlib",
        "scipy.stats",
        "scipy.optimize",
        "alembic",
        "dateutil",
        "rearing.desk.pages.heat_page",
        "rearing.desk.pages.broods_page",
        "rearing.exchange",
        "rearing.charts",
    }
    assert not unwanted & loaded

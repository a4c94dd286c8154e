from __future__ import annotations

from datetime import date, datetime, time, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from rearing.desk.theme import View
from rearing.desk.widgets.chain import Chain, Step
from rearing.desk.widgets.date_scale import DateScale, short_day, span_words
from rearing.desk.widgets.header import Heading, PageHeader
from rearing.desk.widgets.losses import Loss, Losses, LossKind
from rearing.desk.widgets.margin import FieldSheet
from rearing.desk.widgets.stage_bar import StageBar, StagePart, StageRow
from rearing.desk.widgets.windows_plot import Band, Seen, WindowRow, WindowsPlot

if TYPE_CHECKING:
    from PySide6.QtGui import QImage
    from PySide6.QtWidgets import QWidget
    from pytestqt.qtbot import QtBot

    from rearing.desk.theme import Theme

TODAY = date(2021, 6, 25)
WANDER = WindowRow(
    "Wander down",
    (
        Band("first", date(2021, 7, 5), date(2021, 7, 8), date(2021, 7, 11)),
        Band("half", date(2021, 7, 9), date(2021, 7, 12), date(2021, 7, 16)),
        Band("last", date(2021, 7, 13), date(2021, 7, 17), date(2021, 7, 23)),
    ),
)


def drawn(widget: QWidget, width: int = 900) -> QImage:
    widget.show()
    # the height a widget asks for depends on its width
    for _ in range(2):
        widget.resize(width, max(widget.sizeHint().height(), 20))
    return widget.grab().toImage()


def count(image: QImage, shade: str) -> int:
    wanted = QColor(shade).rgb()
    return sum(
        image.pixel(x, y) == wanted
        for x in range(image.width())
        for y in range(image.height())
    )


@pytest.mark.parametrize(
    ("low", "middle", "high", "words"),
    [
        ((7, 5), (7, 8), (7, 11), "8 July (5–11)"),
        ((7, 27), (7, 31), (8, 6), "31 July (27–6 Aug)"),
        ((6, 27), (7, 1), (7, 6), "1 July (27 June–6 July)"),
        ((6, 27), (7, 31), (8, 6), "31 July (27 June–6 Aug)"),
    ],
)
def test_a_window_is_written_briefly_and_without_doubt(
    low: tuple[int, int], middle: tuple[int, int], high: tuple[int, int], words: str
) -> None:
    assert span_words(*(date(2021, *d) for d in (low, middle, high))) == words


def test_a_day_may_carry_its_weekday() -> None:
    # 25 June 2021 was a Friday (the standard library's calendar)
    assert short_day(TODAY, weekday=True) == "Fri 25 June"


@given(st.dates(date(2000, 1, 1), date(2060, 1, 1)), st.integers(1, 400))
def test_the_scale_keeps_days_in_order_and_within(first: date, days: int) -> None:
    last = first + timedelta(days=days)
    scale = DateScale(first, last, 100, 500)
    assert scale.edge(first) == pytest.approx(100)
    assert scale.edge(last + timedelta(days=1)) == pytest.approx(500)
    noon = datetime.combine(first, time(12))
    assert scale.x(noon) == pytest.approx(scale.x(first))
    ticks = scale.ticks(60)
    xs = [scale.edge(day) for day in ticks]
    assert all(b - a >= 59.9 for a, b in pairwise(xs))
    assert ticks[0] == first


def test_windows_say_in_words_what_they_draw(qtbot: QtBot, theme: Theme) -> None:
    plot = WindowsPlot(theme, "Windows")
    qtbot.addWidget(plot)
    plot.tell((WANDER, WindowRow("Emerge", remark="not within the year")), TODAY)
    assert plot.sentence() == (
        "Wander down: first Thu 8 July (5–11), half 12 July (9–16), "
        "last 17 July (13–23). Emerge: not within the year"
    )
    assert plot.accessibleName().startswith("Windows. Wander down")


def test_windows_are_hatched_and_what_was_seen_is_solid(
    qtbot: QtBot, theme: Theme
) -> None:
    plot = WindowsPlot(theme, "Windows")
    qtbot.addWidget(plot)
    plot.tell((WANDER,), TODAY)
    before = count(drawn(plot), theme.look.tokens.ink)
    seen = Seen(date(2021, 6, 20), date(2021, 6, 24))
    plot.tell((WindowRow("Hatched", seen=(seen,)), WANDER), TODAY)
    image = drawn(plot)
    assert count(image, theme.look.tokens.ink) > before + 4 * 9 * 5
    assert count(image, theme.look.tokens.madder) > 20


@pytest.mark.parametrize("view", [View.DAY, View.DARK])
@pytest.mark.parametrize("scale", [0.8, 1.6, 2.5])
@pytest.mark.parametrize("width", [420, 900])
def test_windows_keep_room_for_their_axis(
    qtbot: QtBot, theme: Theme, view: View, scale: float, width: int
) -> None:
    theme.set_view(view)
    theme.set_scale(scale)
    plot = WindowsPlot(theme, "Windows")
    qtbot.addWidget(plot)
    plot.tell((WANDER,), TODAY)
    image = drawn(plot, width)
    assert count(image, theme.look.tokens.ink) > 0
    assert image.height() >= plot.sizeHint().height() * image.devicePixelRatio() - 1


def test_an_empty_plot_draws_nothing(qtbot: QtBot, theme: Theme) -> None:
    plot = WindowsPlot(theme, "Windows")
    qtbot.addWidget(plot)
    plot.tell((), TODAY)
    drawn(plot)
    assert plot.sentence() == ""


def test_instar_bars_are_as_long_as_their_numbers(qtbot: QtBot, theme: Theme) -> None:
    bar = StageBar(theme, "Instars")
    qtbot.addWidget(bar)
    rows = (
        StageRow("S1", (StagePart("L3", 10), StagePart("L5", 30)), "by eye"),
        StageRow("A", (StagePart("L4", 5, resting=True), StagePart("L5", 15))),
    )
    bar.tell(rows)
    assert "5 resting in L4" in bar.sentence()
    image = drawn(bar)
    l3, l5 = (count(image, theme.look.tokens.instar(n)[0]) for n in (3, 5))
    # thirty and fifteen of L5 against ten of L3; lettering takes a little
    assert l5 / l3 == pytest.approx(4.5, rel=0.12)


def test_losses_are_one_mark_an_animal_up_to_forty(qtbot: QtBot, theme: Theme) -> None:
    losses = Losses(theme, "Losses")
    qtbot.addWidget(losses)
    losses.tell([Loss(LossKind.EGG, 9, "collapsed"), Loss(LossKind.ANIMAL, 0, "virus")])
    assert losses.accessibleName() == "Losses. 9 collapsed"

    def ink(number: int) -> int:
        losses.tell([Loss(LossKind.ANIMAL, number, "x")])
        return count(drawn(losses, 1400), theme.look.tokens.ink)

    one, two, forty = ink(1), ink(2), ink(40)
    assert forty == pytest.approx(one + 39 * (two - one), rel=0.15)
    # above forty a bar of one length stands for them all
    assert ink(41) == pytest.approx(ink(90), rel=0.1)


def test_no_losses_are_said_to_be_none(qtbot: QtBot, theme: Theme) -> None:
    losses = Losses(theme, "Losses")
    qtbot.addWidget(losses)
    losses.tell([])
    assert losses.accessibleName() == "Losses. none"


def test_losses_go_on_below_when_the_row_is_full(qtbot: QtBot, theme: Theme) -> None:
    losses = Losses(theme, "Losses")
    qtbot.addWidget(losses)
    losses.tell([Loss(LossKind.EGG, 30, "eggs"), Loss(LossKind.ANIMAL, 30, "larvae")])
    assert losses.heightForWidth(500) == 2 * losses.heightForWidth(2000)


def test_links_of_the_chain_are_followed_by_keyboard(
    qtbot: QtBot, theme: Theme
) -> None:
    chain = Chain(theme)
    qtbot.addWidget(chain)
    chain.tell(
        [
            Step("Night of 7 May 2021", "Beech hollow", "night", 7),
            Step("86 eggs", "38, 31, 17"),
            Step("W21-03", "wild", "moth", 3),
        ]
    )
    chain.resize(900, 60)
    chain.show()
    reachable = [
        link
        for link in chain.links()
        if link.focusPolicy() is not Qt.FocusPolicy.NoFocus
    ]
    assert [link.step.target for link in reachable] == [7, 3]
    with qtbot.waitSignal(chain.followed) as followed:
        QTest.keyClick(reachable[1], Qt.Key.Key_Return)
    assert followed.args == ["moth", 3]
    assert reachable[0].accessibleName() == "Night of 7 May 2021, Beech hollow"


def test_a_long_chain_goes_on_below(qtbot: QtBot, theme: Theme) -> None:
    chain = Chain(theme)
    qtbot.addWidget(chain)
    chain.tell([Step(f"step {n} of many words", "under") for n in range(5)])
    assert chain.heightForWidth(400) > chain.heightForWidth(2000)
    chain.resize(400, 300)
    chain.show()
    for link in chain.links():
        assert link.geometry().right() <= 400


def test_the_head_puts_the_verdict_below_when_there_is_no_room(
    qtbot: QtBot, theme: Theme
) -> None:
    head = PageHeader(theme)
    qtbot.addWidget(head)
    head.tell(
        Heading(
            code="B21-04",
            species="Aglia tau",
            words="last instar",
            verdict="67 alive",
            under="34 counted yesterday",
        )
    )
    head.resize(1000, 100)
    beside = head.sizeHint().height()
    head.resize(420, 100)
    assert head.sizeHint().height() > beside
    assert head.accessibleName() == (
        "B21-04 Aglia tau last instar. 67 alive. 34 counted yesterday"
    )


def test_a_sheet_keeps_its_content_and_widens_its_margin(
    qtbot: QtBot, theme: Theme
) -> None:
    sheet = FieldSheet(theme, "Brood")
    qtbot.addWidget(sheet)
    sheet.resize(800, 600)
    kept, gone = QLabel("34"), QLabel("2 boxes")
    sheet.set_sections([("Numbers", "", kept), ("From", "", gone)])
    narrow = sheet.sections()[0].margin
    sheet.set_sections([("A very long section name", "24 June", kept)])
    sheet.show()
    (section,) = sheet.sections()
    assert section.content is kept
    assert kept.isVisible()
    assert section.margin > narrow
    assert section.accessibleName() == "A very long section name, 24 June"

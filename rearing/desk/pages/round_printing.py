"""The round's way to paper: its own sheet, and those of a helper while away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

from rearing.desk.page import Page
from rearing.desk.typed import day_words
from rearing.desk.widgets.header import Heading

if TYPE_CHECKING:
    from collections.abc import Callable

    from PySide6.QtPrintSupport import QPrinter

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.away import Away
    from rearing.keeping.round_lines import Round


class RoundPrinting(Page):
    """A page that puts rounds on paper, or into a PDF file."""

    def __init__(self, session: Session, theme: Theme) -> None:
        super().__init__(theme)
        self._session = session
        self._round: Round | None = None
        self._printer: QPrinter | None = None

    def heading(self) -> Heading:
        """Return the head of the page; a page says more of it."""
        return Heading(title=self.title)

    def away_answer(self) -> Away | None:
        """Return what the next days away would cost; None until it is known."""
        return None

    def ask_printer(self) -> None:
        """Ask which printer, or which PDF file, the round goes to."""
        self._ask_paper(f"Round {self._session.on:%Y-%m-%d}", self.print_out)

    def ask_helper_paper(self) -> None:
        """Ask where the sheets for a helper go."""
        answer = self.away_answer()
        if answer is None:
            self.notices.say("What a helper is to do is still being worked out.")
            return
        name = f"Helper {answer.first:%Y-%m-%d} {answer.last:%Y-%m-%d}"
        self._ask_paper(name, self.print_helper)

    def _ask_paper(self, name: str, then: Callable[[], object]) -> None:
        from PySide6.QtPrintSupport import QPrintDialog, QPrinter
        from PySide6.QtWidgets import QDialog

        self._printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        self._printer.setDocName(name)
        dialog = QPrintDialog(self._printer, self.window())
        dialog.accepted.connect(then)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        # its own open() wants a slot by name
        QDialog.open(dialog)

    def print_out(self) -> None:
        """Put the round on the paper of the printer that was chosen."""
        from rearing.desk.pages.round_paper import put_on_paper

        if self._round is None or self._printer is None:
            return
        head, faces = self.heading(), self.theme.look.faces
        self.notices.say(put_on_paper(self._round, head, faces, self._printer))

    def print_helper(self) -> None:
        """Put what a helper is to do on paper, a sheet an evening."""
        from rearing.desk.pages.round_helper import helper_rounds
        from rearing.desk.pages.round_paper import put_days_on_paper
        from rearing.keeping.round import round_of

        answer = self.away_answer()
        if answer is None or self._printer is None:
            return
        session = self._session
        walked = round_of(session.book, session.shelf, session.on, everything=True)
        rounds = helper_rounds(answer, session.shelf, walked)
        if not rounds:
            self.notices.say("Nothing has to be done by a helper on those days.")
            return
        name = self._session.home.name or "the boxes"
        heads = [f"{day_words(one.on)}: for the helper at {name}" for one in rounds]
        put_days_on_paper(rounds, heads, self.theme.look.faces, self._printer)
        path = self._printer.outputFileName()
        where = f"in the file {path}" if path else "on their way to the paper"
        self.notices.say(f"The sheets for a helper are {where}.")

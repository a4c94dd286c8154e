"""Asking how many can be kept: what can be carried, and which boxes there are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Signal

from rearing.desk.widgets.fields import AmountField, Answers, ChoiceField, CountField
from rearing.desk.widgets.form import EntryForm
from rearing.keeping.how_many import how_many
from rearing.problems import AskFirst
from rearing.terms import BoxKind

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.how_many import HowMany
    from rearing.keeping.leaf_view import LeafView

KINDS = (BoxKind.CAGE, BoxKind.SLEEVE, BoxKind.BOX)
LEAST_G = 20.0
"""Less leaf a day is asked about: mostly kilograms were meant (our own choice)."""

_LABELS = {
    BoxKind.CAGE: "&Cages",
    BoxKind.SLEEVE: "&Sleeves",
    BoxKind.BOX: "&Boxes",
}
CAUTION = (
    "By leaf: what feeds them on the hungriest day. By room: the last instar, by the "
    "sheet's density, as if all were in it at one time; of several hosts each has its "
    "part, by the boxes that stand now. Nothing is entered by this."
)


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked last: it is offered again."""

    host: str = ""
    carry_g: float | None = None
    rooms: tuple[tuple[BoxKind, int], ...] = ()

    def number(self, kind: BoxKind) -> int | None:
        """Return how many of a kind there are; None where it was not said."""
        return dict(self.rooms).get(kind)


class KeepForm(EntryForm):
    """Asks, and hands the answer on: `answered(found, asked)`."""

    answered = Signal(object, object)

    def __init__(
        self, session: Session, theme: Theme, view: LeafView, asked: Asked
    ) -> None:
        self._session, self._view = session, view
        hosts = (("", "each"), *((one.host, one.host) for one in view.hosts))
        super().__init__(
            theme,
            "How many can be kept?",
            (
                AmountField("carry", "&Leaf a day", unit="g", value=asked.carry_g),
                ChoiceField("host", "&Host", options=hosts, value=asked.host),
                *(
                    CountField(kind.value, _LABELS[kind], value=asked.number(kind))
                    for kind in KINDS
                ),
            ),
            self._reckon,
            today=session.on,
            verb="reckon",
            caution=CAUTION,
            columns=2,
        )

    def _reckon(self, answers: Answers) -> None:
        rooms = {kind: answers.count(kind.value) or 0 for kind in KINDS}
        host = answers.text("host")
        carry = answers.amount("carry")
        if carry is not None and 0 < carry < LEAST_G and not answers.sure:
            raise AskFirst(
                f"{carry:g} g a day? {carry:g} kg are {carry * 1000:g}. Is it meant?",
                field="carry",
            )
        found: tuple[HowMany, ...] = how_many(
            self._view, self._session.shelf, carry_g=carry, rooms=rooms, host=host
        )
        said = tuple((kind, number) for kind, number in rooms.items() if number)
        self.answered.emit(found, Asked(host, carry, said))

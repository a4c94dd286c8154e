"""What a box can be asked for on every page that shows it: forms, and who shared."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from rearing.desk.actions import Act

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.help_panel import HelpPanel
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.form import EntryForm

FORMS = "DJBUK"
"""Letters of the forms; T is read, not entered."""

_ASKS: tuple[tuple[str, str, Act], ...] = (
    (
        "T",
        "tells who shared with it",
        Act(
            "shared_with",
            "Who sha&red with it",
            None,
            "Mother, leaf, shelf, tools and days shared with the box in the hand",
            "&Page",
        ),
    ),
    (
        "K",
        "keeps it apart",
        Act(
            "keep_apart",
            "Keep it a&part…",
            None,
            "By your own judgement: from outside, wild-caught, a doubt",
            "&Entry",
        ),
    ),
    (
        "D",
        "splits it",
        Act(
            "split_box",
            "Spl&it the box…",
            None,
            "Into new boxes, in one entry",
            "&Entry",
        ),
    ),
    (
        "B",
        "puts a sleeve on another branch",
        Act(
            "move_sleeve",
            "Move the slee&ve…",
            None,
            "Onto another branch, or off its tree",
            "&Entry",
        ),
    ),
    (
        "J",
        "joins it to another",
        Act("join_boxes", "Jo&in the box…", None, "All of it into another", "&Entry"),
    ),
    (
        "U",
        "gives it tools of its own",
        Act(
            "box_tools",
            "Tools o&f the box…",
            None,
            "Forceps and brush of its own, or the round's",
            "&Entry",
        ),
    ),
)


class BoxActs:
    """The acts of one page; `ask(letter, what)` does it at the box in the hand."""

    def __init__(self, ask: Callable[[str, str], None], *, of: str = "") -> None:
        self._askers = [_Asker(letter, what, ask) for letter, what, _ in _ASKS]
        self._acts = [replace(act, id=f"{of}{act.id}") for _, _, act in _ASKS]

    def offered(self) -> tuple[tuple[Act, Callable[[], None]], ...]:
        """Return what the menus offer."""
        doers = (asker.ask for asker in self._askers)
        return tuple(zip(self._acts, doers, strict=True))


class _Asker:
    def __init__(self, letter: str, what: str, ask: Callable[[str, str], None]) -> None:
        self._letter, self._what, self._ask = letter, what, ask

    def ask(self) -> None:
        self._ask(self._letter, self._what)


def box_form(session: Session, theme: Theme, letter: str, box_id: int) -> EntryForm:
    """Return the form that one of the letters opens at a box; it may be refused."""
    from rearing.desk.entries import apart_forms, sleeve_forms, split_forms, tools_form

    make: dict[str, Callable[..., EntryForm]] = {
        "D": split_forms.split_box,
        "J": split_forms.join_boxes,
        "B": sleeve_forms.move_sleeve,
        "U": tools_form.set_tools,
        "K": apart_forms.set_apart,
    }
    return make[letter](session, theme, box_id=box_id)


def trace_panel(session: Session, theme: Theme, box_id: int) -> HelpPanel:
    """Return who shared mother, leaf, shelf or tools with a box, to be read."""
    from rearing.desk.help_panel import HelpPanel
    from rearing.desk.pages.round_reading import trace_reading
    from rearing.keeping.tracing import trace
    from rearing.records.rows import BoxRow

    box = session.book.one(BoxRow, box_id)
    found = trace(session.book, session.shelf, box, session.on)
    title = f"Who shared with {found.code}"
    return HelpPanel(theme, title, trace_reading(found, box.tools))

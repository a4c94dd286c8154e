"""Forms of test larvae: put on leaf of a suspect tree, and judged."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.entries.tree_forms import NO_TREE
from rearing.desk.widgets.fields import (
    Answers,
    ChoiceField,
    CountField,
    DayField,
    SearchField,
    TextField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import leaf_tests
from rearing.problems import Refusal

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.keeping.leaf_tests import LeafTest

AS_FOUND = "as the larvae tell"
THEN: offers.Options = ((None, AS_FOUND), (False, "leave the tree as it is"))


def leaf_test(session: Session, theme: Theme, tree_id: int | None = None) -> EntryForm:
    """Return the form that puts a few larvae on leaf of a suspect tree."""
    options = offers.trees(session)
    usual = session.shelf.defaults.figures
    number, days = usual.leaf_test_larvae.middle, usual.leaf_test_days.middle
    return EntryForm(
        theme,
        "Test larvae on suspect leaf",
        (
            ChoiceField(
                "tree",
                "&Tree",
                options=options,
                value=tree_id if tree_id is not None else offers.first(options),
            ),
            CountField("number", "&Larvae", value=round(number), required=True),
            SearchField(
                "box", "In &box", options=offers.boxes(offers.held(session)), value=None
            ),
            DayField("on", "&Since", value=session.on, required=True),
            TextField("note", "N&ote"),
        ),
        partial(_keep_test, session),
        today=session.on,
        verb="begin the test",
        caution=f"{days:.0f} days are usual. {leaf_tests.CAUTION}"
        if options
        else NO_TREE,
        columns=2,
    )


def _keep_test(session: Session, answers: Answers) -> None:
    with asking.renamed({"box": "box", "number": "number"}):
        session.do(
            leaf_tests.begin_test,
            tree_id=asking.chosen(answers, "tree", int),
            number=asking.number(answers, "number"),
            box_id=asking.maybe(answers, "box", int),
            begun_on=asking.day(answers, "on"),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )


def judge_test(session: Session, theme: Theme, test_id: int | None = None) -> EntryForm:
    """Return the form that judges test larvae and opens or closes their tree."""
    running = [
        one
        for one in leaf_tests.leaf_tests(session.book, session.on)
        if one.is_running and test_id in {None, one.row.id}
    ]
    if not running:
        raise Refusal("No test larvae are on leaf of any tree on this day.")
    test = running[0]
    return EntryForm(
        theme,
        f"Test larvae: {test.tree.name}",
        (
            CountField("alive", f"&Alive of {test.row.number}", required=True),
            DayField("on", "&On", value=session.on, required=True),
            ChoiceField("then", "Th&en", options=THEN, value=None),
            DayField("until", "Else closed &until"),
            TextField("note", "&Note"),
        ),
        partial(_keep_judged, session, test),
        today=session.on,
        verb="judge it",
        caution=_words(test),
        columns=2,
    )


def _words(test: LeafTest) -> str:
    return f"{test.words}. {leaf_tests.CAUTION}"


def _keep_judged(session: Session, test: LeafTest, answers: Answers) -> None:
    session.do(
        leaf_tests.judge_test,
        test_id=test.row.id,
        alive=asking.number(answers, "alive"),
        on=asking.day(answers, "on"),
        opens=asking.maybe(answers, "then", bool),
        until=answers.day("until"),
        note=asking.words(answers, "note"),
        sure=answers.sure,
    )

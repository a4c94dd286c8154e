"""Forms of leaf: trees, closed and open again, their year, and what was cut."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import (
    AmountField,
    Answers,
    ChoiceField,
    DayField,
    NoteField,
    SearchField,
    TextField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import leaf
from rearing.keeping.closed_trees import is_closed
from rearing.keeping.larder import cuts_now
from rearing.keeping.moments import short_day
from rearing.keeping.tree_year import signs
from rearing.keeping.trees import closed_words
from rearing.problems import Refusal
from rearing.records.rows import TreeRow
from rearing.terms import TreeSign

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme

NO_TREE = "No tree is in the book yet: menu Entry, Tree."
CUT_CAUTION = (
    "Take nothing sprayed, and only where you may. A ladder stands on firm ground, "
    "with somebody near."
)


def tree(session: Session, theme: Theme) -> EntryForm:
    """Return the form for a tree that is cut or sleeved."""

    def keep(answers: Answers) -> None:
        session.do(
            leaf.add_tree,
            name=answers.text("name").strip(),
            host=answers.text("host").strip(),
            where=asking.words(answers, "where"),
            owner=asking.words(answers, "owner"),
            note=asking.words(answers, "note"),
        )

    return EntryForm(
        theme,
        "Tree",
        (
            TextField("name", "&Name", hint="As on its tag", required=True),
            SearchField(
                "host",
                "&Kind",
                options=offers.hosts(session),
                free=True,
                required=True,
            ),
            TextField("where", "Wh&ere"),
            TextField("owner", "&Owner", hint="Who lets it be cut"),
            NoteField("note", "No&te"),
        ),
        keep,
        today=session.on,
        columns=2,
    )


def close_tree(session: Session, theme: Theme, tree_id: int | None = None) -> EntryForm:
    """Return the form that closes a tree for cutting, say because it was sprayed."""
    options = offers.trees(session)
    if tree_id is not None:
        options = tuple(option for option in options if option[0] == tree_id)

    def keep(answers: Answers) -> None:
        session.do(
            leaf.close_tree,
            tree_id=asking.chosen(answers, "tree", int),
            since=asking.day(answers, "since"),
            until=asking.day(answers, "until"),
            why=answers.text("why").strip(),
        )

    return EntryForm(
        theme,
        "Close a tree",
        (
            ChoiceField("tree", "&Tree", options=options, value=offers.first(options)),
            DayField("since", "&From", value=session.on, required=True),
            DayField("until", "&Until", required=True),
            TextField("why", "Wh&y", hint="Sprayed, a sick brood, a park's wish"),
        ),
        keep,
        today=session.on,
        verb="close it",
        caution="" if options else NO_TREE,
    )


def open_tree(session: Session, theme: Theme, tree_id: int | None = None) -> EntryForm:
    """Return the form that opens a closed tree again before its day."""
    closed = [
        row
        for row in session.book.all(TreeRow)
        if is_closed(row, session.on) and tree_id in {None, row.id}
    ]
    if not closed:
        raise Refusal("No tree is closed on this day.")
    options = tuple((row.id, closed_words(row)) for row in closed)

    def keep(answers: Answers) -> None:
        session.do(
            leaf.reopen_tree,
            tree_id=asking.chosen(answers, "tree", int),
            on=asking.day(answers, "on"),
            sure=answers.sure,
        )

    return EntryForm(
        theme,
        "Open a tree again",
        (
            ChoiceField("tree", "&Tree", options=options, value=offers.first(options)),
            DayField("on", "&From", value=session.on, required=True),
        ),
        keep,
        today=session.on,
        verb="open it",
        caution="Is it sure? Two test larvae for three days tell more.",
    )


def tree_sign(session: Session, theme: Theme, tree_id: int | None = None) -> EntryForm:
    """Return the form for a sign of a tree's year."""
    options = offers.trees(session)

    def keep(answers: Answers) -> None:
        session.do(
            leaf.note_sign,
            tree_id=asking.chosen(answers, "tree", int),
            sign=asking.chosen(answers, "sign", TreeSign),
            on=asking.day(answers, "on"),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )

    return EntryForm(
        theme,
        "A sign of the tree's year",
        (
            ChoiceField(
                "tree",
                "&Tree",
                options=options,
                value=tree_id if tree_id is not None else offers.first(options),
            ),
            ChoiceField(
                "sign",
                "&Sign",
                options=offers.of_terms(TreeSign),
                value=_next_sign(session, tree_id),
            ),
            DayField("on", "&On", value=session.on, required=True),
            TextField("note", "&Note"),
        ),
        keep,
        today=session.on,
        caution="" if options else NO_TREE,
        columns=2,
    )


def _next_sign(session: Session, tree_id: int | None) -> TreeSign:
    """Return the sign that usually follows what was seen of a tree this year."""
    order = tuple(TreeSign)
    seen = [
        order.index(one.sign)
        for one in signs(session.book, session.on)
        if one.tree_id == tree_id and one.on.year == session.on.year
    ]
    return order[min(max(seen, default=-1) + 1, len(order) - 1)]


def throw_away(session: Session, theme: Theme, cut_id: int | None = None) -> EntryForm:
    """Return the form for a cut that is used up or thrown away."""
    lies = [
        one
        for one in cuts_now(session.book, session.on)
        if not one.is_gone and cut_id in {None, one.row.id}
    ]
    if not lies:
        raise Refusal("No leaf lies cut on this day.")
    options = tuple(
        (one.row.id, f"{one.row.host} {short_day(one.row.on)} · {one.left_words}")
        for one in lies
    )

    def keep(answers: Answers) -> None:
        session.do(
            leaf.throw_away,
            cut_id=asking.chosen(answers, "cut", int),
            on=asking.day(answers, "on"),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )

    return EntryForm(
        theme,
        "A cut is gone",
        (
            ChoiceField("cut", "&Cut", options=options, value=options[-1][0]),
            DayField("on", "&On", value=session.on, required=True),
            TextField("note", "&Why", hint="Used up, mouldy, wilted"),
        ),
        keep,
        today=session.on,
        verb="it is gone",
    )


def cut(session: Session, theme: Theme, tree_id: int | None = None) -> EntryForm:
    """Return the form for leaf that was cut."""
    return EntryForm(
        theme,
        "Leaf cut",
        (
            SearchField("host", "&Leaf", options=offers.hosts(session), free=True),
            ChoiceField(
                "tree",
                "&Tree",
                options=((None, "none in the book"), *offers.trees(session)),
                value=tree_id,
            ),
            AmountField("grams", "&Weight", unit="g"),
            TextField("storage", "&Kept", hint="Bag in the fridge, bucket, fresh"),
            DayField("on", "O&n", value=session.on, required=True),
            NoteField("note", "N&ote"),
        ),
        partial(_keep_cut, session),
        today=session.on,
        caution=CUT_CAUTION,
        columns=2,
    )


def _keep_cut(session: Session, answers: Answers) -> None:
    tree_id, host = asking.maybe(answers, "tree", int), answers.text("host").strip()
    if not host and tree_id is not None:
        host = session.book.one(TreeRow, tree_id).host
    if not host:
        raise Refusal("Name the leaf, or choose its tree.", field="host")
    session.do(
        leaf.cut_leaf,
        host=host,
        on=asking.day(answers, "on"),
        tree_id=tree_id,
        grams=answers.amount("grams"),
        storage=asking.words(answers, "storage"),
        note=asking.words(answers, "note"),
        sure=answers.sure,
    )

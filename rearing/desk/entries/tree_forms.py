"""Forms of leaf: trees, trees closed for a time, and what was cut."""

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
from rearing.problems import Refusal
from rearing.records.rows import TreeRow

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


def cut(session: Session, theme: Theme) -> EntryForm:
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

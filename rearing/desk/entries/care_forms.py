"""Forms of what is done and seen at a box: leaf, counts, stages, losses, leavings."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.entries.begun_form import BegunForm
from rearing.desk.widgets.fields import (
    AmountField,
    Answers,
    ChoiceField,
    CountField,
    SearchField,
    TextField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import care
from rearing.keeping.descent import chain
from rearing.keeping.hosts import Kin
from rearing.keeping.moments import short_day, stages_words
from rearing.problems import Refusal
from rearing.terms import INSTARS, Cause, ExitKind, Known, LawFlag, Stage, Visit

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Field
    from rearing.keeping.holding import BoxNow, Holding, Look
    from rearing.sheets.sheet import SpeciesSheet

WHEN = {"on": "when"}


# leaf


def feed(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form for leaf given: which, how much, from which cut."""
    box, whole = offers.box_now(session, box_id)
    sheet = offers.sheet_of(session, box.brood, whole)
    poison = [host.caution for host in sheet.hosts if host.poisonous and host.caution]
    return _box_form(
        session,
        theme,
        f"{offers.box_words(box, whole)}: fed",
        (
            SearchField(
                "host",
                "&Leaf",
                options=offers.hosts(session, sheet),
                value=offers.last_host(session, box),
                free=True,
            ),
            AmountField("grams", "Wei&ght", unit="g"),
            ChoiceField(
                "what", "&Done", options=offers.of_terms(Visit), value=Visit.FED
            ),
            ChoiceField(
                "cut",
                "From the &cut",
                options=((None, "not noted"), *offers.cuts(session)),
            ),
            asking.when_field(session),
            TextField("note", "&Note"),
        ),
        partial(_keep_feed, session, box_id),
        asking.join(*poison),
    )


def _keep_feed(session: Session, box_id: int, answers: Answers) -> None:
    what = asking.chosen(answers, "what", Visit)
    leaf = care.Leaf(
        asking.words(answers, "host"),
        answers.amount("grams"),
        asking.maybe(answers, "cut", int),
    )
    with asking.renamed(WHEN):
        session.do(
            care.visit,
            what=what,
            when=asking.when(session, answers),
            box_id=box_id,
            leaf=leaf if what.feeds else None,
            note=asking.words(answers, "note"),
            same_host=Kin(session.shelf),
            sure=answers.sure,
        )


# counting


def count(session: Session, theme: Theme, box_id: int, typed: str = "") -> EntryForm:
    """Return the form for a headcount, with the losses found at it."""
    box, whole = offers.box_now(session, box_id)
    return BegunForm(
        theme,
        f"{box.code} · {offers.where(box, whole)}: counted",
        (
            CountField(
                "number",
                "&Counted",
                value=int(typed) if typed.isdecimal() else None,
                ask_quality=True,
                required=True,
            ),
            CountField("lost", "Found &lost"),
            ChoiceField("cause", "to what ca&use", options=offers.CAUSES),
            asking.when_field(session),
            CountField("lost_2", "&And lost"),
            ChoiceField("cause_2", "to what &other cause", options=offers.CAUSES),
            TextField("note", "&Note"),
        ),
        partial(_keep_count, session, box_id, offers.last_stage(box)),
        today=session.on,
        verb="enter the count",
        caution=_book_words(box),
        columns=2,
    )


def _keep_count(
    session: Session, box_id: int, stage: Stage | None, answers: Answers
) -> None:
    lost = (
        lost_of(answers, "lost", "cause", stage),
        lost_of(answers, "lost_2", "cause_2", stage),
    )
    with asking.renamed(WHEN):
        session.do(
            care.count_box,
            box_id=box_id,
            number=asking.number(answers, "number"),
            when=asking.when(session, answers),
            quality=answers.quality("number"),
            losses=[one for one in lost if one is not None],
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )


def lost_of(
    answers: Answers, key: str, cause_key: str, stage: Stage | None
) -> care.Lost | None:
    """Return a loss of two fields, None where both are empty."""
    number, cause = answers.count(key), asking.maybe(answers, cause_key, Cause)
    if not number and cause is None:
        return None
    if not number:
        raise Refusal(f"How many were lost to {cause}?", field=key)
    if cause is None:
        raise Refusal("To what? “not known” is an answer too.", field=cause_key)
    return care.Lost(number, cause, stage)


def _book_words(box: BoxNow) -> str:
    last = box.standing.last_count
    said = f"The book has {box.standing.number} in it"
    if last is None:
        return f"{said}; never counted."
    return f"{said}; counted {last.number} on {short_day(last.on)}."


# stages


def stages(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form for how many stand in which stage, and how many rest."""
    box, whole = offers.box_now(session, box_id)
    sheet = offers.sheet_of(session, box.brood, whole)
    asked = _asked_stages(sheet, box.last_look)
    feeding = [stage for stage in asked if stage.is_larva]
    fields: Sequence[Field] = (
        *(CountField(_key(stage), str(stage).capitalize()) for stage in asked),
        *(CountField(_rest_key(stage), f"{stage} at rest") for stage in feeding),
        asking.when_field(session),
        TextField("note", "&Note"),
    )
    return _box_form(
        session,
        theme,
        f"{offers.box_words(box, whole)}: stages",
        fields,
        partial(_keep_stages, session, box_id, asked),
        asking.join(_look_words(box), "At rest: still, before a moult. Don't touch."),
        first=_first_asked(box, asked),
    )


def _first_asked(box: BoxNow, asked: Sequence[Stage]) -> str:
    """Return the field of the least that was last seen: what is behind stays so."""
    seen = box.last_look.numbers if box.last_look else {}
    return next((_key(stage) for stage in asked if seen.get(stage)), "")


def _asked_stages(sheet: SpeciesSheet, look: Look | None) -> tuple[Stage, ...]:
    seen = [stage for stage in look.numbers if stage.is_larva] if look else []
    most = max((INSTARS.index(stage) + 1 for stage in seen), default=0)
    instars = INSTARS[: max(sheet.instars.usual, most)]
    return (*instars, Stage.WANDERING, Stage.PUPA)


def _key(stage: Stage) -> str:
    return f"n_{stage}"


def _rest_key(stage: Stage) -> str:
    return f"rest_{stage}"


def _keep_stages(
    session: Session, box_id: int, asked: Sequence[Stage], answers: Answers
) -> None:
    seen = {}
    for stage in asked:
        number = answers.count(_key(stage)) or 0
        resting = (answers.count(_rest_key(stage)) or 0) if stage.is_larva else 0
        if resting > number:
            raise Refusal(
                f"{resting} rest, but {number} {stage} are entered.",
                field=_rest_key(stage),
            )
        if number:
            seen[stage] = care.Seen(number, resting)
    with asking.renamed({**WHEN, "seen": _key(asked[0])}):
        session.do(
            care.look_at_stages,
            box_id=box_id,
            seen=seen,
            when=asking.when(session, answers),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )


def _look_words(box: BoxNow) -> str:
    look = box.last_look
    if look is None:
        return "Not looked at yet."
    return f"Last look {short_day(look.on)}: {stages_words(look.numbers)}."


# losing and leaving


def loss(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form for a loss with its cause."""
    box, whole = offers.box_now(session, box_id)
    return _box_form(
        session,
        theme,
        f"{offers.box_words(box, whole)}: lost",
        (
            CountField("number", "Nu&mber", value=1, required=True),
            ChoiceField("cause", "&Cause", options=offers.CAUSES),
            _stage_field(session, box, whole),
            ChoiceField(
                "known",
                "How &known",
                options=offers.of_terms(Known),
                value=Known.SEEN,
            ),
            asking.when_field(session),
            TextField("note", "&Note"),
        ),
        partial(_keep_loss, session, box_id),
        "Virus, flacherie, microsporidia and fungus are catching: the box goes last.",
    )


def _keep_loss(session: Session, box_id: int, answers: Answers) -> None:
    with asking.renamed(WHEN):
        session.do(
            care.lose,
            box_id=box_id,
            lost=care.Lost(
                asking.number(answers, "number"),
                asking.chosen(answers, "cause", Cause),
                asking.maybe(answers, "stage", Stage),
                asking.words(answers, "note"),
            ),
            when=asking.when(session, answers),
            known=asking.chosen(answers, "known", Known),
            sure=answers.sure,
        )


def leave(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form for animals given, released, sold or taken as specimens."""
    box, whole = offers.box_now(session, box_id)
    law = offers.sheet_of(session, box.brood, whole).law
    flagged = law.flag not in {None, LawFlag.FREE}
    flag = f"Law: {law.flag}. {law.note}" if flagged else ""
    origin = asking.join(_origin_words(session, box), flag)
    return _box_form(
        session,
        theme,
        f"{offers.box_words(box, whole)}: leaving",
        (
            CountField("number", "Nu&mber", required=True),
            ChoiceField("kind", "&How", options=offers.of_terms(ExitKind)),
            _stage_field(session, box, whole),
            TextField("to_whom", "&To whom"),
            TextField("where", "Wh&ere"),
            asking.when_field(session),
            TextField("note", "&Note"),
        ),
        partial(_keep_leave, session, box_id, origin),
        asking.join(flag, "The local authority decides." if flag else ""),
    )


def _keep_leave(
    session: Session, box_id: int, origin_words: str, answers: Answers
) -> None:
    with asking.renamed(WHEN):
        session.do(
            care.let_leave,
            box_id=box_id,
            kind=asking.chosen(answers, "kind", ExitKind),
            number=asking.number(answers, "number"),
            when=asking.when(session, answers),
            stage=asking.maybe(answers, "stage", Stage),
            receiver=care.Receiver(
                asking.words(answers, "to_whom"),
                asking.words(answers, "where"),
                origin_words,
            ),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )


def _origin_words(session: Session, box: BoxNow) -> str:
    links = chain(session.book, box.brood, session.on)
    nights = [link for link in links if link.kind == "lamp_night"]
    if not nights:
        return "Where its line came from is not in the book."
    first = nights[0]
    night = f"{first.words[:1].lower()}{first.words[1:]}"
    return f"Its line came from the {night}, {first.beneath}."


# what they share


def _stage_field(session: Session, box: BoxNow, whole: Holding) -> ChoiceField:
    return ChoiceField(
        "stage",
        "&Stage",
        options=offers.stages(offers.sheet_of(session, box.brood, whole)),
        value=offers.last_stage(box),
    )


def _box_form(  # noqa: PLR0913  # as the form it is
    session: Session,
    theme: Theme,
    title: str,
    fields: Sequence[Field],
    keep: Callable[[Answers], object],
    caution: str,
    *,
    first: str = "",
) -> EntryForm:
    return EntryForm(
        theme,
        title,
        fields,
        keep,
        today=session.on,
        caution=caution,
        columns=2,
        first=first,
    )

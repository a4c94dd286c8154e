"""Forms of kept moths: second looks, mating, pairings, emergence, letting go."""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.entries.box_forms import NO_BROOD
from rearing.desk.entries.egg_forms import NO_FEMALE
from rearing.desk.widgets.choice_inputs import ChoiceInput
from rearing.desk.widgets.fields import (
    Answers,
    ChoiceField,
    CountField,
    DayField,
    NoteField,
    SearchField,
    TextField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import lamp, mothers
from rearing.keeping.descent import moth_call
from rearing.keeping.holding import holding
from rearing.keeping.moments import evening_of
from rearing.keeping.nights import current_call
from rearing.records import tables as t
from rearing.records.rows import (
    ArrivalRow,
    BroodRow,
    CheckRow,
    DeterminationRow,
    LampNightRow,
    MothRow,
    SiteRow,
)
from rearing.terms import LawFlag, Mated, MothFate, Sex, Sire, Sure, Wings

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Field
    from rearing.keeping.holding import BoxNow

Subject = tuple[str, int]

HOME_AGAIN = (
    "Only where local rules allow it, and only where the moth came from. The program "
    "reminds; the local authority decides."
)


def second_look(
    session: Session,
    theme: Theme,
    night_id: int | None = None,
    moth_id: int | None = None,
) -> EntryForm:
    """Return the form that calls a moth, or some of a line, something else."""
    whom = _subjects(session, night_id, moth_id)
    first = offers.first(whom)
    taxon, sex = _call(session, first) if isinstance(first, tuple) else ("", None)
    return EntryForm(
        theme,
        "Second look",
        (
            ChoiceField("whom", "Wh&ich", options=whom, value=first),
            SearchField(
                "taxon",
                "Is no&w called",
                options=offers.taxa(session),
                value=taxon,
                free=True,
                required=True,
            ),
            ChoiceField("sex", "Se&x", options=offers.SEXES, value=sex),
            CountField(
                "number",
                "Of h&ow many",
                value=1,
                hint="Of a line of the night; one for a kept moth",
            ),
            ChoiceField(
                "sure", "How &sure", options=offers.of_terms(Sure), value=Sure.CERTAIN
            ),
            TextField("who", "Called &by", value=session.home.keeper),
            DayField("on", "O&n", value=session.on, required=True),
            NoteField("note", "No&te", hint="What it was told by"),
        ),
        partial(_keep_look, session),
        today=session.on,
        caution="" if whom else "There is no moth in the night book yet.",
        columns=2,
    )


def _subjects(
    session: Session, night_id: int | None, moth_id: int | None
) -> offers.Options:
    book = session.book
    if moth_id is not None:
        row = book.one(MothRow, moth_id)
        return ((("moth", moth_id), offers.moth_words(session, row)),)
    nights = offers.last_nights(session)
    if night_id is None and nights:
        night_id = nights[0].id
    kept = book.all(MothRow, t.Moth.night_id == night_id)
    checks = {row.id: row for row in book.all(CheckRow, t.Check.night_id == night_id)}
    lines = book.all(ArrivalRow, t.Arrival.check_id.in_(list(checks)))
    zone = session.home.zone
    return (
        *((("moth", row.id), offers.moth_words(session, row)) for row in kept),
        *(
            (("arrival", row.id), _line_words(row, checks[row.check_id], zone))
            for row in lines
        ),
    )


def _line_words(row: ArrivalRow, check: CheckRow, zone: dt.tzinfo) -> str:
    clock = asking.time_text(check.at, zone)
    return " · ".join(filter(None, (clock, f"{row.number} {row.sex.sign} {row.taxon}")))


def _call(session: Session, subject: Subject) -> tuple[str, Sex]:
    book, (kind, row_id) = session.book, subject
    if kind == "moth":
        moth = book.one(MothRow, row_id)
        calls = book.all(DeterminationRow, t.Determination.moth_id == row_id)
        return current_call((moth.taxon, moth.sex), calls, session.on)
    arrival = book.one(ArrivalRow, row_id)
    return arrival.taxon, arrival.sex


def _keep_look(session: Session, answers: Answers) -> None:
    kind, row_id = asking.chosen(answers, "whom", tuple)
    call = lamp.Call(
        answers.text("taxon").strip(),
        asking.chosen(answers, "sex", Sex),
        answers.text("who").strip(),
        asking.chosen(answers, "sure", Sure),
    )
    on, note = asking.day(answers, "on"), asking.words(answers, "note")
    if kind == "moth":
        session.do(lamp.redetermine_moth, moth_id=row_id, call=call, on=on, note=note)
    else:
        session.do(
            lamp.redetermine,
            arrival_id=row_id,
            call=call,
            number=asking.number(answers, "number"),
            on=on,
            note=note,
        )


def let_go(session: Session, theme: Theme, moth_id: int) -> EntryForm:
    """Return the form for what became of a moth."""
    moth = session.book.one(MothRow, moth_id)
    law = session.shelf.sheet_for(moth_call(session.book, moth, session.on)[0]).law

    def keep(answers: Answers) -> None:
        fate = asking.chosen(answers, "fate", MothFate)
        if fate is MothFate.RELEASED and law.flag is LawFlag.DO_NOT_RELEASE:
            asking.ask_first(
                f"{moth.taxon}: do not release, as far as its sheet knows. {law.note} "
                "Enter the release all the same?",
                sure=answers.sure,
                field="fate",
            )
        session.do(
            mothers.let_go,
            moth_id=moth_id,
            fate=fate,
            on=asking.day(answers, "on"),
            where=asking.words(answers, "where"),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )

    wild = moth.night_id is not None
    return EntryForm(
        theme,
        f"{moth.code}: what became of {_her(moth)}",
        (
            ChoiceField(
                "fate",
                "&Fate",
                options=offers.of_terms(MothFate),
                value=MothFate.RELEASED if wild else MothFate.DEAD,
            ),
            DayField("on", "O&n", value=session.on, required=True),
            TextField("where", "Wh&ere", value=_site_of(session, moth)),
            NoteField("note", "N&ote"),
        ),
        keep,
        today=session.on,
        caution=HOME_AGAIN,
        columns=2,
    )


def mated(session: Session, theme: Theme, moth_id: int) -> EntryForm:
    """Return the form for what is believed of a female's mating."""
    moth = session.book.one(MothRow, moth_id)

    def keep(answers: Answers) -> None:
        session.do(
            mothers.set_mated,
            moth_id=moth_id,
            mated=asking.chosen(answers, "mated", Mated),
            note=asking.words(answers, "note"),
        )

    return EntryForm(
        theme,
        f"{moth.code}: mated or not",
        (
            ChoiceField(
                "mated", "Mate&d", options=offers.of_terms(Mated), value=moth.mated
            ),
            NoteField("note", "&Note", hint="What tells it: coupled, eggs fill"),
        ),
        keep,
        today=session.on,
    )


def pairing(session: Session, theme: Theme, dam_id: int | None = None) -> EntryForm:
    """Return the form for a pairing; what isn't known of the father stays so."""
    dams = offers.moths_here(session, Sex.FEMALE)
    if dam_id is not None:
        dams = (session.book.one(MothRow, dam_id),)
    options = offers.moth_options(session, dams)
    return EntryForm(
        theme,
        "Pairing",
        (
            ChoiceField("dam", "Fe&male", options=options, value=offers.first(options)),
            ChoiceField(
                "sire",
                "M&ale",
                options=_mates(session, dams[0] if dams else None),
                value=None,
            ),
            DayField(
                "evening",
                "&Evening",
                value=evening_of(session.now()),
                required=True,
            ),
            asking.clock_field("coupled", "&Coupled at"),
            asking.clock_field("parted", "&Parted at", hint="Often the next afternoon"),
            TextField("where", "&Where", hint="Cage, tying out, a tree"),
            NoteField("note", "&Note"),
        ),
        partial(_keep_pairing, session),
        today=session.on,
        caution="" if dams else NO_FEMALE,
        columns=2,
    )


def _mates(session: Session, dam: MothRow | None) -> offers.Options:
    here = offers.moths_here(session, Sex.MALE)
    same = sorted(here, key=lambda moth: dam is not None and moth.taxon != dam.taxon)
    known = (
        (mothers.Mate(Sire.KNOWN, moth.id), offers.moth_words(session, moth))
        for moth in same
    )
    vague = (Sire.WILD_UNKNOWN, Sire.ONE_OF_SEVERAL, Sire.UNKNOWN)
    return (*known, *((mothers.Mate(kind), f"♂ {kind}") for kind in vague))


def _keep_pairing(session: Session, answers: Answers) -> None:
    evening, zone = asking.day(answers, "evening"), session.home.zone
    coupled = asking.night_time(answers, "coupled", evening, zone)
    parted = asking.night_time(answers, "parted", evening, zone)
    if coupled and parted and parted < coupled:
        parted += dt.timedelta(days=1)
    session.do(
        mothers.record_pairing,
        dam_id=asking.chosen(answers, "dam", int),
        mate=asking.chosen(answers, "sire", mothers.Mate),
        evening=evening,
        coupling=mothers.Coupling(coupled, parted, asking.words(answers, "where")),
        note=asking.words(answers, "note"),
        sure=answers.sure,
    )


def emergence(session: Session, theme: Theme, brood_id: int | None = None) -> EntryForm:
    """Return the form for an adult that gets a code of its own."""

    def keep(answers: Answers) -> None:
        with asking.renamed({"number": "box"}):
            session.do(
                mothers.record_emergence,
                brood_id=asking.chosen(answers, "brood", int),
                sex=asking.chosen(answers, "sex", Sex),
                on=asking.day(answers, "on"),
                wings=asking.chosen(answers, "wings", Wings),
                box_id=_int_or_none(answers.choice("box")),
                note=asking.words(answers, "note"),
                sure=answers.sure,
            )

    return EmergenceForm(session, theme, brood_id, keep)


class EmergenceForm(EntryForm):
    """The form of an emergence; it offers the tubs of the brood that is chosen."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        brood_id: int | None,
        keep: Callable[[Answers], None],
    ) -> None:
        super().__init__(
            theme,
            "Emergence",
            _emergence_fields(session, brood_id),
            keep,
            today=session.on,
            caution="" if offers.broods(session) else NO_BROOD,
            columns=2,
            first="" if brood_id is None else "sex",
        )
        self._session = session
        brood = self.input("brood")
        if isinstance(brood, ChoiceInput):
            brood.currentIndexChanged.connect(self._brood_chosen)

    def _brood_chosen(self) -> None:
        brood, box = self.input("brood").answer(), self.input("box")
        if isinstance(box, ChoiceInput):
            tubs = _tubs(self._session, _int_or_none(brood))
            box.offer(tubs, tubs[0][0])


def _pupae_first(box: BoxNow) -> tuple[bool, int]:
    return (not box.row.kind.is_for_pupae, -box.standing.number)


def _emergence_fields(session: Session, brood_id: int | None) -> Sequence[Field]:
    broods = offers.broods(session)
    if brood_id is not None:
        code = session.book.one(BroodRow, brood_id).code
        broods = tuple(o for o in broods if o[0] == brood_id) or ((brood_id, code),)
    first = offers.first(broods)
    tubs = _tubs(session, _int_or_none(first))
    return (
        ChoiceField("brood", "&Brood", options=broods, value=first),
        ChoiceField("sex", "Se&x", options=offers.SEXES, value=None),
        DayField("on", "O&n", value=session.on, required=True),
        ChoiceField(
            "wings", "&Wings", options=offers.of_terms(Wings), value=Wings.FRESH
        ),
        ChoiceField(
            "box", "Out o&f", options=tubs, value=tubs[0][0], hint="One fewer there"
        ),
        NoteField("note", "N&ote"),
    )


def _tubs(session: Session, brood_id: int | None) -> offers.Options:
    """Return the boxes of a brood that a moth may come out of, pupae first."""
    none: offers.Options = ((None, "not from a box"),)
    if brood_id is None:
        return none
    whole = holding(session.book, session.on, brood_id=brood_id)
    likely = sorted(whole.boxes, key=_pupae_first)
    return (*((box.row.id, offers.box_words(box, whole)) for box in likely), *none)


def _int_or_none(value: object) -> int | None:
    return value if isinstance(value, int) else None


def _her(moth: MothRow) -> str:
    return "him" if moth.sex is Sex.MALE else "her"


def _site_of(session: Session, moth: MothRow) -> str:
    if moth.night_id is None:
        return ""
    night = session.book.one(LampNightRow, moth.night_id)
    return session.book.one(SiteRow, night.site_id).name

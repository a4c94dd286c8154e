"""Keeping a female: her species' cautions and law flag appear as she is named."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QComboBox, QFormLayout, QWidget

from rearing.desk.entries import asking, offers
from rearing.desk.entries.lamp_forms import NO_NIGHT
from rearing.desk.widgets.fields import (
    Answers,
    ChoiceField,
    NoteField,
    SearchField,
    TextField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import mothers
from rearing.keeping.lamp_kept import next_wild_code
from rearing.keeping.moments import zone_of
from rearing.records import tables as t
from rearing.records.rows import (
    ArrivalRow,
    CheckRow,
    LampNightRow,
    MothRow,
    SiteRow,
)
from rearing.terms import LawFlag, Mated, Sex, Wings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Field
    from rearing.sheets.sheet import SpeciesSheet


class FemaleForm(EntryForm):
    """The form of a kept female; it speaks of a species as soon as it is named."""

    def __init__(
        self, session: Session, theme: Theme, ask: Sequence[Field], lead: str
    ) -> None:
        super().__init__(
            theme,
            "Keep a female",
            ask,
            partial(_keep, session),
            today=session.on,
            verb="keep her",
            columns=2,
        )
        self._session = session
        self._lead = lead
        taxon = self.input("taxon")
        if isinstance(taxon, QComboBox):
            taxon.currentTextChanged.connect(self._named)
        self._named(str(taxon.answer() or ""))

    def _named(self, taxon: str) -> None:
        # None stands for a species without a sheet: nobody told of its law
        sheet = self._session.shelf.get(taxon.strip())
        words = asking.join(self._lead, warnings(sheet) if sheet else "")
        self._caution.setText(words)
        self._caution.setVisible(bool(words))
        flag = sheet.law.flag if sheet else None
        asks = flag in {LawFlag.DO_NOT_KEEP, LawFlag.PERMIT}
        _show_row(self, self.input("permit"), shown=asks)


def female(session: Session, theme: Theme, night_id: int | None = None) -> EntryForm:
    """Return the form for keeping a female of a night."""
    rows = offers.last_nights(session)
    night = next((row for row in rows if night_id in {None, row.id}), None)
    return FemaleForm(
        session, theme, _fields(session, night), "" if night else NO_NIGHT
    )


def warnings(sheet: SpeciesSheet) -> str:
    """Return a species' law flag and cautions, as they are said when it is kept."""
    law = sheet.law
    flag = f"Law: {law.flag}." if law.flag not in {None, LawFlag.FREE} else ""
    told = [caution.text for caution in sheet.cautions]
    if flag or law.note:
        told[:0] = [flag, law.note, "The local authority decides."]
    if sheet.cautions:
        told.append("Follow local rules; ask a qualified person.")
    return asking.join(*told)


def _fields(session: Session, night: LampNightRow | None) -> Sequence[Field]:
    moths = session.book.all(MothRow)
    year = night.evening.year if night else session.on.year
    code = next_wild_code(session.book, year)
    bags = dict.fromkeys(moth.container for moth in reversed(moths) if moth.container)
    return (
        SearchField(
            "taxon",
            "&Species",
            options=offers.taxa(session),
            value=_last_female(session, night),
            free=True,
            required=True,
            hint="Any part of the name",
        ),
        ChoiceField(
            "night",
            "N&ight of",
            options=offers.nights(session),
            value=night.id if night else None,
        ),
        TextField(
            "code",
            "&Code",
            hint="Left empty it is the next",
            letters=14,
            ghost=code,
        ),
        TextField("permit", "&Permit number", hint="Of the authority that gave it"),
        asking.clock_field("kept_at", "Kept &at", _now_text(session, night)),
        ChoiceField(
            "mated", "Mate&d", options=offers.of_terms(Mated), value=Mated.UNKNOWN
        ),
        ChoiceField(
            "wings", "&Wings", options=offers.of_terms(Wings), value=Wings.NOT_NOTED
        ),
        SearchField(
            "container",
            "&Kept in",
            options=tuple((bag, bag) for bag in bags),
            value=next(iter(bags), None),
            free=True,
            hint="Paper bag, box, net cage",
        ),
        NoteField("note", "&Note"),
    )


def _keep(session: Session, answers: Answers) -> None:
    book = session.book
    night = book.one(LampNightRow, asking.chosen(answers, "night", int))
    zone = zone_of(book.one(SiteRow, night.site_id).zone)
    taxon = answers.text("taxon").strip()
    sheet = session.shelf.get(taxon)
    session.do(
        mothers.keep_female,
        night_id=night.id,
        taxon=taxon,
        arrival_id=_line_of(session, night.id, taxon),
        kept_at=asking.night_time(answers, "kept_at", night.evening, zone),
        condition=mothers.Condition(
            wings=asking.chosen(answers, "wings", Wings),
            mated=asking.chosen(answers, "mated", Mated),
            container=asking.words(answers, "container"),
            note=asking.words(answers, "note"),
        ),
        code=asking.words(answers, "code"),
        law=(sheet.law.flag if sheet else None) or LawFlag.FREE,
        permit=asking.words(answers, "permit"),
        sure=answers.sure,
    )


def _females(session: Session, night_id: int) -> list[ArrivalRow]:
    """Return the night's lines of females of which not all were kept yet."""
    book = session.book
    checks = [check.id for check in book.all(CheckRow, t.Check.night_id == night_id)]
    lines = book.all(
        ArrivalRow, t.Arrival.check_id.in_(checks), t.Arrival.sex == Sex.FEMALE
    )
    kept = [moth.arrival_id for moth in book.all(MothRow, t.Moth.night_id == night_id)]
    return [line for line in lines if kept.count(line.id) < line.number]


def _line_of(session: Session, night_id: int, taxon: str) -> int | None:
    """Return the line of the night that counted her, so that calls follow her."""
    same = [
        line
        for line in _females(session, night_id)
        if line.taxon.casefold() == taxon.casefold()
    ]
    return same[-1].id if same else None


def _last_female(session: Session, night: LampNightRow | None) -> str | None:
    lines = _females(session, night.id) if night else []
    return lines[-1].taxon if lines else None


def _now_text(session: Session, night: LampNightRow | None) -> str:
    if night is None:
        return ""
    zone = zone_of(session.book.one(SiteRow, night.site_id).zone)
    return asking.lit_now(session, night, zone)


def _show_row(form: QWidget, field: QWidget, *, shown: bool) -> None:
    """Show or hide a field with its label."""
    holder = field.parentWidget()
    for column in form.findChildren(QFormLayout):
        if holder is not None and column.indexOf(holder) >= 0:
            column.setRowVisible(holder, shown)

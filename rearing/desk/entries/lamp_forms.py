"""Forms of the night book: sites, nights, checks, arrivals, a dark lamp."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import (
    AmountField,
    Answers,
    ChoiceField,
    CountField,
    DayField,
    NoteField,
    SearchField,
    TextField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import lamp
from rearing.keeping.moments import evening_of, zone_of
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import CheckRow, LampNightRow, SiteRow
from rearing.terms import CountingMode, Known, Sex

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Field

NO_SITE = "First add the site where the lamp stands: menu Entry, Site."
NO_NIGHT = "First enter the lamp night: menu Entry, Lamp night."
LAMP_CAUTION = (
    "Lamps give ultraviolet light and get hot; mains outdoors and rain don't go "
    "together. Follow local rules; ask a qualified person."
)


def night(session: Session, theme: Theme) -> EntryForm:
    """Return the form for a lamp night, dated by the evening it was lit."""
    return EntryForm(
        theme,
        "Lamp night",
        _night_fields(session),
        partial(_keep_night, session),
        today=session.on,
        caution=LAMP_CAUTION if offers.sites(session) else NO_SITE,
        columns=2,
    )


def _night_fields(session: Session) -> Sequence[Field]:
    rows = offers.last_nights(session)
    last = rows[0] if rows else None
    sites = offers.sites(session)
    lamps = tuple(dict.fromkeys(row.lamp for row in rows))
    return (
        DayField(
            "evening",
            "&Evening",
            value=evening_of(session.now()),
            hint="The evening it was lit; after midnight is still that night",
            required=True,
        ),
        ChoiceField(
            "site",
            "&Site",
            options=sites,
            value=last.site_id if last else offers.first(sites),
        ),
        TextField(
            "station",
            "S&tation",
            hint="Where a second lamp stands there",
            ghost="only if there are two lamps",
        ),
        SearchField(
            "lamp",
            "&Lamp",
            options=tuple((name, name) for name in lamps),
            value=last.lamp if last else None,
            free=True,
            required=True,
            hint="Such as 125 W MV, or 15 W actinic",
        ),
        asking.clock_field("on", "L&it at"),
        asking.clock_field("off", "&Out at"),
        ChoiceField(
            "mode",
            "&Counting",
            options=offers.of_terms(CountingMode),
            value=last.mode if last else CountingMode.NEW,
        ),
        AmountField("start_c", "Te&mperature, start", unit="°C"),
        AmountField("end_c", "Temperature, en&d", unit="°C"),
        TextField("weather", "&Weather", hint="Cloud, wind, rain, moon"),
        NoteField("note", "&Note"),
    )


def _keep_night(session: Session, answers: Answers) -> None:
    site_id = asking.chosen(answers, "site", int)
    evening = asking.day(answers, "evening")
    zone = zone_of(session.book.one(SiteRow, site_id).zone)
    session.do(
        lamp.record_night,
        site_id=site_id,
        evening=evening,
        lamp=answers.text("lamp"),
        station=answers.text("station"),
        times=lamp.LampTimes(
            asking.night_time(answers, "on", evening, zone),
            asking.night_time(answers, "off", evening, zone),
        ),
        mode=asking.chosen(answers, "mode", CountingMode),
        weather=lamp.Weather(
            answers.amount("start_c"),
            answers.amount("end_c"),
            asking.words(answers, "weather"),
        ),
        note=asking.words(answers, "note"),
        sure=answers.sure,
    )


def check(session: Session, theme: Theme, night_id: int | None = None) -> EntryForm:
    """Return the form for one look at the sheet."""
    chosen = _night(session, night_id)

    def keep(answers: Answers) -> None:
        row = session.book.one(LampNightRow, asking.chosen(answers, "night", int))
        at = asking.night_time(answers, "at", row.evening, _zone(session, row))
        session.do(
            lamp.record_check,
            night_id=row.id,
            at=at,
            known=asking.chosen(answers, "known", Known),
            temperature_c=answers.amount("temperature_c"),
            note=asking.words(answers, "note"),
        )

    return EntryForm(
        theme,
        "Check at the lamp",
        (
            asking.clock_field("at", "&At", _now_text(session, chosen)),
            ChoiceField(
                "known",
                "How &known",
                options=offers.of_terms(Known),
                value=Known.SEEN,
            ),
            AmountField("temperature_c", "Te&mperature", unit="°C"),
            _night_field(session, chosen),
            NoteField("note", "&Note"),
        ),
        keep,
        today=session.on,
        caution="" if chosen else NO_NIGHT,
        columns=2,
    )


def arrival(session: Session, theme: Theme, night_id: int | None = None) -> EntryForm:
    """Return the form for moths at the sheet; it stays for the next kind."""
    first = _night(session, night_id)
    held = {"night": first.id if first else None}

    def ask() -> Sequence[Field]:
        return _arrival_fields(session, _night(session, held["night"]))

    def keep(answers: Answers) -> None:
        row = session.book.one(LampNightRow, asking.chosen(answers, "night", int))
        held["night"] = row.id
        session.do(
            lamp.count_at_sheet,
            night_id=row.id,
            at=asking.night_time(answers, "at", row.evening, _zone(session, row)),
            taxon=answers.text("taxon"),
            sex=asking.chosen(answers, "sex", Sex),
            number=asking.number(answers, "number"),
            quality=answers.quality("number"),
            note=asking.words(answers, "note"),
        )

    return asking.FreshForm(
        theme,
        "Moths at the lamp",
        ask,
        keep,
        today=session.on,
        verb="enter it, next kind",
        caution="" if first else NO_NIGHT,
        columns=2,
    )


def _arrival_fields(session: Session, chosen: LampNightRow | None) -> Sequence[Field]:
    return (
        SearchField(
            "taxon",
            "&Species",
            options=offers.taxa(session),
            free=True,
            required=True,
            hint="Any part of the name; “not known” is a record too",
        ),
        ChoiceField("sex", "Se&x", options=offers.SEXES, value=Sex.NOT_LOOKED),
        CountField("number", "Nu&mber", value=1, ask_quality=True),
        asking.clock_field(
            "at",
            "&At",
            _last_check_text(session, chosen),
            hint="The check they were counted at; another time opens a new check",
        ),
        _night_field(session, chosen),
        TextField("note", "&Note"),
    )


def outage(session: Session, theme: Theme, night_id: int | None = None) -> EntryForm:
    """Return the form for a time in which the lamp was dark."""
    chosen = _night(session, night_id)

    def keep(answers: Answers) -> None:
        row = session.book.one(LampNightRow, asking.chosen(answers, "night", int))
        zone = _zone(session, row)
        from_at = asking.night_time(answers, "from_at", row.evening, zone)
        to_at = asking.night_time(answers, "to_at", row.evening, zone)
        if from_at is None or to_at is None:
            raise Refusal(
                asking.NEEDED, field="from_at" if from_at is None else "to_at"
            )
        session.do(
            lamp.record_outage,
            night_id=row.id,
            from_at=from_at,
            to_at=to_at,
            why=asking.words(answers, "why"),
        )

    return EntryForm(
        theme,
        "The lamp was dark",
        (
            asking.clock_field("from_at", "&From"),
            asking.clock_field("to_at", "&To"),
            TextField("why", "Wh&y", hint="Bulb, fuse, rain"),
            _night_field(session, chosen),
        ),
        keep,
        today=session.on,
        caution="" if chosen else NO_NIGHT,
    )


def _night(session: Session, night_id: int | None) -> LampNightRow | None:
    if night_id is not None:
        return session.book.one(LampNightRow, night_id)
    rows = offers.last_nights(session)
    return rows[0] if rows else None


def _night_field(session: Session, chosen: LampNightRow | None) -> ChoiceField:
    return ChoiceField(
        "night",
        "N&ight of",
        options=offers.nights(session),
        value=chosen.id if chosen else None,
    )


def _zone(session: Session, row: LampNightRow) -> dt.tzinfo:
    return zone_of(session.book.one(SiteRow, row.site_id).zone)


def _now_text(session: Session, chosen: LampNightRow | None) -> str:
    if chosen is None:
        return ""
    return asking.lit_now(session, chosen, _zone(session, chosen))


def _last_check_text(session: Session, chosen: LampNightRow | None) -> str:
    if chosen is None:
        return ""
    checks = session.book.all(CheckRow, t.Check.night_id == chosen.id)
    if not checks:
        return _now_text(session, chosen)
    return asking.time_text(checks[-1].at, _zone(session, chosen))

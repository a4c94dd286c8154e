"""Forms of what stands still: the home, sites and places."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QTimeZone

from rearing.desk.entries import asking
from rearing.desk.widgets.fields import (
    AmountField,
    Answers,
    CountField,
    NoteField,
    TextField,
    YesNoField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import facts, lamp, places
from rearing.problems import Refusal
from rearing.records.rows import PlaceRow

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Field

ZONE_HINT = "Like Europe/Ljubljana"


def _own_zone() -> str:
    """Return the zone this computer is set to, for a book that has none yet."""
    return bytes(QTimeZone.systemTimeZoneId().data()).decode()


def home(session: Session, theme: Theme) -> EntryForm:
    """Return the form for the home's name, its time zone and the keeper."""
    told = session.home

    def keep(answers: Answers) -> None:
        with asking.renamed({"zone": "zone_name"}):
            session.do(
                facts.set_home,
                name=answers.text("name").strip(),
                zone_name=answers.text("zone_name").strip(),
                keeper=answers.text("keeper").strip(),
                as_on=told.as_on,
            )

    return EntryForm(
        theme,
        "The home",
        (
            TextField("name", "&Name", value=told.name, required=True),
            TextField(
                "zone_name",
                "Time &zone",
                value=told.zone_name if told.name else _own_zone(),
                hint=ZONE_HINT,
                required=True,
            ),
            TextField("keeper", "&Keeper", value=told.keeper, hint="Who writes"),
        ),
        keep,
        today=session.on,
    )


def site(session: Session, theme: Theme) -> EntryForm:
    """Return the form for a site where a lamp stands."""

    def keep(answers: Answers) -> None:
        session.do(
            lamp.add_site,
            name=answers.text("name").strip(),
            latitude=_degrees(answers, "latitude"),
            longitude=_degrees(answers, "longitude"),
            zone=answers.text("zone").strip(),
            elevation_m=answers.amount("elevation_m"),
            note=asking.words(answers, "note"),
        )

    return EntryForm(
        theme,
        "Site",
        (
            TextField("name", "&Name", required=True),
            AmountField("latitude", "&Latitude", unit="°", hint="North is plus: 45.52"),
            AmountField(
                "longitude", "L&ongitude", unit="°", hint="East is plus: 13.91"
            ),
            AmountField("elevation_m", "&Height", unit="m"),
            TextField(
                "zone",
                "Time &zone",
                value=session.home.zone_name,
                hint=ZONE_HINT,
                required=True,
            ),
            NoteField("note", "No&te"),
        ),
        keep,
        today=session.on,
        columns=2,
    )


def _degrees(answers: Answers, key: str) -> float:
    degrees = answers.amount(key)
    if degrees is None:
        raise Refusal(asking.NEEDED, field=key)
    return degrees


def place(session: Session, theme: Theme) -> EntryForm:
    """Return the form for a place where stock stands."""
    last = max((row.walking_order for row in places.places(session.book)), default=0)

    def keep(answers: Answers) -> None:
        session.do(
            places.add_place,
            name=answers.text("name").strip(),
            walking_order=answers.count("walking_order"),
            set_point_c=answers.amount("set_point_c"),
            spread_c=answers.amount("spread_c"),
            outdoors=answers.yes("outdoors"),
            leaf_life_days=answers.amount("leaf_life_days"),
            note=asking.words(answers, "note"),
        )

    return EntryForm(
        theme,
        "Place",
        _place_fields(None, last + 1),
        keep,
        today=session.on,
        columns=2,
    )


def change_place(session: Session, theme: Theme, place_id: int) -> EntryForm:
    """Return the form that changes a place's name, order, warmth or leaf life."""
    row = session.book.one(PlaceRow, place_id)
    return EntryForm(
        theme,
        f"Place {row.name}",
        _place_fields(row, row.walking_order),
        partial(_keep_change, session, row),
        today=session.on,
        verb="change it",
        columns=2,
    )


def _keep_change(session: Session, row: PlaceRow, answers: Answers) -> None:
    order = answers.count("walking_order")
    session.do(
        places.change_place,
        place_id=row.id,
        name=answers.text("name").strip(),
        walking_order=row.walking_order if order is None else order,
        set_point_c=answers.amount("set_point_c"),
        spread_c=answers.amount("spread_c"),
        outdoors=answers.yes("outdoors"),
        leaf_life_days=answers.amount("leaf_life_days"),
        note=asking.words(answers, "note"),
    )


def _place_fields(row: PlaceRow | None, order: int) -> Sequence[Field]:
    return (
        TextField(
            "name",
            "&Name",
            value=row.name if row else "",
            hint="A shelf, room, fridge, shed or tree",
            required=True,
        ),
        CountField(
            "walking_order", "&Order in the round", value=order, hint="1 comes first"
        ),
        AmountField(
            "set_point_c",
            "&Set point",
            value=row.set_point_c if row else None,
            unit="°C",
            hint="What it is kept at, where nothing is logged",
        ),
        AmountField(
            "spread_c",
            "Give or ta&ke",
            value=row.spread_c if row else None,
            unit="°C",
        ),
        YesNoField("outdoors", "O&utdoors", value=bool(row and row.outdoors)),
        AmountField(
            "leaf_life_days",
            "&Leaf lasts here",
            value=row.leaf_life_days if row else None,
            unit="days",
            hint="Empty: as the usual table says",
        ),
        NoteField("note", "No&te", value=(row.note or "") if row else ""),
    )

"""What a form offers to choose from: what stands, lives and is known on the day."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.keeping.broods import brood_lines
from rearing.keeping.descent import moth_call
from rearing.keeping.holding import BoxNow, Holding, PotNow, holding
from rearing.keeping.larder import cuts_now
from rearing.keeping.moments import counted, day_words, short_day
from rearing.keeping.places import places
from rearing.keeping.round import end_of, place_on
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import (
    ArrivalRow,
    BoxRow,
    BoxVisitRow,
    BroodRow,
    EggPotRow,
    LampNightRow,
    MothRow,
    SiteRow,
    StayRow,
    TreeRow,
)
from rearing.terms import BoxKind, Cause, Quality, Sex, Stage, Visit

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable
    from enum import StrEnum

    from rearing.desk.session import Session
    from rearing.sheets.sheet import SpeciesSheet

Options = tuple[tuple[object, str], ...]

SEXES: Options = tuple((sex, f"{sex.sign} {sex}") for sex in Sex)
GIVEN_VISITS = (Visit.FED, Visit.FED_AND_CLEANED)


def of_terms(terms: Iterable[StrEnum]) -> Options:
    """Return the trade's words as options."""
    return tuple((term, str(term)) for term in terms)


def first(options: Options) -> object:
    """Return the value of the first option, None without any."""
    return options[0][0] if options else None


# species and leaf


def taxa(session: Session) -> Options:
    """Return every species with a sheet, and those the book names besides."""
    book = session.book
    kept = {row.taxon for row in book.all(MothRow)}
    seen = {row.taxon for row in book.all(ArrivalRow)}
    names = sorted({*session.shelf.names, *kept, *seen})
    return tuple((name, name) for name in names)


def hosts(session: Session, sheet: SpeciesSheet | None = None) -> Options:
    """Return food plants: the species' own, best first, then those used here."""
    own = [host.name for host in sheet.hosts] if sheet else []
    book = session.book
    used = {row.host for row in book.all(BoxRow) if row.host}
    used |= {row.host for row in book.all(TreeRow)}
    names = dict.fromkeys([*own, *sorted(used)])
    return tuple((name, name) for name in names)


def trees(session: Session) -> Options:
    """Return the trees, each with its kind and until when it is closed."""
    return tuple(
        (tree.id, _tree_words(tree, session.on)) for tree in session.book.all(TreeRow)
    )


def _tree_words(tree: TreeRow, on: dt.date) -> str:
    until = tree.closed_until
    shut = f", closed until {short_day(until)}" if until and on < until else ""
    return f"{tree.name} · {tree.host}{shut}"


def cuts(session: Session) -> Options:
    """Return the leaf that lies cut, the latest first, each with what is left."""
    return tuple(
        (one.row.id, f"{one.row.host}, {short_day(one.row.on)}, {one.left_words}")
        for one in cuts_now(session.book, session.on)
        if not one.is_gone
    )


# places and sites


def place_options(session: Session, *, but: int | None = None) -> Options:
    """Return the places in walking order."""
    return tuple(
        (place.id, place.name) for place in places(session.book) if place.id != but
    )


def last_place(session: Session, brood_id: int | None = None) -> int | None:
    """Return where something of the brood was put last, else of any, else the first."""
    book = session.book
    stays = book.all(StayRow, order=(t.Stay.id.desc(),))
    if brood_id is not None:
        boxes = {row.id for row in book.all(BoxRow, t.Box.brood_id == brood_id)}
        pots = {row.id for row in book.all(EggPotRow, t.EggPot.brood_id == brood_id)}
        own = [stay for stay in stays if stay.box_id in boxes or stay.pot_id in pots]
        stays = tuple(own) or stays
    if stays:
        return stays[0].place_id
    standing = places(book)
    return standing[0].id if standing else None


def sites(session: Session) -> Options:
    """Return the sites by name."""
    rows = session.book.all(SiteRow, order=(t.Site.name,))
    return tuple((site.id, site.name) for site in rows)


def last_nights(session: Session) -> tuple[LampNightRow, ...]:
    """Return the lamp nights up to the day, latest first."""
    return session.book.all(
        LampNightRow,
        t.LampNight.evening <= session.on,
        order=(t.LampNight.evening.desc(), t.LampNight.id.desc()),
    )


def nights(session: Session) -> Options:
    """Return the lamp nights, latest first, each with its site and station."""
    names = dict(sites(session))
    return tuple(
        (night.id, night_words(night, str(names[night.site_id])))
        for night in last_nights(session)
    )


def night_words(night: LampNightRow, site: str) -> str:
    """Return a night as Fri 28 May 2021, Terrace."""
    station = f" {night.station}" if night.station else ""
    return f"{day_words(night.evening, year=True)}, {site}{station}"


# what lives


def held(session: Session, brood_id: int | None = None) -> Holding:
    """Return what is alive on the day."""
    return holding(session.book, session.on, brood_id=brood_id)


def box_now(session: Session, box_id: int) -> tuple[BoxNow, Holding]:
    """Return one box as on the day, and what its brood holds."""
    row = session.book.one(BoxRow, box_id)
    whole = holding(session.book, session.on, brood_id=row.brood_id, all_ever=True)
    for box in whole.boxes:
        if box.row.id == box_id:
            return box, whole
    raise Refusal("That box is not in the book on this day yet.")


def pot_now(session: Session, pot_id: int) -> tuple[PotNow, Holding]:
    """Return one egg pot as on the day, and what its brood holds."""
    row = session.book.one(EggPotRow, pot_id)
    whole = holding(session.book, session.on, brood_id=row.brood_id, all_ever=True)
    for pot in whole.pots:
        if pot.row.id == pot_id:
            return pot, whole
    raise Refusal("That pot is not in the book on this day yet.")


def where(thing: BoxNow | PotNow, whole: Holding) -> str:
    """Return the name of the place something stands at."""
    place = whole.places.get(where_id(thing, whole) or 0)
    return place.name if place else "no place"


def where_id(thing: BoxNow | PotNow, whole: Holding) -> int | None:
    """Return the place something stands at at the end of the day."""
    return place_on(thing.stays, end_of(whole.on, whole.home.zone))


def box_words(box: BoxNow, whole: Holding) -> str:
    """Return a box as B21-04 A · hall shelf · 16."""
    return f"{box.code} · {where(box, whole)} · {box.standing.number}"


def pot_words(pot: PotNow, whole: Holding) -> str:
    """Return a pot as B21-04 pot 1 · hall shelf · 41 eggs."""
    waits = counted(pot.waiting, "egg")
    if pot.unhoused > 0:
        waits += f", {pot.unhoused} hatched"
    return f"{pot.code} · {where(pot, whole)} · {waits}"


def boxes(
    whole: Holding, *, first: int | None = None, but: int | None = None
) -> Options:
    """Return the open boxes, those of one brood first."""
    order = sorted(whole.boxes, key=lambda box: (box.brood.id != first, box.code))
    return tuple(
        (box.row.id, box_words(box, whole)) for box in order if box.row.id != but
    )


def pots(whole: Holding) -> Options:
    """Return the pots that stand, by code."""
    order = sorted(whole.pots, key=lambda pot: pot.code)
    return tuple((pot.row.id, pot_words(pot, whole)) for pot in order)


def broods(session: Session) -> Options:
    """Return the broods by code, open ones first."""
    lines = brood_lines(session.book, session.shelf, session.on)
    return tuple((line.id, f"{line.code} · {line.short}") for line in lines)


def sheet_of(session: Session, brood: BroodRow, whole: Holding) -> SpeciesSheet:
    """Return the sheet of what a brood is called now."""
    return session.shelf.sheet_for(whole.taxon(brood))


def last_stage(box: BoxNow) -> Stage | None:
    """Return the stage that most stood in at the last look; L1 fresh from the egg."""
    look = box.last_look
    if look is None or not look.numbers:
        told = [move.stage for move in box.moves_in if move.stage is not None]
        fresh = any(move.from_pot_id is not None for move in box.moves_in)
        return told[-1] if told else (Stage.L1 if fresh else None)
    return max(look.numbers, key=lambda stage: look.numbers[stage])


def stages(sheet: SpeciesSheet) -> Options:
    """Return the stages a box of the species may hold."""
    asked = (*sheet.larval_stages, Stage.WANDERING, Stage.PUPA, Stage.ADULT)
    return ((None, "not noted"), *of_terms(asked))


def last_host(session: Session, box: BoxNow) -> str | None:
    """Return what a box was given last, else the host it was opened with."""
    fed = session.book.all(
        BoxVisitRow,
        t.BoxVisit.box_id == box.row.id,
        t.BoxVisit.on <= session.on,
        t.BoxVisit.what.in_(GIVEN_VISITS),
        t.BoxVisit.host.is_not(None),
        order=(t.BoxVisit.on.desc(), t.BoxVisit.id.desc()),
    )
    return fed[0].host if fed else box.row.host


# moths


def moths_here(session: Session, sex: Sex) -> tuple[MothRow, ...]:
    """Return the moths of a sex that are here on the day, latest first."""
    on = session.on
    return session.book.all(
        MothRow,
        t.Moth.sex == sex,
        t.Moth.since <= on,
        t.Moth.fate.is_(None) | (t.Moth.fate_on > on),
        order=(t.Moth.since.desc(), t.Moth.id.desc()),
    )


def moth_words(session: Session, moth: MothRow) -> str:
    """Return a moth as W21-05 · ♀ Saturnia pyri."""
    taxon, sign = moth_call(session.book, moth, session.on)
    return f"{moth.code} · {sign} {taxon}"


def moth_options(session: Session, rows: Iterable[MothRow]) -> Options:
    """Return moths as options."""
    return tuple((moth.id, moth_words(session, moth)) for moth in rows)


BOX_KINDS = of_terms(BoxKind)
QUALITIES = of_terms(Quality)
CAUSES = of_terms(Cause)

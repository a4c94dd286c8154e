"""Everything that can be gone to by name: codes, species, places, trees, nights."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.keeping.holding import holding
from rearing.keeping.moments import day_words, short_day
from rearing.records import tables as t
from rearing.records.rows import LampNightRow, MothRow, SiteRow, TreeRow

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Iterator

    from rearing.keeping.holding import Holding
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf


@dataclass(frozen=True, slots=True)
class Findable:
    """One thing with a name; `kind` and `id` are where it is shown, if anywhere."""

    kind: str
    id: int
    name: str
    what: str
    words: str
    rank: int = 0

    @property
    def target(self) -> tuple[str, int]:
        """What a followed link carries."""
        return self.kind, self.id


def findables(book: Book, shelf: SheetShelf, on: dt.date) -> tuple[Findable, ...]:
    """Return what there is on a day, open things before closed ones."""
    held = holding(book, on, all_ever=True)
    found = [
        *_broods(held, shelf),
        *_boxes(held, on),
        *_pots(held, on),
        *_moths(book, on),
        *(
            Findable("place", row.id, row.name, "place", row.note or "", 1)
            for row in held.places.values()
        ),
        *_trees(book, on),
        *_nights(book, on),
    ]
    return tuple(sorted(found, key=lambda one: (one.rank, one.name)))


def matching(
    known: Iterable[Findable], typed: str, *, most: int = 9
) -> tuple[Findable, ...]:
    """Return those of which every typed word is a part, the nearest names first."""
    parts = typed.casefold().split()
    if not parts:
        return ()
    near = [
        (_nearness(one.name.casefold(), typed.casefold().strip()), one)
        for one in known
        if all(part in _all_words(one) for part in parts)
    ]
    # sorted is stable: within a nearness the order of `findables` stands
    return tuple(one for _, one in sorted(near, key=lambda pair: pair[0])[:most])


def _all_words(one: Findable) -> str:
    return f"{one.name} {one.what} {one.words}".casefold()


def _nearness(name: str, typed: str) -> int:
    if name == typed:
        return 0
    if name.startswith(typed):
        return 1
    return 2 if typed in name else 3


def _broods(held: Holding, shelf: SheetShelf) -> Iterator[Findable]:
    for brood in held.broods.values():
        taxon = held.taxon(brood)
        english = shelf.sheet_for(taxon).english
        words = f"{taxon}, {english}" if english else taxon
        yield Findable("brood", brood.id, brood.code, "brood", words)


def _boxes(held: Holding, on: dt.date) -> Iterator[Findable]:
    for box in held.boxes:
        closed = box.row.closed_on
        gone = closed is not None and closed <= on
        place = held.places.get(box.stays[-1].place_id) if box.stays else None
        where = "closed" if gone else (place.name if place else "")
        words = ", ".join(w for w in (held.taxon(box.brood), where) if w)
        yield Findable(
            "box", box.row.id, box.code, str(box.row.kind), words, 5 if gone else 2
        )


def _pots(held: Holding, on: dt.date) -> Iterator[Findable]:
    for pot in held.pots:
        closed = pot.row.closed_on
        gone = closed is not None and closed <= on
        words = f"{held.taxon(pot.brood)}, {pot.eggs} eggs"
        yield Findable("egg_pot", pot.row.id, pot.code, "pot", words, 5 if gone else 3)


def _moths(book: Book, on: dt.date) -> Iterator[Findable]:
    for moth in book.all(MothRow, t.Moth.since <= on):
        words = f"{moth.taxon}, since {short_day(moth.since)}"
        yield Findable("moth", moth.id, moth.code, moth.sex.sign, words, 2)


def _nights(book: Book, on: dt.date) -> Iterator[Findable]:
    sites = {site.id: site.name for site in book.all(SiteRow)}
    for night in book.all(LampNightRow, t.LampNight.evening <= on):
        name = day_words(night.evening, year=True)
        words = f"{sites.get(night.site_id, '')}, {night.lamp}, {night.evening}"
        yield Findable("lamp_night", night.id, name, "night", words, 4)


def _trees(book: Book, on: dt.date) -> Iterator[Findable]:
    for tree in book.all(TreeRow):
        closed = tree.closed_until is not None and tree.closed_until > on
        words = ", ".join(
            word
            for word in (
                tree.host,
                tree.where,
                f"closed until {short_day(tree.closed_until)}"
                if closed and tree.closed_until
                else "",
                tree.closed_why if closed else "",
            )
            if word
        )
        yield Findable("tree", tree.id, tree.name, "tree", words, 1)

"""A brood of the season with two photos: one of its box, one of its own."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from rearing.desk.pages.broods_page import BroodsPage
from rearing.keeping.photos import add_photo
from tests.records.drawn_pictures import picture

if TYPE_CHECKING:
    from tests.desk.karst_pages import Karst


def put(karst: Karst, subject: str, row_id: int, day: int, caption: str = "") -> None:
    add_photo(
        karst.book,
        karst.session.entry(),
        subject=subject,
        subject_id=row_id,
        source=picture((400 + day, 300), "forestgreen"),
        on=dt.date(2021, 6, day),
        caption=caption,
    )


def with_photos(karst: Karst) -> BroodsPage:
    """Return the brood's page with its two photos."""
    put(karst, "box", karst.season.box_a, 20, "horns lost")
    put(karst, "brood", karst.season.tau_brood, 24)
    page = karst.open(BroodsPage)
    page.open(karst.season.tau_brood)
    return page

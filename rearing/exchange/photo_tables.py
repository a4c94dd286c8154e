"""The photos of a page as a table: when, of what, and which file it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.exchange.tables import Table, table

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from rearing.keeping.photos import Photo


def photos_table(name: str, photos: Iterable[Photo], zone: dt.tzinfo) -> Table:
    """Return a page's photos; the moment is the camera's, in the home's zone.

    A day that no camera wrote is known about only.

    The file is named as it lies in the book's folder of pictures.
    """
    return table(
        f"Photos of {name}",
        (
            *("day", "known", "moment", "where", "caption"),
            *("width [px]", "height [px]", "file"),
        ),
        (
            (
                photo.on,
                "about" if photo.is_about else "by the camera",
                photo.at and photo.at.astimezone(zone),
                photo.where,
                photo.caption,
                photo.width,
                photo.height,
                photo.named.path,
            )
            for photo in photos
        ),
    )

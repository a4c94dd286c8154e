"""Pictures for the tests, drawn by Pillow; every one of them is computed."""

from __future__ import annotations

import io

from PIL import Image

TAKEN, TAKEN_OFFSET, EXIF, GPS, TURN = 0x9003, 0x9011, 0x8769, 0x8825, 0x0112


def picture(
    size: tuple[int, int] = (60, 40), shade: str = "green", kind: str = "JPEG"
) -> bytes:
    """Return the file of a picture of one colour."""
    into = io.BytesIO()
    Image.new("RGB", size, shade).save(into, kind)
    return into.getvalue()


def camera_picture(
    taken: str = "",
    *,
    offset: str = "",
    turn: int = 1,
    size: tuple[int, int] = (60, 40),
    kind: str = "JPEG",
    gps: bool = False,
) -> bytes:
    """Return a picture, left half red and right half blue, as a camera writes it."""
    image = Image.new("RGB", size, "blue")
    image.paste("red", (0, 0, size[0] // 2, size[1]))
    exif = Image.Exif()
    exif[TURN] = turn
    own = exif.get_ifd(EXIF)
    if taken:
        own[TAKEN] = taken
    if offset:
        own[TAKEN_OFFSET] = offset
    if gps:
        exif.get_ifd(GPS).update({1: "N", 2: (45.0, 39.0, 0.0)})
    into = io.BytesIO()
    image.save(into, kind, exif=exif.tobytes())
    return into.getvalue()

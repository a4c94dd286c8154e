"""Understanding a picture file: its size, its turn, the day a camera wrote in it.

Where the camera stood is written in many pictures too. It is not read: where a
protected species lives is nobody else's business. The file itself is kept as it came.
"""

from __future__ import annotations

import datetime as dt
import io
import re
import warnings
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.problems import UnreadableFile

if TYPE_CHECKING:
    from collections.abc import Iterator

    from PIL.Image import Image

LARGEST_BYTES = 200_000_000
_SUFFIXES = {
    "JPEG": ".jpg",
    "MPO": ".jpg",
    "PNG": ".png",
    "TIFF": ".tif",
    "WEBP": ".webp",
    "AVIF": ".avif",
    "HEIF": ".heic",
}
"""By the kind of picture, not by the name the file happened to have.

Only these are tried: other kinds would have programs of others run on the file.
"""
_EXIF, _TAKEN, _TAKEN_OFFSET = 0x8769, 0x9003, 0x9011
_CLOCK = re.compile(r"(\d{4})[:-](\d{2})[:-](\d{2})[ T](\d{2}):(\d{2}):(\d{2})")
_OFFSET = re.compile(r"([+-])(\d{2}):(\d{2})")


@dataclass(frozen=True, slots=True)
class Seen:
    """What a picture file says of itself.

    Width and height are those of the picture as it is looked at, turned upright.
    `taken` is what the camera's clock showed: aware where it wrote its zone, naive
    where it did not, None where it wrote nothing.
    """

    suffix: str
    width: int
    height: int
    taken: dt.datetime | None


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture made small enough to be shown: rows of red, green and blue bytes."""

    width: int
    height: int
    rgb: bytes


def see(data: bytes, name: str) -> Seen:
    """Return what a picture says of itself, after reading the whole of it.

    Raises UnreadableFile for what is no picture, is cut off, or unpacks to more than
    the machine should be asked to hold.
    """
    with _told_plainly(name), _opened(data) as image:
        suffix = _SUFFIXES[image.format or ""]
        size = image.size
        turned = _turn(image) in {5, 6, 7, 8}
        taken = _taken(image)
        # an eighth of a JPEG's size is enough to come upon its end, or its lack of one
        image.draft("RGB", (256, 256))
        image.load()
    width, height = reversed(size) if turned else size
    return Seen(suffix, width, height, taken)


def draw(data: bytes, name: str, *, width: int, height: int) -> Drawn:
    """Return a picture, upright, as large as fits into a frame and never enlarged."""
    with _told_plainly(name), _opened(data) as image:
        fitted = _fitted(image, width, height)
        return Drawn(fitted.width, fitted.height, fitted.tobytes())


def small_file(data: bytes, name: str, *, side: int) -> bytes:
    """Return a small picture, upright, as a JPEG file without a word in it."""
    with _told_plainly(name), _opened(data) as image:
        into = io.BytesIO()
        _fitted(image, side, side).save(into, "JPEG", quality=85)
        return into.getvalue()


def _fitted(image: Image, width: int, height: int) -> Image:
    from PIL import ImageOps
    from PIL.Image import Resampling

    # twice the frame, whichever way it is turned: what is left is scaled well
    longest = 2 * max(width, height)
    image.draft("RGB", (longest, longest))
    flat = _flat(ImageOps.exif_transpose(image))
    flat.thumbnail((width, height), Resampling.LANCZOS)
    return flat


def _flat(image: Image) -> Image:
    """Return a picture in three colours, on white where it can be seen through."""
    from PIL.Image import alpha_composite, new

    if image.mode.startswith("I;16"):
        # a scanner's sixteen bits; Pillow would clip them all to white
        return image.point(lambda value: value * (1 / 256)).convert("RGB")
    if image.mode in {"RGBA", "LA", "PA", "P"}:
        seen_through = image.convert("RGBA")
        ground = new("RGBA", seen_through.size, "white")
        return alpha_composite(ground, seen_through).convert("RGB")
    return image.convert("RGB")


@contextmanager
def _opened(data: bytes) -> Iterator[Image]:
    from PIL.Image import OPEN, DecompressionBombWarning, init
    from PIL.Image import open as opened

    with warnings.catch_warnings():
        # a large picture of a good camera is no attack; twice that size is refused
        warnings.simplefilter("ignore", DecompressionBombWarning)
        # what a camera wrote wrongly beside the picture does not spoil the picture
        warnings.simplefilter("ignore", UserWarning)
        init()
        kinds = [kind for kind in _SUFFIXES if kind in OPEN]
        with opened(io.BytesIO(data), formats=kinds) as image:
            yield image


@contextmanager
def _told_plainly(name: str) -> Iterator[None]:
    from PIL import UnidentifiedImageError
    from PIL.Image import DecompressionBombError

    try:
        yield
    except UnidentifiedImageError:
        raise UnreadableFile(
            f"{name} is not a picture that can be read here: JPEG, PNG, TIFF and WebP "
            "can. It was not put in; the file was left alone."
        ) from None
    except DecompressionBombError:
        raise UnreadableFile(
            f"{name} unpacks to more than could be held here. It was not put in; the "
            "file was left alone. A smaller copy of it can be."
        ) from None
    except (OSError, SyntaxError, ValueError, EOFError, KeyError) as trouble:
        raise UnreadableFile(
            f"{name} can't be read to its end ({_reason(trouble)}): it may have been "
            "cut off when it was copied. It was not put in; the file was left alone."
        ) from trouble


def _reason(trouble: Exception) -> str:
    return str(trouble).partition("\n")[0] or type(trouble).__name__


def _turn(image: Image) -> int:
    turn = image.getexif().get(0x0112, 1)
    return turn if isinstance(turn, int) else 1


def _taken(image: Image) -> dt.datetime | None:
    written = image.getexif().get_ifd(_EXIF)
    found = _CLOCK.match(_text(written.get(_TAKEN)))
    if found is None:
        return None
    try:
        clock = dt.datetime(*(int(part) for part in found.groups()))  # type: ignore[arg-type]  # noqa: DTZ001  # six whole numbers; the camera's own clock
    except ValueError:
        return None  # a camera whose clock was never set writes 0000:00:00
    offset = _OFFSET.match(_text(written.get(_TAKEN_OFFSET)))
    if offset is None:
        return clock
    ahead = dt.timedelta(hours=int(offset[2]), minutes=int(offset[3]))
    if ahead >= dt.timedelta(days=1):
        return clock
    return clock.replace(tzinfo=dt.timezone(-ahead if offset[1] == "-" else ahead))


def _text(value: object) -> str:
    if isinstance(value, bytes):
        value = value.decode("ascii", "replace")
    return value.strip("\x00 ") if isinstance(value, str) else ""

"""What a picture file says, read back from files that Pillow itself wrote."""

from __future__ import annotations

import datetime as dt
import io
import struct
import zlib

import pytest
from PIL import Image

from rearing.problems import UnreadableFile
from rearing.records.picture_files import draw, see, small_file
from tests.records.drawn_pictures import GPS, camera_picture, picture

TWO_AHEAD = dt.timezone(dt.timedelta(hours=2))


@pytest.mark.parametrize(
    ("kind", "suffix"),
    [("JPEG", ".jpg"), ("PNG", ".png"), ("TIFF", ".tif"), ("WEBP", ".webp")],
)
def test_a_picture_is_known_by_what_is_in_it(kind: str, suffix: str) -> None:
    seen = see(picture((60, 40), kind=kind), "IMG.dat")

    assert (seen.suffix, seen.width, seen.height, seen.taken) == (suffix, 60, 40, None)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP"])
def test_the_cameras_clock_is_read_with_its_zone(kind: str) -> None:
    # Exif 2.32, tags DateTimeOriginal and OffsetTimeOriginal
    data = camera_picture("2021:06:12 22:40:05", offset="+02:00", kind=kind)

    taken = dt.datetime(2021, 6, 12, 22, 40, 5, tzinfo=TWO_AHEAD)
    assert see(data, "IMG.jpg").taken == taken


def test_a_camera_that_wrote_no_zone_gives_a_bare_clock() -> None:
    taken = see(camera_picture("2021:06:12 22:40:05"), "IMG.jpg").taken

    assert taken == dt.datetime(2021, 6, 12, 22, 40, 5)  # noqa: DTZ001  # bare, as told
    assert taken.tzinfo is None


@pytest.mark.parametrize(
    "written",
    ["0000:00:00 00:00:00", "2021:13:40 10:00:00", "    :  :     :  :  ", "?"],
)
def test_a_clock_that_was_never_set_says_nothing(written: str) -> None:
    assert see(camera_picture(written), "IMG.jpg").taken is None


def test_a_zone_that_is_none_leaves_the_bare_clock() -> None:
    taken = see(camera_picture("2021:06:12 22:40:05", offset="+99:00"), "a.jpg").taken

    assert taken is not None
    assert taken.tzinfo is None


@pytest.mark.parametrize(
    ("turn", "size"), [(1, (60, 40)), (6, (40, 60)), (8, (40, 60))]
)
def test_a_picture_is_as_wide_as_it_is_looked_at(
    turn: int, size: tuple[int, int]
) -> None:
    seen = see(camera_picture(turn=turn), "IMG.jpg")

    assert (seen.width, seen.height) == size


def test_a_picture_held_upright_is_drawn_upright() -> None:
    # turn 6: the camera was turned so that the file's left side is the picture's top
    drawn = draw(camera_picture(turn=6), "IMG.jpg", width=20, height=30)

    assert (drawn.width, drawn.height) == (20, 30)
    top, bottom = drawn.rgb[:3], drawn.rgb[-3:]
    assert (top[0] > 200, top[2] < 60) == (True, True)
    assert (bottom[2] > 200, bottom[0] < 60) == (True, True)


def test_a_picture_is_never_enlarged() -> None:
    drawn = draw(picture((60, 40)), "IMG.jpg", width=900, height=900)

    assert (drawn.width, drawn.height, len(drawn.rgb)) == (60, 40, 60 * 40 * 3)


@pytest.mark.parametrize("mode", ["RGBA", "P", "LA", "L", "1", "CMYK", "I;16"])
def test_every_kind_of_colour_is_drawn_in_three(mode: str) -> None:
    into = io.BytesIO()
    kind = "TIFF" if mode == "CMYK" else "PNG"
    Image.new(mode, (50, 30)).save(into, kind)

    assert see(into.getvalue(), "scan").width == 50
    drawn = draw(into.getvalue(), "scan", width=25, height=25)
    assert (drawn.width, drawn.height) == (25, 15)
    assert len(drawn.rgb) == 25 * 15 * 3


def test_what_can_be_seen_through_stands_on_white() -> None:
    into = io.BytesIO()
    Image.new("RGBA", (4, 4), (0, 0, 0, 0)).save(into, "PNG")

    assert draw(into.getvalue(), "x", width=4, height=4).rgb == b"\xff" * 48


def test_sixteen_bits_keep_their_middle_grey() -> None:
    into = io.BytesIO()
    Image.new("I;16", (2, 2), 32768).save(into, "PNG")

    assert set(draw(into.getvalue(), "x", width=2, height=2).rgb) == {128}


def test_the_small_file_says_nothing_of_where_and_when() -> None:
    data = camera_picture("2021:06:12 22:40:05", gps=True, size=(600, 400))
    with Image.open(io.BytesIO(data)) as whole:
        assert whole.getexif().get_ifd(GPS)

    with Image.open(io.BytesIO(small_file(data, "IMG.jpg", side=90))) as made:
        assert made.size == (90, 60)
        assert dict(made.getexif()) == {}


@pytest.mark.parametrize(
    "data",
    [b"", b"Date;Temp\n1;20.5\n", b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 1 1\n"],
    ids=["empty", "a table", "a program for a printer"],
)
def test_what_is_no_picture_is_refused_in_a_sentence(data: bytes) -> None:
    with pytest.raises(UnreadableFile, match=r"^notes\.txt is not a picture"):
        see(data, "notes.txt")


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_picture_that_was_cut_off_is_refused(kind: str) -> None:
    into = io.BytesIO()
    Image.effect_noise((200, 200), 90).convert("RGB").save(into, kind)
    data = into.getvalue()

    with pytest.raises(
        UnreadableFile, match=r"IMG can't be read to its end|no picture"
    ):
        see(data[: len(data) // 2], "IMG")


def test_a_file_that_unpacks_to_a_flood_is_refused() -> None:
    with pytest.raises(UnreadableFile, match="unpacks to more than"):
        see(bomb(60_000, 60_000), "bomb.png")


def bomb(width: int, height: int) -> bytes:
    """Return a PNG of a few bytes that says it is of billions of points."""

    def part(name: bytes, data: bytes) -> bytes:
        whole = name + data
        return (
            struct.pack(">I", len(data)) + whole + struct.pack(">I", zlib.crc32(whole))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = zlib.compress(b"\x00" * 1000)
    return (
        b"\x89PNG\r\n\x1a\n"
        + part(b"IHDR", head)
        + part(b"IDAT", body)
        + part(b"IEND", b"")
    )

"""From bytes to lines: how a temperature file is encoded, and opening it."""

from __future__ import annotations

import codecs
import io
from contextlib import contextmanager
from itertools import islice
from typing import TYPE_CHECKING, BinaryIO

from rearing.problems import UnreadableFile

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

_BLOCK = 1 << 20
_LONGEST_LINE = 100_000
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
_OTHER_KINDS = (
    (b"PK\x03\x04", "a spreadsheet or zip file"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet file"),
    (b"%PDF", "a PDF"),
    (b"SQLite format 3", "a database"),
    (b"\x1f\x8b", "a packed file"),
)


def encoding_of(path: Path) -> str:
    """Return the encoding of a text file; raise UnreadableFile for anything else."""
    try:
        with path.open("rb") as stream:
            head = stream.read(_BLOCK)
            _refuse_other_kinds(path, head)
            for mark, name in _MARKS:
                if head.startswith(mark):
                    return name
            return _encoding_without_mark(path, head, stream)
    except OSError as trouble:
        raise _cannot_open(path, trouble) from trouble


def _cannot_open(path: Path, trouble: OSError) -> UnreadableFile:
    reason = trouble.strerror or "no reason given"
    return UnreadableFile(
        f"{path.name} could not be opened ({reason}). Nothing was read."
    )


def _refuse_other_kinds(path: Path, head: bytes) -> None:
    if not head.strip(b" \t\r\n\xef\xbb\xbf\xff\xfe"):
        raise UnreadableFile(f"{path.name} is empty. Nothing was read.")
    for start, kind in _OTHER_KINDS:
        if head.startswith(start):
            raise UnreadableFile(
                f"{path.name} is {kind}, not a text table. Save the sheet as CSV and"
                " bring that in."
            )


def _encoding_without_mark(path: Path, head: bytes, stream: BinaryIO) -> str:
    if b"\0" in head:
        even, odd = head[::2].count(0), head[1::2].count(0)
        if max(even, odd) < len(head) // 5:
            raise UnreadableFile(
                f"{path.name} is not text: lines of readings were looked for, bytes of"
                " another kind were found."
            )
        return "utf-16-le" if odd > even else "utf-16-be"
    decoder = codecs.getincrementaldecoder("utf-8")()
    block = head
    try:
        while block:
            decoder.decode(block)
            block = stream.read(_BLOCK)
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return "cp1252"
    return "utf-8"


@contextmanager
def opened(path: Path, encoding: str) -> Iterator[tuple[BinaryIO, io.TextIOWrapper]]:
    """Open a file as lines, with the byte stream beside it to tell how far it is."""
    try:
        raw = path.open("rb")
    except OSError as trouble:
        raise _cannot_open(path, trouble) from trouble
    # newline="" keeps \r, \n and \r\n as line ends without changing what is between.
    with io.TextIOWrapper(raw, encoding, errors="replace", newline="") as lines:
        yield raw, lines


def first_lines(path: Path, encoding: str, count: int) -> list[str]:
    """Return the first lines of a file without their ends."""
    with opened(path, encoding) as (_, stream):
        lines = [line.rstrip("\r\n") for line in islice(stream, count)]
    if lines and max(map(len, lines)) > _LONGEST_LINE:
        raise UnreadableFile(
            f"{path.name} is not a table: one of its lines is longer than"
            f" {_LONGEST_LINE:,} signs."
        )
    return lines


def lines_throughout(path: Path, encoding: str, spots: int = 40) -> list[str]:
    """Return whole lines from places spread evenly over a file."""
    size = path.stat().st_size
    found: list[str] = []
    with path.open("rb") as stream:
        for spot in range(spots):
            # Even places keep the two bytes of UTF-16 together.
            stream.seek(size * spot // spots // 4 * 4)
            text = stream.read(2048).decode(_plain(encoding), errors="replace")
            found += text.splitlines()[1:-1]
    return found


def _plain(encoding: str) -> str:
    return {"utf-8-sig": "utf-8", "utf-16": "utf-16-le"}.get(encoding, encoding)


def texts_of_lines(path: Path, encoding: str, wanted: set[int]) -> dict[int, str]:
    """Return the text of the lines with these numbers (from 1), shortened."""
    if not wanted:
        return {}
    last, found = max(wanted), {}
    with opened(path, encoding) as (_, stream):
        for number, line in enumerate(islice(stream, last), start=1):
            if number in wanted:
                found[number] = line.rstrip("\r\n")[:200]
    return found

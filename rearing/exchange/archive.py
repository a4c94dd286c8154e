"""Writes lamp nights as a Darwin Core Archive, or as one plain table."""

from __future__ import annotations

import csv
import io
import zipfile
from typing import TYPE_CHECKING

from rearing.exchange import archive_rows as rows
from rearing.exchange.archive_parts import (
    EVENT,
    IDENTIFICATION,
    MEASUREMENT,
    OCCURRENCE,
    plain,
)
from rearing.exchange.archive_words import eml_xml, meta_xml
from rearing.exchange.night_table import HEADINGS, night_table
from rearing.exchange.tables import csv_text
from rearing.exchange.whole_file import write_whole
from rearing.problems import Refusal

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from rearing.exchange.archive_rows import Handing

META = "meta.xml"


def archive_bytes(handing: Handing) -> bytes:
    """Return a Darwin Core Archive; the same book and day give the same bytes."""
    files = {META: meta_xml(), "eml.xml": eml_xml(handing)}
    for part, told in (
        (EVENT, rows.event_rows(handing)),
        (OCCURRENCE, rows.occurrence_rows(handing)),
        (IDENTIFICATION, rows.identification_rows(handing)),
        (MEASUREMENT, rows.measurement_rows(handing)),
    ):
        files[part.file] = csv_bytes(part.terms, told)
    day = handing.recording.on
    stamp = (max(day.year, 1980), day.month, day.day, 0, 0, 0)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(
                zipfile.ZipInfo(name, stamp), content, zipfile.ZIP_DEFLATED
            )
    return packed.getvalue()


def table_bytes(handing: Handing) -> bytes:
    """Return the nights as one CSV table, a row for animals called alike."""
    return csv_text(night_table(handing)).encode()


def csv_bytes(headings: Sequence[str], told: Iterable[Mapping[str, object]]) -> bytes:
    """Return rows as CSV in UTF-8; line breaks within a text become blanks."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(headings)
    for row in told:
        writer.writerow([plain(row.get(heading, "")) for heading in headings])
    return text.getvalue().encode()


def save(path: Path, content: bytes) -> None:
    """Write a file whole or not at all; only one of its own kind is replaced."""
    if path.is_dir():
        raise Refusal(f"{path} is a folder, not a file.", field="out")
    if path.exists() and not _is_of_ours(path):
        raise Refusal(
            f"{path} is there already and is no archive or table of nights; it was not "
            "touched. Give another name.",
            field="out",
        )
    if not path.parent.is_dir():
        raise Refusal(f"There is no folder {path.parent}.", field="out")
    write_whole(path, content)


def _is_of_ours(path: Path) -> bool:
    if zipfile.is_zipfile(path):
        with zipfile.ZipFile(path) as archive:
            return META in archive.namelist()
    start = ",".join(HEADINGS).encode()
    with path.open("rb") as file:
        return file.readline().rstrip(b"\r\n") == start

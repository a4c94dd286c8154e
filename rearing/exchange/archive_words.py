"""The two XML files of a Darwin Core Archive: what is in it, and what it is about."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from typing import TYPE_CHECKING

from rearing import __version__
from rearing.exchange.archive_parts import EVENT, EXTENSIONS, plain, term_uri

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rearing.exchange.archive_parts import Part
    from rearing.exchange.archive_rows import Handing

TEXT = "http://rs.tdwg.org/dwc/text/"
EML = "https://eml.ecoinformatics.org/eml-2.2.0"
_XSI = "http://www.w3.org/2001/XMLSchema-instance"
_SCHEMA = "http://rs.tdwg.org/dwc/text/tdwg_dwc_text.xsd"


def meta_xml(parts: Sequence[Part] = (EVENT, *EXTENSIONS)) -> bytes:
    """Return what tells a reader which file holds which terms."""
    archive = ET.Element(
        "archive",
        {
            "xmlns": TEXT,
            "xmlns:xsi": _XSI,
            "xsi:schemaLocation": f"{TEXT} {_SCHEMA}",
            "metadata": "eml.xml",
        },
    )
    for part in parts:
        core = part is parts[0]
        table = ET.SubElement(
            archive,
            "core" if core else "extension",
            {
                "encoding": "UTF-8",
                "fieldsTerminatedBy": ",",
                "linesTerminatedBy": "\\n",
                "fieldsEnclosedBy": '"',
                "ignoreHeaderLines": "1",
                "rowType": part.row_type_uri,
            },
        )
        ET.SubElement(ET.SubElement(table, "files"), "location").text = part.file
        ET.SubElement(table, "id" if core else "coreid", {"index": "0"})
        for index, term in enumerate(part.terms):
            # The first column of an extension only says which event it belongs to.
            if core or index:
                field = {"index": str(index), "term": term_uri(term)}
                ET.SubElement(table, "field", field)
    return _written(archive)


def eml_xml(handing: Handing) -> bytes:
    """Return what the archive is about, in the Ecological Metadata Language 2.2."""
    home, on = handing.recording.home, handing.recording.on
    root = ET.Element(
        "eml:eml",
        {
            "xmlns:eml": EML,
            "xmlns:xsi": _XSI,
            "xsi:schemaLocation": f"{EML} {EML}/eml.xsd",
            "packageId": f"{handing.prefix}:{on.isoformat()}",
            "system": "Rearing",
            "xml:lang": "en",
        },
    )
    dataset = ET.SubElement(root, "dataset")
    ET.SubElement(dataset, "title").text = plain(handing.name)
    keeper = home.keeper or "the keeper of this book"
    _person(dataset, "creator", keeper)
    _person(dataset, "metadataProvider", keeper)
    ET.SubElement(dataset, "pubDate").text = on.isoformat()
    ET.SubElement(dataset, "language").text = "en"
    _paragraph(dataset, "abstract", _abstract(handing))
    _paragraph(
        dataset, "intellectualRights", "Ask the keeper before using the records."
    )
    _coverage(dataset, handing)
    _person(dataset, "contact", keeper)
    method = ET.SubElement(ET.SubElement(dataset, "methods"), "methodStep")
    _paragraph(method, "description", _METHOD)
    return _written(root)


_METHOD = (
    "A lamp at a sheet, bucket or box is lit at dusk and looked at now and then. A "
    "night is dated by the evening on which the lamp was lit. Effort is elapsed lamp "
    "time less the time the lamp was dark. Whether checks add up is told with each "
    "night. Sex is given only where it was looked at. What animals were called at the "
    "lamp stands beside what they were called later."
)


def _abstract(handing: Handing) -> str:
    nights = handing.recording.nights
    moths = sum(night.counts.moths for night in nights)
    return (
        f"Large moths counted at light by a keeper: {len(nights)} lamp nights, {moths} "
        f"moths, up to {handing.recording.on.isoformat()}. Nights without a moth are "
        f"among them. Written by Rearing {__version__}."
    )


def _coverage(dataset: ET.Element, handing: Handing) -> None:
    nights = handing.recording.nights
    if not nights:
        return
    coverage = ET.SubElement(dataset, "coverage")
    area = ET.SubElement(coverage, "geographicCoverage")
    names = sorted({night.counts.site.name for night in nights})
    ET.SubElement(area, "geographicDescription").text = plain(", ".join(names))
    box = ET.SubElement(area, "boundingCoordinates")
    spots = [handing.where(night) for night in nights]
    # A rounded place may lie half a step beyond.
    wide = (handing.step or 0) / 2
    sides = [one.longitude for one in spots]
    highs = [one.latitude for one in spots]
    for name, value in (
        ("west", max(min(sides) - wide, -180)),
        ("east", min(max(sides) + wide, 180)),
        ("north", min(max(highs) + wide, 90)),
        ("south", max(min(highs) - wide, -90)),
    ):
        ET.SubElement(box, f"{name}BoundingCoordinate").text = f"{value:.6g}"
    evenings = [night.counts.row.evening for night in nights]
    span = ET.SubElement(ET.SubElement(coverage, "temporalCoverage"), "rangeOfDates")
    for tag, day in (("beginDate", min(evenings)), ("endDate", max(evenings))):
        ET.SubElement(ET.SubElement(span, tag), "calendarDate").text = f"{day}"
    group = ET.SubElement(coverage, "taxonomicCoverage")
    rank = ET.SubElement(group, "taxonomicClassification")
    ET.SubElement(rank, "taxonRankName").text = "order"
    ET.SubElement(rank, "taxonRankValue").text = "Lepidoptera"


def _person(within: ET.Element, tag: str, name: str) -> None:
    person = ET.SubElement(ET.SubElement(within, tag), "individualName")
    ET.SubElement(person, "surName").text = plain(name)


def _paragraph(within: ET.Element, tag: str, text: str) -> None:
    ET.SubElement(ET.SubElement(within, tag), "para").text = text


def _written(root: ET.Element) -> bytes:
    ET.indent(root)
    text = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return bytes(text) + b"\n"

"""The Darwin Core Archive of the lamp nights, read back by a reader of archives.

Read by python-dwca-reader, an independent library. Terms are checked against the list
of the standard, kept in tests/reference/darwin_core_terms.json with its source.
"""

from __future__ import annotations

import csv
import io
import json
import xml.etree.ElementTree as ET
import zipfile
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from dwca.read import DwCAReader
from hypothesis import given, settings
from hypothesis import strategies as st

from rearing.exchange.archive import archive_bytes, save, table_bytes
from rearing.exchange.archive_parts import (
    DCTERMS,
    DWC,
    EVENT,
    EXTENSIONS,
    term_uri,
)
from rearing.exchange.archive_rows import Handing
from rearing.exchange.coordinates import spot
from rearing.keeping import lamp, mothers
from rearing.keeping.night_counts import all_nights
from rearing.keeping.recording import recording, records_of
from rearing.problems import Refusal
from rearing.records.book import Book
from rearing.records.rows import SiteRow
from rearing.sheets.shelf import load_all
from rearing.terms import CountingMode, Known, Quality, Sex, Sure
from tests.keeping import karst_book
from tests.keeping.karst_book import LATER, on

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator

TERMS = Path(__file__).parents[1] / "reference" / "darwin_core_terms.json"
PYRI, QUERCUS = "Saturnia pyri", "Marumba quercus"
LAST = on(7, 20)
HOSTILE = 'dew, "rain";\nthen <mist> & tab\there'


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    """Return the small book with a corrected night, a zero night and one of paper."""
    with Book.make(tmp_path / "nights.rearing") as made:
        ids = karst_book.fill(made)
        _correct(made, ids)
        night = lamp.record_night(
            made,
            LATER,
            site_id=ids.site,
            evening=on(6, 3),
            lamp="15 W actinic",
            station="wood, edge",
            mode=CountingMode.PRESENT,
            weather=lamp.Weather(11, None, HOSTILE),
            note="by the old oak",
        ).new_id
        lamp.record_check(made, LATER, night_id=night, at=None, known=Known.ABOUT)
        lamp.record_night(
            made, LATER, site_id=ids.site, evening=on(6, 4), lamp="15 W actinic"
        )
        yield made


def _correct(book: Book, ids: karst_book.Ids) -> None:
    arrival = lamp.record_arrival(
        book,
        LATER,
        check_id=ids.check,
        taxon=PYRI,
        sex=Sex.FEMALE,
        number=5,
        quality=Quality.AT_LEAST,
        note="on the wall",
    ).new_id
    kept = mothers.keep_female(
        book, LATER, night_id=ids.night, taxon=PYRI, arrival_id=arrival
    ).new_id
    male = lamp.Call(PYRI, Sex.MALE, "N. K.", Sure.CERTAIN)
    lamp.redetermine_moth(book, LATER, moth_id=kept, call=male, on=on(5, 29))
    oak = lamp.Call(QUERCUS, Sex.FEMALE, "V. R.", Sure.PROBABLE)
    lamp.redetermine(
        book, LATER, arrival_id=arrival, call=oak, number=2, on=on(6, 1), note="photo"
    )
    mothers.keep_female(book, LATER, night_id=ids.night, taxon="not known")


def handed(book: Book, step: float | None = None, day: dt.date = LAST) -> Handing:
    return Handing(recording(book, load_all(), day), step)


def read(handing: Handing, tmp_path: Path) -> dict[str, list[dict[str, str]]]:
    """Return the archive's rows by row type, as an independent reader gives them."""
    path = tmp_path / "out.zip"
    save(path, archive_bytes(handing))
    found: dict[str, list[dict[str, str]]] = {"Event": []}
    with DwCAReader(str(path)) as archive:
        assert archive.descriptor.core.type == DWC + "Event"
        for row in archive:
            found["Event"].append(_short(row.data))
            for below in row.extensions:
                kind = below.rowtype.removeprefix(DWC)
                told = _short(below.data) | {"eventID": below.core_id}
                found.setdefault(kind, []).append(told)
    return found


def _short(data: dict[str, str]) -> dict[str, str]:
    return {key.removeprefix(DWC): value for key, value in data.items()}


def test_every_term_stands_in_the_standards_list() -> None:
    known: dict[str, Any] = json.loads(TERMS.read_text("utf-8"))
    names = set(known["terms"])
    assert len(names) > 200
    for part in (EVENT, *EXTENSIONS):
        assert part.row_type in known["classes"]
        assert len(set(part.terms)) == len(part.terms)
        assert set(part.terms) <= names
        for term in part.terms:
            borrowed = term in known["dublin_core"]
            assert term_uri(term) == (DCTERMS if borrowed else DWC) + term


def test_an_independent_reader_finds_every_row(book: Book, tmp_path: Path) -> None:
    found = read(handed(book), tmp_path)
    kinds = [row["eventType"] for row in found["Event"]]
    assert Counter(kinds) == {"lamp night": 3, "check of the sheet": 2}
    ids = {row["eventID"] for row in found["Event"]}
    assert len(ids) == 5
    assert {row["parentEventID"] for row in found["Event"]} - {""} <= ids
    for kind, key in (
        ("Occurrence", "occurrenceID"),
        ("Identification", "identificationID"),
        ("MeasurementOrFact", "measurementID"),
    ):
        keys = [row[key] for row in found[kind]]
        assert len(set(keys)) == len(keys) > 2
        assert {row["eventID"] for row in found[kind]} <= ids
    assert {row["occurrenceID"] for row in found["Identification"]} == {
        row["occurrenceID"] for row in found["Occurrence"]
    }


def test_occurrences_add_up_to_the_totals_of_the_night(
    book: Book, tmp_path: Path
) -> None:
    counted: Counter[tuple[str, str]] = Counter()
    for row in read(handed(book), tmp_path)["Occurrence"]:
        number = int(row["individualCount"] or 0)
        counted[row["scientificName"], row["sex"]] += number
    (first, *_) = all_nights(book, LAST)
    assert +counted == {(one.taxon, one.sex): one.number for one in first.totals}
    assert +counted == {
        (PYRI, "female"): 4,
        (PYRI, "male"): 1,
        (QUERCUS, "female"): 2,
    }


def test_the_first_call_stays_readable(book: Book, tmp_path: Path) -> None:
    found = read(handed(book), tmp_path)
    (oak,) = (x for x in found["Occurrence"] if x["scientificName"] == QUERCUS)
    assert (oak["individualCount"], oak["identifiedBy"]) == ("2", "V. R.")
    assert oak["dateIdentified"] == "2021-06-01"
    assert oak["identificationVerificationStatus"] == "probable"
    assert oak["verbatimIdentification"] == PYRI
    assert oak["previousIdentifications"] == f"{PYRI}, female (2021-05-28)"
    assert oak["occurrenceRemarks"] == "at least 2; on the wall"
    history = [
        (x["scientificName"], x["sex"], x["identificationRemarks"])
        for x in found["Identification"]
        if x["occurrenceID"] == oak["occurrenceID"]
    ]
    assert history == [
        (PYRI, "female", "first call"),
        (QUERCUS, "female", "later call; stands now; photo"),
    ]


def test_a_kept_moth_has_its_code_and_an_uncounted_one_no_number(
    book: Book, tmp_path: Path
) -> None:
    kept = {
        row["organismID"]: (row["scientificName"], row["sex"], row["individualCount"])
        for row in read(handed(book), tmp_path)["Occurrence"]
        if row["organismID"]
    }
    assert kept == {
        "hisa:W21-01": (PYRI, "female", "1"),
        "hisa:W21-02": (PYRI, "male", "1"),
        "hisa:W21-03": ("Lepidoptera", "female", ""),
    }


def test_what_was_called_later_is_not_known_earlier(book: Book, tmp_path: Path) -> None:
    names = {
        row["scientificName"]
        for row in read(handed(book, day=on(5, 31)), tmp_path)["Occurrence"]
    }
    assert names == {PYRI, "Lepidoptera"}


def test_effort_protocol_and_dates_of_a_night(book: Book, tmp_path: Path) -> None:
    night, check, paper, *_ = read(handed(book), tmp_path)["Event"]
    assert night["eventDate"] == "2021-05-28T21:30:00+02:00/2021-05-29T02:00:00+02:00"
    assert (night["year"], night["month"], night["day"]) == ("2021", "5", "28")
    assert (night["sampleSizeValue"], night["sampleSizeUnit"]) == ("4.5", "hour")
    assert night["samplingEffort"] == "4.5 lamp-hours"
    assert "checks add up" in night["samplingProtocol"]
    # At 00:45 by the clock of the 29th: filed under the evening of the 28th.
    assert check["eventDate"] == "2021-05-29T00:45:00+02:00"
    assert check["day"] == "28"
    assert paper["eventDate"] == "2021-06-03"
    assert paper["samplingEffort"] == ""
    assert "do not add up" in paper["samplingProtocol"]


def test_nothing_seen_differs_from_nobody_looked(book: Book, tmp_path: Path) -> None:
    remarks = {
        (row["day"], row["eventType"]): row["eventRemarks"]
        for row in read(handed(book), tmp_path)["Event"]
    }
    assert remarks["3", "lamp night"] == (
        "station wood, edge; looked at, nothing came; by the old oak"
    )
    assert remarks["3", "check of the sheet"] == (
        "time about; time not noted; nothing counted"
    )
    assert remarks["4", "lamp night"] == "no check was made"


def test_text_of_any_kind_comes_back_whole(book: Book, tmp_path: Path) -> None:
    facts = read(handed(book), tmp_path)["MeasurementOrFact"]
    (weather,) = (x for x in facts if x["measurementType"] == "weather")
    assert weather["measurementValue"] == " ".join(HOSTILE.split())


def test_rounded_coordinates_say_so_and_give_nothing_away(
    book: Book, tmp_path: Path
) -> None:
    exact, rounded = handed(book), handed(book, 0.1)
    for row in read(exact, tmp_path)["Event"]:
        assert (row["decimalLatitude"], row["decimalLongitude"]) == ("45.5", "13.9")
        assert (row["dataGeneralizations"], row["informationWithheld"]) == ("", "")
    site = book.all(SiteRow)[0]
    assert spot(45.5372, 13.9301, 0.1).latitude == 45.5
    for row in read(rounded, tmp_path)["Event"]:
        assert row["coordinatePrecision"] == "0.1"
        assert 6000 < int(row["coordinateUncertaintyInMeters"]) < 8000
        assert row["dataGeneralizations"] == "coordinates rounded to 0.1 degrees"
        assert row["informationWithheld"]
        assert row["minimumElevationInMeters"] == ""
        assert row["locality"] == site.name
    whole = archive_bytes(rounded) + b"".join(_contents(archive_bytes(rounded)))
    for secret in (b"old oak", b"photo", b"on the wall"):
        assert secret not in whole


def _contents(packed: bytes) -> list[bytes]:
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        return [archive.read(name) for name in archive.namelist()]


def test_the_description_says_what_where_and_when(book: Book, tmp_path: Path) -> None:
    path = tmp_path / "out.zip"
    save(path, archive_bytes(handed(book, 0.1)))
    with zipfile.ZipFile(path) as archive:
        assert archive.testzip() is None
        root = ET.fromstring(archive.read("eml.xml"))
    dataset = root.find("dataset")
    assert dataset is not None
    # The order that the Ecological Metadata Language asks for (from memory).
    assert [child.tag for child in dataset] == [
        "title",
        "creator",
        "metadataProvider",
        "pubDate",
        "language",
        "abstract",
        "intellectualRights",
        "coverage",
        "contact",
        "methods",
    ]
    assert dataset.findtext("title") == "Lamp nights of Hiša"
    west = float(dataset.findtext(".//westBoundingCoordinate") or "nan")
    east = float(dataset.findtext(".//eastBoundingCoordinate") or "nan")
    assert west <= 13.85 + 1e-9 < 13.95 <= east + 1e-9
    assert dataset.findtext(".//beginDate/calendarDate") == "2021-05-28"
    assert dataset.findtext(".//endDate/calendarDate") == "2021-06-04"


def test_the_same_book_gives_the_same_bytes(book: Book) -> None:
    assert archive_bytes(handed(book)) == archive_bytes(handed(book))


def test_a_book_without_a_night_gives_an_empty_archive(tmp_path: Path) -> None:
    with Book.make(tmp_path / "empty.rearing") as empty:
        assert read(handed(empty), tmp_path) == {"Event": []}


def test_the_plain_table_adds_up_too(book: Book) -> None:
    rows = list(csv.DictReader(io.StringIO(table_bytes(handed(book)).decode())))
    counted: Counter[tuple[str, str]] = Counter()
    for row in rows:
        counted[row["taxon"], row["sex"]] += int(row["number"] or 0)
    assert counted[PYRI, "female"] == 4
    assert counted[PYRI, "male"] == 1
    assert counted[QUERCUS, "female"] == 2
    assert [(row["evening"], row["number"]) for row in rows[-2:]] == [
        ("2021-06-03", "0"),
        ("2021-06-04", ""),
    ]
    oak = next(row for row in rows if row["taxon"] == QUERCUS)
    assert (oak["first_taxon"], oak["called_by"]) == (PYRI, "V. R.")


@settings(max_examples=20, deadline=None)
@given(data=st.data())
def test_pieces_of_an_arrival_add_up_however_often_it_is_called(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    numbers = st.integers(1, 5)
    path = tmp_path_factory.mktemp("pieces") / "own.rearing"
    with Book.make(path) as own:
        ids = karst_book.fill(own)
        arrival = lamp.record_arrival(
            own, LATER, check_id=ids.check, taxon=PYRI, sex=Sex.FEMALE, number=5
        ).new_id
        for _ in range(data.draw(st.integers(0, 4))):
            call = lamp.Call(QUERCUS, data.draw(st.sampled_from(Sex)))
            number = data.draw(numbers)
            lamp.redetermine(own, LATER, arrival_id=arrival, call=call, number=number)
        (night,) = all_nights(own, LAST)
        counted: Counter[tuple[str, Sex]] = Counter()
        for record in records_of(night):
            counted[record.now.taxon, record.now.sex] += record.number
        assert counted == {(x.taxon, x.sex): x.number for x in night.totals}


def test_another_file_is_never_written_over(book: Book, tmp_path: Path) -> None:
    content = archive_bytes(handed(book))
    precious = tmp_path / "precious.zip"
    precious.write_text("mine")
    with pytest.raises(Refusal, match="not touched"):
        save(precious, content)
    assert precious.read_text() == "mine"
    with zipfile.ZipFile(tmp_path / "photos.zip", "w") as photos:
        photos.writestr("moth.jpg", "picture")
    for path, words in (
        (tmp_path / "photos.zip", "not touched"),
        (tmp_path, "is a folder"),
        (tmp_path / "none" / "out.zip", "no folder"),
    ):
        with pytest.raises(Refusal, match=words):
            save(path, content)
    out = tmp_path / "out.zip"
    save(out, content)
    save(out, content)
    table = tmp_path / "out.csv"
    save(table, table_bytes(handed(book)))
    save(table, table_bytes(handed(book)))
    assert list(tmp_path.glob("*.unfinished")) == []

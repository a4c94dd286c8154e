"""The tables of a Darwin Core Archive: their row types and their columns.

Names of terms are those of the Darwin Core standard (Biodiversity Information
Standards, TDWG); `language` is one of the Dublin Core terms that it borrows.
"""

from __future__ import annotations

from dataclasses import dataclass
from unicodedata import category

DWC = "http://rs.tdwg.org/dwc/terms/"
DCTERMS = "http://purl.org/dc/terms/"

_BORROWED = {"language", "license", "rightsHolder", "references", "modified"}


@dataclass(frozen=True, slots=True)
class Part:
    """One table of the archive; its first column is the id of an event."""

    file: str
    row_type: str
    terms: tuple[str, ...]

    @property
    def row_type_uri(self) -> str:
        """The row type by its full name."""
        return DWC + self.row_type


def plain(text: object) -> str:
    """Return text in one line without control signs, which CSV and XML do not take."""
    signs = (" " if _is_no_text(sign) else sign for sign in str(text))
    return " ".join("".join(signs).split())


def _is_no_text(sign: str) -> bool:
    return category(sign) in {"Cc", "Cs"} or sign in "\ufffe\uffff"


def term_uri(term: str) -> str:
    """Return the full name of a term."""
    return (DCTERMS if term in _BORROWED else DWC) + term


EVENT = Part(
    "event.csv",
    "Event",
    (
        "eventID",
        "parentEventID",
        "eventType",
        "eventDate",
        "year",
        "month",
        "day",
        "verbatimEventDate",
        "samplingProtocol",
        "sampleSizeValue",
        "sampleSizeUnit",
        "samplingEffort",
        "eventRemarks",
        "locationID",
        "locality",
        "minimumElevationInMeters",
        "maximumElevationInMeters",
        "decimalLatitude",
        "decimalLongitude",
        "geodeticDatum",
        "coordinateUncertaintyInMeters",
        "coordinatePrecision",
        "dataGeneralizations",
        "informationWithheld",
        "datasetName",
        "language",
    ),
)
OCCURRENCE = Part(
    "occurrence.csv",
    "Occurrence",
    (
        "eventID",
        "occurrenceID",
        "basisOfRecord",
        "occurrenceStatus",
        "scientificName",
        "kingdom",
        "phylum",
        "class",
        "order",
        "family",
        "individualCount",
        "organismQuantity",
        "organismQuantityType",
        "sex",
        "lifeStage",
        "recordedBy",
        "organismID",
        "verbatimIdentification",
        "identifiedBy",
        "dateIdentified",
        "identificationVerificationStatus",
        "previousIdentifications",
        "occurrenceRemarks",
    ),
)
IDENTIFICATION = Part(
    "identification.csv",
    "Identification",
    (
        "eventID",
        "identificationID",
        "occurrenceID",
        "verbatimIdentification",
        "scientificName",
        "sex",
        "identifiedBy",
        "dateIdentified",
        "identificationVerificationStatus",
        "identificationRemarks",
    ),
)
MEASUREMENT = Part(
    "measurement.csv",
    "MeasurementOrFact",
    (
        "eventID",
        "measurementID",
        "measurementType",
        "measurementValue",
        "measurementUnit",
        "measurementDeterminedDate",
        "measurementMethod",
    ),
)
EXTENSIONS = (OCCURRENCE, IDENTIFICATION, MEASUREMENT)

"""What a species sheet says, as frozen values that each carry their source."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from rearing.terms import INSTARS

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from rearing.terms import BoxKind, LawFlag, Stage


class Tag(StrEnum):
    """How a value is known; shown beside it wherever it is used."""

    PUBLISHED = "published"
    QUOTED = "quoted"
    FROM_MEMORY = "from memory"
    DERIVED = "derived"
    COMMON_PRACTICE = "common practice"


class Size(StrEnum):
    """Class of a species by the weight of a female pupa, for leaf planning."""

    LARGE = "large"
    MEDIUM = "medium"
    SMALL = "small"


class Pupation(StrEnum):
    """Where the last larva goes to pupate."""

    EARTH = "earth"
    LITTER = "litter"
    COCOON = "cocoon"
    BARK = "bark"


class Evidence(StrEnum):
    """What a belief about a stage's need of heat rests on, best first."""

    THERMAL = "thermal values"
    DURATIONS = "recorded durations"
    DEFAULT = "default"
    UNDATED = "durations without a temperature"
    BROAD = "all moths and butterflies"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure or range of figures with its source."""

    low: float
    high: float
    source: str
    tag: Tag

    @property
    def middle(self) -> float:
        """The mean of the two ends."""
        return (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class Saying:
    """A yes or no, or words, with its source."""

    yes: bool
    note: str
    source: str
    tag: Tag


@dataclass(frozen=True, slots=True)
class Thermal:
    """Threshold [°C] and constant [degree-days] of a stage as somebody found them."""

    t0_c: float
    k_dd: float
    source: str
    tag: Tag
    upper_c: float | None = None
    t0_sd_c: float | None = None
    """Spread of the threshold between broods or strains, where stated [°C]."""
    k_spread: float | None = None
    """Spread of the constant at that threshold, as a share of it, where stated."""
    after_cold: bool = False
    place: str = ""


@dataclass(frozen=True, slots=True)
class Duration:
    """Days a stage took; the temperature is None where nobody wrote it down."""

    days_low: float
    days_high: float
    at_low_c: float | None
    at_high_c: float | None
    source: str
    tag: Tag
    spread: float | None = None
    """Spread of the days as a share of them, where stated; else from the range."""
    after_cold: bool = False
    place: str = ""


@dataclass(frozen=True, slots=True)
class StageSheet:
    """What is recorded of one stage of one species."""

    thermal: tuple[Thermal, ...] = ()
    durations: tuple[Duration, ...] = ()


@dataclass(frozen=True, slots=True)
class Instars:
    """Number of instars; `varies` holds the words where it does."""

    usual: int
    low: int
    high: int
    varies: str
    source: str
    tag: Tag


@dataclass(frozen=True, slots=True)
class Eggs:
    """Eggs of one female, and the nights she lays; None where not known."""

    per_female: Figure | None
    nights: Figure | None


@dataclass(frozen=True, slots=True)
class Calling:
    """Local clock hours in which virgins call, such as 22:00 to 01:30."""

    start: str
    end: str
    note: str
    source: str
    tag: Tag


@dataclass(frozen=True, slots=True)
class Adult:
    """Life of the moth; None where not known."""

    feeds: Saying | None
    life_days: Figure | None
    calling: Calling | None


@dataclass(frozen=True, slots=True)
class Host:
    """A food plant; hosts are listed best first."""

    name: str
    latin: str
    note: str
    poisonous: bool
    caution: str
    source: str
    tag: Tag


@dataclass(frozen=True, slots=True)
class Winter:
    """How the species winters; `cold_*` are weeks of cold the stage needs."""

    stage: Stage | None
    may_fly_same_year: bool
    lies_over: bool
    note: str
    source: str
    tag: Tag
    cold_weeks: Figure | None
    """Low: the least; high: the usual; None where it needs no cold."""


@dataclass(frozen=True, slots=True)
class PupationSheet:
    """Where it pupates and how long the tub stays shut after the last wanderer."""

    mode: Pupation | None
    note: str
    source: str
    tag: Tag
    undisturbed_days: Figure


@dataclass(frozen=True, slots=True)
class Density:
    """How many larvae of one instar a container takes."""

    instar: Stage
    container: BoxKind
    low: float
    high: float
    source: str
    tag: Tag


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning shown when the animals are first kept."""

    text: str
    source: str
    tag: Tag


@dataclass(frozen=True, slots=True)
class Law:
    """A reminder, never advice: the local authority decides."""

    flag: LawFlag | None
    note: str
    source: str
    tag: Tag


@dataclass(frozen=True, slots=True)
class SpeciesSheet:
    """All that is told of a species; what nobody told comes from the defaults.

    `path` is None for a sheet built from defaults alone because none was written.
    """

    name: str
    short: str
    english: str
    family: str
    size: Size
    source: str
    tag: Tag
    note: str
    instars: Instars
    stages: Mapping[Stage, StageSheet]
    larva: StageSheet
    eggs: Eggs
    adult: Adult
    hosts: tuple[Host, ...]
    leaf_g: Mapping[Stage, Figure]
    winter: Winter
    pupation: PupationSheet
    feeds_as_l1: Saying
    moult_rest_hours: Figure
    last_moult_rest_hours: Figure
    density: tuple[Density, ...]
    cautions: tuple[Caution, ...]
    law: Law
    path: Path | None

    @property
    def is_written(self) -> bool:
        """False when no sheet exists and everything is a default."""
        return self.path is not None

    @property
    def larval_stages(self) -> tuple[Stage, ...]:
        """The feeding instars this species usually has."""
        return INSTARS[: self.instars.usual]

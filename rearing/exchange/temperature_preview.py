"""What a temperature file was understood to be, for the keeper to confirm or mend."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Role(StrEnum):
    """What a column is for."""

    INSTANT = "date and time"
    DAY = "date"
    TIME = "time"
    YEAR = "year"
    MONTH = "month"
    DAY_OF_MONTH = "day of the month"
    HOUR = "hour"
    MINUTE = "minute"
    AFTER_TIME = "AM, PM or offset of the time"
    TEMPERATURE = "temperature"
    LOW = "lowest of the day"
    HIGH = "highest of the day"
    LOGGER = "name of the logger"
    UNUSED = "not used"


MEASURES = (Role.TEMPERATURE, Role.LOW, Role.HIGH)


class Unit(StrEnum):
    """The scale a thermometer was read on."""

    CELSIUS = "c"
    FAHRENHEIT = "f"
    KELVIN = "k"

    @property
    def sign(self) -> str:
        """°C, °F or K."""
        return {"c": "°C", "f": "°F", "k": "K"}[self.value]


class DateOrder(StrEnum):
    """Which part of a date written in figures comes first."""

    YEAR_FIRST = "year first"
    DAY_FIRST = "day first"
    MONTH_FIRST = "month first"


class DateForm(StrEnum):
    """How instants are written."""

    WRITTEN = "written out"
    EPOCH_S = "seconds since 1970"
    EPOCH_MS = "milliseconds since 1970"
    SERIAL = "days since 1899-12-30, as spreadsheets count them"


@dataclass(frozen=True, slots=True)
class Column:
    """One column: where it stands (from 0), its heading, its role and first texts."""

    index: int
    title: str
    role: Role
    name: str = ""
    unit: Unit | None = None
    unit_guessed: bool = False
    samples: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """The column as it is spoken of."""
        said = f" ‘{self.title}’" if self.title else ""
        return f"Column {self.index + 1}{said}"


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question to ask: what it is about, what was taken, what else it could be."""

    about: str
    question: str
    taken: str
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PreviewRow:
    """A row as it will be read: its line, when it is, and its temperatures [°C]."""

    line: int
    when: str
    celsius: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Understanding:
    """How a file will be read. Change it with ``dataclasses.replace``.

    `first_line` counts from 1 and is the first row of readings; `zone` is a time
    zone's name or a fixed offset such as ``UTC+01:00``; a delimiter of one space
    stands for any run of spaces. `order_open` and a column's `unit_guessed` mark what
    should be asked. `sentences`, `doubts` and `first_rows` speak of the
    other fields and are renewed by ``temperatures.look_again``.
    """

    encoding: str
    delimiter: str
    decimal: str
    first_line: int
    columns: tuple[Column, ...]
    zone: str
    date_form: DateForm = DateForm.WRITTEN
    date_order: DateOrder = DateOrder.YEAR_FIRST
    order_because: str = ""
    order_open: bool = False
    daily: bool = False
    sentences: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    first_rows: tuple[PreviewRow, ...] = ()

    def of_role(self, *roles: Role) -> tuple[Column, ...]:
        """Return the columns that have one of these roles, in file order."""
        return tuple(column for column in self.columns if column.role in roles)

    @property
    def day_first(self) -> bool | None:
        """True or False for dates led by day or month, None for year first."""
        if self.date_order is DateOrder.YEAR_FIRST:
            return None
        return self.date_order is DateOrder.DAY_FIRST

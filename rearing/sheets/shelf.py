"""The shelf of sheets: the keeper's own before those that came with the program.

Sheets are parsed at first use: reading the names of the files takes a
thousandth of the time, and a keeper has a handful of species in hand.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, TypeVar

from rearing.belongings import resource
from rearing.problems import BrokenSheet
from rearing.sheets.broad import read_broad
from rearing.sheets.defaults import read_defaults
from rearing.sheets.plain import plain_sheet
from rearing.sheets.read import name_of, read_sheet
from rearing.sheets.sheet import Size

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence
    from pathlib import Path

    from rearing.sheets.broad import BroadPrior
    from rearing.sheets.defaults import Defaults
    from rearing.sheets.sheet import SpeciesSheet


T = TypeVar("T")


class SheetShelf:
    """Every sheet by the name of its species, parsed when first asked for."""

    def __init__(
        self,
        files: Mapping[str, Sequence[Path]],
        defaults: Defaults,
        broad: Mapping[str, BroadPrior],
        troubles: Iterable[BrokenSheet] = (),
    ) -> None:
        self.defaults = defaults
        self.broad = broad
        self._files = files
        self._read: dict[str, SpeciesSheet | None] = {}
        self._plain: dict[str, SpeciesSheet] = {}
        self._troubles = {trouble.path: trouble for trouble in troubles}

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the species that have a file here, in alphabetical order."""
        return tuple(sorted(name_of(files[0]) for files in self._files.values()))

    def get(self, name: str) -> SpeciesSheet | None:
        """Return the sheet of exactly this species, or None without a sound one."""
        key = name.casefold()
        if key not in self._read:
            self._read[key] = self._first_sound(self._files.get(key, ()))
        return self._read[key]

    def sheet_for(self, name: str) -> SpeciesSheet:
        """Return the sheet, or one of class defaults whose `is_written` is False.

        From a sheet of the same genus the family is taken, so that the
        defaults of the family hold; nothing else passes between species.
        """
        sheet = self.get(name)
        if sheet is not None:
            return sheet
        if name not in self._plain:
            family = self._family_of_genus(name.partition(" ")[0])
            self._plain[name] = plain_sheet(name, family, Size.MEDIUM, self.defaults)
        return self._plain[name]

    def all(self) -> tuple[SpeciesSheet, ...]:
        """Parse everything and return the sound sheets by name."""
        sheets = (self.get(name) for name in self.names)
        return tuple(sheet for sheet in sheets if sheet is not None)

    @property
    def troubles(self) -> tuple[BrokenSheet, ...]:
        """What is wrong with any file; parses those not yet read."""
        self.all()
        return tuple(self._troubles[path] for path in sorted(self._troubles))

    def _first_sound(self, files: Sequence[Path]) -> SpeciesSheet | None:
        for path in files:
            try:
                return read_sheet(path, self.defaults)
            except BrokenSheet as trouble:
                self._troubles[path] = trouble
        return None

    def _family_of_genus(self, genus: str) -> str:
        start = f"{genus.casefold()} "
        for key in self._files:
            sheet = self.get(key) if key.startswith(start) else None
            if sheet is not None:
                return sheet.family
        return ""


def load_all(folders: Sequence[Path] | None = None) -> SheetShelf:
    """Open the shelf; a later folder's sheets stand before an earlier one's.

    Give the program's folder first and the keeper's own after it; without
    folders it is the program's alone. ``_defaults.toml`` and
    ``_lepidoptera.toml`` may be replaced in the keeper's folder too; a broken
    replacement is reported and the program's own is used.
    """
    places = [resource("species"), *(folders or ())]
    files: dict[str, list[Path]] = {}
    for folder in places:
        for path in sorted(folder.glob("*.toml")):
            if not path.name.startswith("_"):
                own = files.setdefault(name_of(path).casefold(), [])
                if path not in own:
                    own.insert(0, path)
    troubles: list[BrokenSheet] = []
    defaults = _newest(places, "_defaults.toml", read_defaults, troubles)
    broad = _newest(places, "_lepidoptera.toml", read_broad, troubles)
    return SheetShelf(files, defaults, broad, troubles)


def _newest(
    places: Sequence[Path],
    name: str,
    read: Callable[[Path], T],
    troubles: list[BrokenSheet],
) -> T:
    for folder in reversed(places[1:]):
        if (path := folder / name).is_file():
            try:
                return read(path)
            except BrokenSheet as trouble:
                troubles.append(trouble)
    return read(places[0] / name)

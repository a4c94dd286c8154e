"""Names of host plants: which mean the same leaf, which are of one genus."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rearing.sheets.shelf import SheetShelf


def alike(one: str, other: str) -> bool:
    """Tell whether two names of a host mean the same: oak and downy oak."""
    a, b = one.strip().casefold(), other.strip().casefold()
    return bool(a) and bool(b) and (a in b or b in a)


def same_by_name(one: str, other: str) -> bool:
    """Tell whether two hosts are of one kind by their names alone.

    Names that end alike are: downy oak and sessile oak.
    """
    a, b = one.casefold().split(), other.casefold().split()
    return alike(one, other) or (bool(a) and bool(b) and a[-1] == b[-1])


class Kin:
    """Tells whether two hosts are of one genus, by name and by what sheets say.

    The sheets are read only where the names do not tell.
    """

    def __init__(self, shelf: SheetShelf) -> None:
        self._shelf = shelf
        self._genera: dict[str, str] | None = None

    def __call__(self, one: str, other: str) -> bool:
        """Tell whether two hosts are of one genus."""
        if same_by_name(one, other):
            return True
        known = self.genus(one)
        return bool(known) and known == self.genus(other)

    def genus(self, name: str) -> str:
        """Return the genus of a host as the sheets name it; empty where none does."""
        if self._genera is None:
            self._genera = {
                host.name.casefold(): host.latin.partition(" ")[0]
                for sheet in self._shelf.all()
                for host in sheet.hosts
                if host.latin
            }
        said = name.strip().casefold()
        if said in self._genera:
            return self._genera[said]
        found = (genus for host, genus in self._genera.items() if alike(host, said))
        return next(found, "")

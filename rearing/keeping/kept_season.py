"""The season as it was last worked out, and how good its windows had been."""

from __future__ import annotations

from dataclasses import is_dataclass
from typing import TYPE_CHECKING, Any

from rearing.keeping import leaf_need, outlook, ribbons, season, season_rows
from rearing.keeping.last_good import LastGood
from rearing.keeping.past_windows import Past, PastWindows
from rearing.keeping.reach import Supply
from rearing.keeping.season_facts import Flown
from rearing.science.honesty import Replayed
from rearing.science.to_go import HeatToGo
from rearing.terms import Sex, Stage

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path
    from types import ModuleType

_MODULES = (season_rows, season, outlook, leaf_need, ribbons)
_PAST = (PastWindows, Past, Replayed)


def kept_season(folder: Path) -> LastGood:
    """Return where seasons are kept in a folder of the keeper's."""
    own = [kind for module in _MODULES for kind in _own_kinds(module)]
    return LastGood(folder, "season", (*own, Supply, Flown, HeatToGo, Sex, Stage))


def kept_past(folder: Path) -> LastGood:
    """Return where it is kept how good the windows have been."""
    return LastGood(folder, "honesty", _PAST)


def _own_kinds(module: ModuleType) -> Iterator[type[Any]]:
    """Yield the dataclasses a module defines itself."""
    for kind in vars(module).values():
        if not isinstance(kind, type) or kind.__module__ != module.__name__:
            continue
        if is_dataclass(kind):
            yield kind

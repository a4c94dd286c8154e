"""When leaf runs short: closed trees, bare hosts, what lies cut, no tree at all."""

from __future__ import annotations

import datetime as dt
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from rearing.keeping import leaf
from rearing.keeping.leaf_plan import HostPlan, leaf_plan
from rearing.keeping.reach import set_bare
from rearing.records.book import Book
from rearing.sheets.shelf import load_all
from tests.commands.small_season import make_season
from tests.keeping.karst_book import LATER, on

if TYPE_CHECKING:
    from collections.abc import Iterator

SHELF = load_all()
ASKED = on(6, 12)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("leaf") / "leaf.rearing"
    make_season(path)
    return path


@dataclass(frozen=True, slots=True)
class Larder:
    book: Book

    def beech(self) -> HostPlan:
        plan = leaf_plan(self.book, SHELF, ASKED)
        return next(one for one in plan.hosts if one.host == "beech")

    def tree(self, name: str = "Beech 2") -> int:
        return leaf.add_tree(self.book, LATER, name=name, host="beech").new_id


@pytest.fixture
def larder(made: Path, tmp_path: Path) -> Iterator[Larder]:
    with Book.open(Path(shutil.copy(made, tmp_path))) as book:
        yield Larder(book)


def test_a_host_of_which_no_tree_is_entered_is_short_from_tomorrow(
    larder: Larder,
) -> None:
    beech = larder.beech()
    assert (beech.short_on, beech.short_why) == (
        ASKED + dt.timedelta(days=1),
        "no tree of it is entered",
    )


def test_a_tree_that_is_closed_for_some_days_makes_it_short_on_them(
    larder: Larder,
) -> None:
    tree = larder.tree()
    leaf.close_tree(
        *(larder.book, LATER),
        tree_id=tree,
        since=on(6, 15),
        until=on(6, 20),
        why="sprayed",
    )
    beech = larder.beech()
    assert (beech.short_on, beech.short_why) == (on(6, 15), "closed: Beech 2")


def test_another_tree_helps_out(larder: Larder) -> None:
    tree = larder.tree()
    larder.tree("Beech 3")
    leaf.close_tree(
        *(larder.book, LATER),
        tree_id=tree,
        since=on(6, 15),
        until=on(6, 20),
        why="sprayed",
    )
    assert larder.beech().short_on is None


def test_what_lies_cut_puts_it_off(larder: Larder) -> None:
    leaf.cut_leaf(larder.book, LATER, host="beech", on=ASKED, grams=1500, sure=True)
    beech = larder.beech()
    assert beech.supply.lying_g == pytest.approx(1460, abs=40)
    assert beech.supply.lasts_to is not None
    assert beech.short_on == beech.supply.lasts_to + dt.timedelta(days=1)


def test_a_host_that_is_bare_is_short(larder: Larder) -> None:
    larder.tree()
    set_bare(larder.book, LATER, host="beech", day=on(6, 25))
    beech = larder.beech()
    assert (beech.short_on, beech.short_why) == (on(6, 25), "it is bare by then")

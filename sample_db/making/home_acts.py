"""The home of the sample season: sites, places in walking order, trees."""

from __future__ import annotations

import datetime as dt
from functools import partial
from typing import TYPE_CHECKING, Any

from rearing.keeping import facts, lamp, leaf, leaf_tests, notes, places
from rearing.terms import TreeSign
from sample_db.making.scribe import Act, Scribe, only

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from rearing.records.journal import Entry


_OF_TREE = ("closed", "notes", "signs", "tests")


def home_acts(scribe: Scribe, told: Mapping[str, Any]) -> Iterator[Act]:
    """Return the entries of the first day, and what befell the trees."""
    home = told["home"]
    begun = scribe.moment(home["begun"], dt.time(9))
    yield Act(begun, 0, partial(_home, scribe, home))
    for site in told["site"]:
        yield Act(begun, 1, partial(_site, scribe, site, home["zone"]))
    for place in told["place"]:
        yield Act(begun, 2, partial(_place, scribe, place))
    for tree in told["tree"]:
        yield Act(begun, 3, partial(_tree, scribe, tree))
        for closed in tree.get("closed", []):
            seen = scribe.moment(closed["on"], dt.time(19))
            yield Act(seen, 0, partial(_close, scribe, tree["name"], closed))
        for note in tree.get("notes", []):
            seen = scribe.moment(note["on"], dt.time(21, 30))
            yield Act(seen, 0, partial(_note, scribe, tree["name"], note))
        for sign in tree.get("signs", []):
            seen = scribe.moment(sign["on"], dt.time(19, 30))
            yield Act(seen, 0, partial(_sign, scribe, tree["name"], sign))
        for test in tree.get("tests", []):
            put_on = scribe.moment(test["on"], dt.time(18, 45))
            yield Act(put_on, 0, partial(_test, scribe, tree["name"], test))
            judged = scribe.moment(test["judged"], dt.time(18, 45))
            yield Act(judged, 0, partial(_judge, scribe, tree["name"], test))
    for cut in told["cut"]:
        cut_at = scribe.moment(cut["on"], dt.time(18, 30))
        yield Act(cut_at, 0, partial(_cut, scribe, cut))


def _home(scribe: Scribe, home: Mapping[str, Any], entry: Entry) -> None:
    only(home, "name", "zone", "keeper", "as_on", "begun")
    facts.set_home(
        scribe.book,
        entry,
        name=home["name"],
        zone_name=home["zone"],
        keeper=home["keeper"],
        as_on=home["as_on"],
    )


def _site(scribe: Scribe, site: dict[str, Any], zone: str, entry: Entry) -> None:
    made = lamp.add_site(scribe.book, entry, zone=zone, **site)
    scribe.name("site", site["name"], made.new_id)


def _place(scribe: Scribe, place: dict[str, Any], entry: Entry) -> None:
    made = places.add_place(scribe.book, entry, **place)
    scribe.name("place", place["name"], made.new_id)


def _tree(scribe: Scribe, tree: Mapping[str, Any], entry: Entry) -> None:
    only(tree, "name", "host", "where", "owner", "note", *_OF_TREE)
    plain = {key: tree[key] for key in tree if key not in _OF_TREE}
    made = leaf.add_tree(scribe.book, entry, **plain)
    scribe.name("tree", tree["name"], made.new_id)


def _close(scribe: Scribe, tree: str, closed: Mapping[str, Any], entry: Entry) -> None:
    leaf.close_tree(
        scribe.book,
        entry,
        tree_id=scribe.id_of("tree", tree),
        since=closed["on"],
        until=closed["until"],
        why=closed["why"],
    )


def _note(scribe: Scribe, tree: str, note: Mapping[str, Any], entry: Entry) -> None:
    notes.add_note(
        scribe.book,
        entry,
        subject="tree",
        subject_id=scribe.id_of("tree", tree),
        text=note["text"],
        on=note["on"],
    )


def _sign(scribe: Scribe, tree: str, sign: Mapping[str, Any], entry: Entry) -> None:
    only(sign, "on", "sign", "note")
    leaf.note_sign(
        scribe.book,
        entry,
        tree_id=scribe.id_of("tree", tree),
        sign=TreeSign(sign["sign"]),
        on=sign["on"],
        note=sign.get("note"),
    )


def _test(scribe: Scribe, tree: str, test: Mapping[str, Any], entry: Entry) -> None:
    only(test, "on", "number", "judged", "alive")
    made = leaf_tests.begin_test(
        scribe.book,
        entry,
        tree_id=scribe.id_of("tree", tree),
        begun_on=test["on"],
        number=test["number"],
    )
    scribe.name("leaf test", f"{tree} {test['on']}", made.new_id)


def _judge(scribe: Scribe, tree: str, test: Mapping[str, Any], entry: Entry) -> None:
    leaf_tests.judge_test(
        scribe.book,
        entry,
        test_id=scribe.id_of("leaf test", f"{tree} {test['on']}"),
        alive=test["alive"],
        on=test["judged"],
        sure=True,
    )


def _cut(scribe: Scribe, cut: Mapping[str, Any], entry: Entry) -> None:
    only(cut, "on", "tree", "host", "grams", "storage", "note")
    tree = cut.get("tree")
    leaf.cut_leaf(
        scribe.book,
        entry,
        host=cut["host"],
        on=cut["on"],
        tree_id=scribe.id_of("tree", tree) if tree else None,
        grams=cut["grams"],
        storage=cut.get("storage"),
        note=cut.get("note"),
    )

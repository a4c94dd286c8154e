"""The keys of the round: what each line offers, what opens which form, and the list."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.widgets.lines import KeyOffer
from rearing.keeping.round_lines import Task
from rearing.terms import BoxKind, Visit

if TYPE_CHECKING:
    from rearing.keeping.round_lines import RoundLine

DIGITS = "0123456789"
VISITS = {"F": Visit.FED, "C": Visit.FED_AND_CLEANED, "W": Visit.ALL_WELL}

BOX_FORMS = {
    "G": "stages",
    "X": "loss",
    "V": "move",
    "E": "feed",
    "M": "carry",
    "R": "leave",
    "Z": "close_box",
}
POT_FORMS = {"H": "fate", "L": "put_on_leaf", "M": "carry", "Z": "close_pot"}

NEXT = KeyOffer("Enter", "next", quiet=True)
_NOTE = KeyOffer("N", "note", quiet=True)
_MOVE = KeyOffer("M", "carry", quiet=True)
_SKIP = KeyOffer("S", "skip")
_COUNT = KeyOffer("0–9", "count", answers=DIGITS)
_LOOKED = KeyOffer("W", "looked, all well")
_ROOM = (KeyOffer("D", "split"),)
_BRANCH = KeyOffer("B", "another branch", quiet=True)
_INTO_TUB = KeyOffer("V", "move them")
_APART = KeyOffer("K", "keep apart, or end it", quiet=True)
_TRACE = KeyOffer("T", "who shared with it", quiet=True)
_STAGES = KeyOffer("G", "stages", quiet=True)
_LOSS = KeyOffer("X", "loss", quiet=True)

BOX_KEYS = (
    KeyOffer("F", "fed"),
    KeyOffer("C", "fed, cleaned"),
    KeyOffer("W", "all well"),
    _SKIP,
    _COUNT,
    NEXT,
    _STAGES,
    _LOSS,
    _MOVE,
    _NOTE,
)
POT_KEYS = (
    KeyOffer("H", "hatched"),
    KeyOffer("L", "put on leaf", quiet=True),
    KeyOffer("W", "looked, nothing new"),
    _SKIP,
    NEXT,
    _MOVE,
    _NOTE,
)
HATCHED_KEYS = (KeyOffer("L", "put on leaf"), POT_KEYS[0], *POT_KEYS[2:])
TUB_KEYS = (
    _LOOKED,
    _SKIP,
    _COUNT,
    NEXT,
    KeyOffer("G", "pupae found", quiet=True),
    _LOSS,
    _MOVE,
    _NOTE,
)
REST_KEYS = (NEXT, _NOTE)
TEST_KEYS = (KeyOffer("J", "how many live"), _SKIP, NEXT)

_OF_BOX = "DGXVJBEMRZKTUN"
"""Letters that open a form or panel at every box, whether its line shows them or not:
also at one that is left alone, since what is counted there may be entered."""

KEY_HELP = (
    (
        "At a box",
        "F   fed, with its usual leaf\n"
        "C   fed and cleaned\n"
        "W   all well: a look is a record, no look is a gap\n"
        "S   skip: go on, nothing is written\n"
        "0–9   begin to type a count; losses found are entered with it\n"
        "E   leaf by name, weight and cut\n"
        "G   how many in which stage, at rest, or pupae\n"
        "X   a loss and its cause\n"
        "V   move some: into another box, a new one, a tub\n"
        "D   split it into new boxes; J   join it to another\n"
        "B   a sleeve: on another branch, counted on the way\n"
        "R   given, released, sold, specimen\n"
        "K   keep it apart, or end that\n"
        "T   who shared mother, leaf, shelf or tools with it\n"
        "U   tools of its own\n"
        "Z   close it",
    ),
    (
        "At a pot",
        "H   hatched, or another fate\n"
        "0–9   begin to type how many hatched\n"
        "L   put on leaf\n"
        "W   looked, nothing new\n"
        "Z   put it away",
    ),
    ("At test larvae", "J   how many live"),
    (
        "Anywhere on the round",
        "Enter, Space   the next that is due\n"
        "↑ ↓   line by line\n"
        "→, O   open its brood\n"
        "Ctrl+K   to a box or pot by its code, due or not\n"
        "M   carry to another place\n"
        "N   a note\n"
        "A   everything, or only what is due\n"
        "Ctrl+J   away from … to …, and what would fail\n"
        "Ctrl+Shift+A   who is kept apart\n"
        "Ctrl+M   which boxes are too full\n"
        "Ctrl+P   the round on paper, with boxes to tick\n"
        "Ctrl+Z   take back, and the hand goes back there",
    ),
)


def keys_of(line: RoundLine) -> tuple[KeyOffer, ...]:
    """Return the keys a line offers; the last of them are not shown, but answer."""
    shown = _shown(line)
    if line.kind == "pot":
        hatched = KeyOffer("0–9", "", answers=DIGITS, unseen=True)
        return (*shown, hatched, KeyOffer("Z", "put away", unseen=True))
    if line.kind != "box":
        return shown
    seen = {offer.cap for offer in shown}
    hidden = [KeyOffer(cap, "", unseen=True) for cap in _OF_BOX if cap not in seen]
    if _COUNT not in shown:
        hidden.append(KeyOffer("0–9", "", answers=DIGITS, unseen=True))
    return (*shown, *hidden)


def _shown(line: RoundLine) -> tuple[KeyOffer, ...]:
    if line.kind == "test":
        return TEST_KEYS
    if line.task is Task.LEAVE_ALONE and not line.done:
        return REST_KEYS
    if line.kind == "pot":
        return HATCHED_KEYS if line.task is Task.PUT_ON_LEAF else POT_KEYS
    if line.is_tub:
        return TUB_KEYS
    asked: tuple[KeyOffer, ...] = ()
    if line.task is Task.WANDERERS:
        asked = (_INTO_TUB,)
    elif line.task is Task.MORE_ROOM:
        asked = _ROOM
    more: tuple[KeyOffer, ...] = (_BRANCH,) if line.box_kind is BoxKind.SLEEVE else ()
    more += (_APART, _TRACE) if line.quarantine or line.watched else ()
    return (*asked, *BOX_KEYS[:-2], *more, *BOX_KEYS[-2:])

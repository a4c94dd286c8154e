"""The lists of keys that F1 shows on the mothers' and the broods' pages."""

from __future__ import annotations

from rearing.desk.photos import PHOTO_KEYS

_SHEET = (
    "↑ ↓ PgUp PgDn   read on, or go from line to line\n"
    "Home End   the top and the foot of the page\n"
    "Tab   the next link, list or chart; Enter follows a link"
)

BROODS_HELP = (
    (
        "In the list",
        "↑ ↓   go to a brood\nEnter or →   open its page",
    ),
    (
        "On a brood's page",
        "← → or Ctrl+↑ ↓   the brood before or after\n"
        "Esc   back to the list\n"
        "B   a new box\n"
        "N   a note\n"
        "W   a moth emerged\n"
        "A   everything done, or the latest only\n"
        "U   the brood in numbers, or back to its page\n"
        "K   another brood laid beside it\n"
        "Enter at what was measured   corrects one figure\n" + _SHEET,
    ),
    (
        "Photos",
        PHOTO_KEYS,
    ),
    (
        "At a box",
        "C   count\n"
        "F   fed: host, grams, cut\n"
        "G   stages\n"
        "X   loss\n"
        "M   carry it to another place\n"
        "V   move animals to another box\n"
        "D   split it into new boxes; J   join it to another\n"
        "T   who shared mother, leaf, shelf or tools with it\n"
        "R   given, released, sold, specimen\n"
        "I   measured: heads, lengths, masses\n"
        "Z   close it\n"
        "N   a note on it\n"
        "Keeping it apart, its tools and a sleeve's branch are in the Entry menu.\n"
        "Asked away from the boxes, a key that several take asks which.",
    ),
    (
        "At a pot",
        "H   hatched, or another fate\n"
        "L   put on leaf\n"
        "M   carry it to another place\n"
        "Z   close it\n"
        "N   a note on it",
    ),
)

MOTHERS_HELP = (
    (
        "Females",
        "↑ ↓ or Ctrl+↑ ↓   another female\n"
        "Enter or →   into her page; Esc or ← back to the list\n"
        "E   eggs of a night; C corrects a night's number\n"
        "K   keep another female\n"
        "G   let her go\n"
        "D   second look\n"
        "S   sign of mating\n"
        "P   pairing\n"
        "N   a note\n" + _SHEET,
    ),
    (
        "Photos",
        PHOTO_KEYS,
    ),
    (
        "Her pots",
        "H   hatched, or another fate\n"
        "L   put on leaf\n"
        "M   carry it to another place\n"
        "Z   close it\n"
        "N   a note on it",
    ),
    (
        "Night book",
        "V   the night book, or back\n"
        "T   a new lamp night\n"
        "C   a check\n"
        "A   an arrival\n"
        "D   second look\n"
        "K   keep a female\n"
        "O   the lamp was dark\n"
        "N   a note",
    ),
)

"""The keys of the lamp's page, as F1 lists them."""

from __future__ import annotations

LAMP_HELP = (
    (
        "Counting, with one hand",
        "1 to 9, 0, -, =   one more of that species\n"
        "M F O   males, females, sex not looked at: holds until changed\n"
        "⌫ or Z   take back the last key, and the one before; this night's only\n"
        "N   a number for the next key: 40, about 40, 40+\n"
        "On the number pad + is male, * female, / not looked, - takes back",
    ),
    (
        "The night",
        "C or Enter   close the check: its time and temperature\n"
        "K   keep the female counted last: code, bag, wings, mated\n"
        "L   the lamp went dark, or burns again\n"
        "X   lamp out, the night ends\n"
        "S   a second look: who says it is what\n"
        "G   a species on a key\n"
        "T   another lamp tonight, or another night\n"
        "W   from paper: a table of checks\n"
        "D   read the nights back\n"
        "P   print labels or a field sheet",
    ),
    (
        "Seeing",
        "R   red view and back to dark\n"
        "[ and ]   dimmer and brighter, five steps\n"
        "F11   full screen; Alt shows the menus\n"
        "A   a tone at every key, or none",
    ),
)

"""The trade's signs for terminals that can't show them: words or plain letters."""

from __future__ import annotations

import unicodedata

_PLAIN = {
    "♂": "m",
    "♀": "f",
    "○": "o",
    "°": " deg",
    "²": "2",
    "·": "-",
    "–": "-",
    "—": "-",
    "−": "-",
    "×": "x",
    "±": "+/-",
    "“": '"',
    "”": '"',
    "‘": "'",
    "’": "'",
    "…": "...",
}


def shown(text: str, encoding: str) -> str:
    """Return text that a stream of this encoding can write, on one line.

    Signs that steer a terminal become question marks, so that a label from a book
    can't move the cursor.
    """
    tame = "".join(sign if sign.isprintable() else "?" for sign in text)
    if _can(tame, encoding):
        return tame
    if not _can("°", encoding):
        tame = tame.replace(" °C", " C").replace("°C", " C")
        tame = tame.replace(" °F", " F").replace("°F", " F")
    return "".join(
        sign if _can(sign, encoding) else _plainly(sign, encoding) for sign in tame
    )


def _plainly(sign: str, encoding: str) -> str:
    if sign in _PLAIN:
        return _PLAIN[sign]
    parts = unicodedata.normalize("NFKD", sign)
    letters = "".join(part for part in parts if not unicodedata.combining(part))
    return letters if letters and _can(letters, encoding) else "?"


def _can(text: str, encoding: str) -> bool:
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True

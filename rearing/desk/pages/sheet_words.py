"""What the sheets of the mothers and the broods both say: cautions, law, notes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.terms import LawFlag

if TYPE_CHECKING:
    from collections.abc import Iterable

    from rearing.sheets.sheet import SpeciesSheet

LOCAL_RULES = "Follow local rules; ask a qualified person."
_LAW = {
    LawFlag.FREE: "No permit is known to be needed.",
    LawFlag.PERMIT: "Keeping it may need a permit.",
    LawFlag.DO_NOT_KEEP: "It may not be kept without a permit.",
    LawFlag.DO_NOT_RELEASE: "It may not be released here.",
}


def caution_words(sheet: SpeciesSheet, hosts: Iterable[str] = ()) -> str:
    """Return the cautions of a species and of the leaf it is given, with sources."""
    said = [f"{one.text} ({_known(one.tag, one.source)})" for one in sheet.cautions]
    given = set(hosts)
    said += [
        f"{host.name.capitalize()}: {host.caution} ({_known(host.tag, host.source)})"
        for host in sheet.hosts
        if host.caution and (not given or host.name in given)
    ]
    return "\n".join([*said, LOCAL_RULES]) if said else ""


def _known(tag: str, source: str) -> str:
    """Return how something is known and where from, nothing said twice."""
    return source if source.startswith(tag) else f"{tag}: {source}"


def law_words(sheet: SpeciesSheet) -> str:
    """Return the law's reminder, which is never advice; empty where none is known."""
    if sheet.law.flag is None and not sheet.law.note:
        return ""
    flag = _LAW[sheet.law.flag] if sheet.law.flag is not None else ""
    said = " ".join(part for part in (flag, sheet.law.note) if part)
    return f"Law: {said} The local authority decides. ({sheet.law.tag})"

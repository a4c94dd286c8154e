"""What a forecast's windows come to, and how good such windows have been.

Both sexes, winter or not, leaf-drop and past windows, as lines and as JSON.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.commands.paths import data_folder
from rearing.keeping.kept_season import kept_past
from rearing.keeping.last_good import last_change
from rearing.keeping.past_windows import age_now, past_windows, such

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator

    from rearing.keeping.outlook import Outlook
    from rearing.keeping.past_windows import Account, PastWindows
    from rearing.keeping.season_rows import Ribbon
    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf


def past_of(book: Book, shelf: SheetShelf, on: dt.date) -> PastWindows:
    """Return the past windows: those kept if nothing was entered since, else anew."""
    store, change = kept_past(data_folder()), last_change(book)
    kept = store.read(book, on)
    if kept is not None and kept.change == change:
        found: PastWindows = kept.answer
        return found
    found = past_windows(book, shelf, on)
    for line in book.journal(most=1):
        store.keep(book, on, found, line.at, change)
    return found


def such_of(ribbon: Ribbon, past: PastWindows) -> Account:
    """Return the past windows that are most like those of a brood."""
    return such(past, ribbon.taxon, age_now(ribbon.groups))


def outlook_lines(ribbon: Ribbon, past: PastWindows) -> Iterator[str]:
    """Yield what is to be said of a brood after its windows, a sentence each."""
    for run in ribbon.together:
        nights = f"{_day(run.first)} to {_day(run.last)}"
        yield f"Both sexes likely on the nights of {nights}."
    if ribbon.outlook.held_back is not None:
        yield f"{ribbon.outlook.held_back.words}."
    for sentence in ribbon.outlook.sentences:
        yield f"{sentence}."
    words = such_of(ribbon, past).such_words
    if words:
        yield f"{words}."


def brood_data(ribbon: Ribbon, past: PastWindows) -> dict[str, object]:
    """Return the same as JSON; what does not apply is null."""
    return {
        "brood": ribbon.code,
        "taxon": ribbon.taxon,
        **_outlook_data(ribbon.outlook),
        "such_windows": account_data(such_of(ribbon, past)),
    }


def _outlook_data(told: Outlook) -> dict[str, object]:
    direct, drop, held = told.direct, told.leaf_drop, told.held_back
    bare = None if drop is None else drop.bare_on
    return {
        "both_sexes": [
            f"{run.first.isoformat()}/{run.last.isoformat()}" for run in told.together
        ],
        "both_sexes_most": max((one.both for one in told.emerging), default=None),
        "held_back_days": None if held is None else held.days,
        "held_back_nights": None if held is None else held.nights,
        "direct": None if direct is None else direct.chance,
        "direct_about": None if direct is None else direct.about.isoformat(),
        "direct_half_at_h": None if direct is None else direct.critical_h,
        "leaf": None if drop is None else drop.host,
        "leaf_bare_on": None if bare is None else bare.isoformat(),
        "down_before_bare_half": None if drop is None else drop.half,
        "down_before_bare_all": None if drop is None else drop.last,
    }


def account_data(account: Account) -> dict[str, object]:
    """Return what past windows come to as JSON."""
    found = account.score
    return {
        "windows_looked_back_on": len(account.windows),
        "held": None if found is None else found.held.share,
        "held_low": None if found is None else found.held.low,
        "held_high": None if found is None else found.held.high,
        "error_days": None if found is None else found.error_days,
        "calendar_error_days": None if found is None else found.calendar_error_days,
    }


def _day(day: dt.date) -> str:
    return f"{day.day} {day:%B}"

"""The season, its leaf and its past windows as the tables that are handed out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.page import Shown

if TYPE_CHECKING:
    import datetime as dt

    from PySide6.QtWidgets import QWidget

    from rearing.keeping.past_windows import PastWindows
    from rearing.keeping.season_rows import SeasonView


def shown_season(view: SeasonView | None, where: QWidget) -> tuple[Shown, ...]:
    """Return the windows of the season's broods, and the leaf of its weeks."""
    from rearing.exchange.leaf_tables import leaf_weeks_table
    from rearing.exchange.window_tables import windows_table

    if view is None:
        return ()
    groups = [group for ribbon in view.ribbons for group in ribbon.groups]
    found = (
        Shown(windows_table("the season", groups), where),
        Shown(leaf_weeks_table(view.weeks), where),
    )
    return tuple(one for one in found if one.table.rows)


def shown_past(
    past: PastWindows | None, zone: dt.tzinfo, where: QWidget
) -> tuple[Shown, ...]:
    """Return the windows of finished broods, and whether each held."""
    from rearing.exchange.window_tables import replayed_table

    if past is None or not past.windows:
        return ()
    replayed = [(one.brood, one.window) for one in past.windows]
    return (Shown(replayed_table(replayed, zone), where),)

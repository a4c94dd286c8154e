"""Day first or month first: decided from every date in the file, and said why."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import TYPE_CHECKING, NamedTuple

from rearing.exchange.temperature_days import day_number, is_figures, orders_of
from rearing.exchange.temperature_preview import DateOrder

if TYPE_CHECKING:
    from collections.abc import Iterable


_PROOFS = 12


class Order(NamedTuple):
    """An order of date figures, the words for why, and whether to ask."""

    order: DateOrder
    because: str
    is_open: bool = False


def settle(texts: Iterable[str], *, day_first: bool | None) -> Order:
    """Decide the order of dates from all day texts of a file, in their order."""
    figures = _figures_until_proved(texts)
    if not figures:
        return Order(DateOrder.YEAR_FIRST, "")
    if day_first is not None and not _are_year_first(figures):
        order = DateOrder.DAY_FIRST if day_first else DateOrder.MONTH_FIRST
        return Order(order, "as you said")
    votes: Counter[DateOrder] = Counter()
    for text in figures:
        votes.update(orders_of(text))
    most = max(votes.values(), default=0)
    best = [order for order in DateOrder if most and votes[order] == most]
    if not best:
        return Order(DateOrder.YEAR_FIRST, "")
    if len(best) == 1:
        return Order(best[0], _why_sure(best[0], figures))
    return _smoothest(best, figures)


def _figures_until_proved(texts: Iterable[str]) -> list[str]:
    """Return the distinct dates in figures, as many as the decision needs.

    A dozen dates that allow one and the same order only, and none that contradicts
    them, settle it; otherwise the whole file is looked at.
    """
    seen: dict[str, None] = {}
    proofs: Counter[DateOrder] = Counter()
    for text in texts:
        if text in seen or not is_figures(text):
            continue
        seen[text] = None
        if len(possible := orders_of(text)) == 1:
            proofs[possible[0]] += 1
            if len(proofs) == 1 and proofs.total() >= _PROOFS:
                break
    return list(seen)


def _are_year_first(figures: list[str]) -> bool:
    return all(text.lstrip("(")[:4].isdigit() for text in figures)


def _why_sure(order: DateOrder, figures: list[str]) -> str:
    if order is DateOrder.YEAR_FIRST:
        return "the year leads"
    other = (
        DateOrder.MONTH_FIRST if order is DateOrder.DAY_FIRST else DateOrder.DAY_FIRST
    )
    shown = next((text for text in figures if other not in orders_of(text)), "")
    return f"{shown} shows it"


def _smoothest(orders: list[DateOrder], figures: list[str]) -> Order:
    """Take the order in which the days wander least; ask all the same."""
    paths = []
    for order in orders:
        days = [day_number(text, order) for text in figures]
        paths.append(sum(abs(b - a) for a, b in pairwise(days)))
    least = min(paths)
    tied = [order for order, path in zip(orders, paths, strict=True) if path == least]
    # Two equally good: the day leads in most of the world (common practice).
    order = DateOrder.DAY_FIRST if DateOrder.DAY_FIRST in tied else tied[0]
    if len(figures) > 2 and len(tied) == 1:
        return Order(order, "so the days follow each other", is_open=True)
    return Order(order, "no day over 12 shows which", is_open=True)

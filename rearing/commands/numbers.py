"""The numbers of a brood, or of a species, on paper or as JSON.

JSON of a brood: ``on`` (ISO date), ``brood``, ``taxon``, ``eggs``, ``waiting``,
``hatched``, ``hatched_share`` and ``survived`` (null, or a share: ``share``, ``low``
and ``high`` with Wilson's 95 % limits), ``came`` (larvae that hatched or came from
elsewhere), ``alive`` (each a ``stage`` and a ``number``), ``left`` (each a ``why`` and
a number), ``moths`` (emerged), ``unaccounted``, ``survived_if_found`` (share, were the
unaccounted alive), ``losses`` (each a why, a stage and a number), ``stages`` (the life
table by stage: ``x``, ``n``, ``d``, left, ``l``, ``q``, ``q_low``, ``q_high``, ``k``),
``days`` (by day of a loss: on, ``day`` since the first came, n, d, left, l by
Kaplan–Meier with ``l_low`` and ``l_high``, q and its limits, k), ``ledger`` (of the
brood: eggs, hatched, ``other_eggs``, waiting, came, ``lost``, left, unaccounted, alive,
``counted``, and its ``boxes``: ``label``, came, ``moved``, lost, left, unaccounted,
number, ``counted_on``, ``is_counted``, ``closed``; came is the sum of the next five),
``hatch`` (each pot's: ``pot``, ``first`` and ``last`` night laid, ``nights``, ``laid``,
waiting, hatched, ``other``, and a share), ``looks`` (each on, its ``stages`` with their
numbers, how many ``resting``, the labels of its boxes), ``figures`` (what was measured:
``what``, ``unit``, stage or null, number, ``mean``, low, high, ``first_on``,
``last_on``), ``box`` (null, or what became of those put into one: label, ``onward``,
came, lost, left, unaccounted, ``mixed``, alive) and ``against`` (null, or the
comparison with another brood: brood, hatched_share, survived, ``hatch_difference``
(share, low, high), losses (each a why, ``one`` and ``other``), ``pace`` (each a stage
with the days until half were seen in it, one and other), ``words``, ``died``,
``expected``, ``chi_square``, ``p``; the last four null where they can't be compared).
Of a species: on, taxon and losses, each with its year beside.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.commands.forecast_text import brood_named
from rearing.keeping.comparison import Comparison, beside, side_of
from rearing.keeping.followed import Followed, followed
from rearing.keeping.life import life_of, losses_of_species
from rearing.keeping.numbers_page import NumbersPage, numbers_page
from rearing.problems import Refusal

if TYPE_CHECKING:
    import datetime as dt

    from rearing.commands.paper import Paper
    from rearing.records.book import Book


@dataclass(frozen=True, slots=True)
class NumbersAsked:
    """Whose numbers are asked for: a brood's, or a species'."""

    brood: str | None = None
    against: str | None = None
    box: str | None = None
    species: str | None = None


@dataclass(frozen=True, slots=True)
class NumbersFound:
    """A brood's numbers, one of its boxes and another brood where these were asked."""

    page: NumbersPage
    box: Followed | None
    beside: Comparison | None


def write_numbers(
    book: Book, asked: NumbersAsked, on: dt.date, paper: Paper, *, as_json: bool = False
) -> None:
    """Write the numbers of a brood or a species as on a day."""
    if asked.brood is None:
        _write_species(book, asked.species or "", on, paper, as_json=as_json)
        return
    brood = brood_named(book, asked.brood, on)
    page = numbers_page(book, brood.id, on)
    other = None
    if asked.against is not None:
        against = brood_named(book, asked.against, on)
        if against.id == brood.id:
            raise Refusal("That is the same brood. Which other?", field="against")
        other = side_of(life_of(book, against, on))
    found = NumbersFound(
        page=page,
        box=None if asked.box is None else followed(page.life.fates, asked.box),
        beside=None if other is None else beside(page.side, other),
    )
    # Imported here: each is needed for its own answer only.
    if as_json:
        from rearing.commands.numbers_data import numbers_data

        paper.json(numbers_data(found))
    else:
        from rearing.commands.numbers_text import write_brood

        write_brood(found, paper)


def _write_species(
    book: Book, taxon: str, on: dt.date, paper: Paper, *, as_json: bool
) -> None:
    rows = losses_of_species(book, taxon, on)
    if as_json:
        losses = [
            {"year": year, "why": x.why, "stage": str(x.stage), "number": x.number}
            for year, x in rows
        ]
        paper.json({"on": on.isoformat(), "taxon": taxon, "losses": losses})
        return
    paper.line(f"Losses of {taxon} in all broods, as on {full_day(on)}")
    if not rows:
        paper.line("None is in the book.")
        return
    table = [(str(y), str(x.stage), x.why, str(x.number)) for y, x in rows]
    paper.table(table, indent=2, right="...r")

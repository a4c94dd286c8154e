"""The numbers of a brood, or of a species, on paper or as JSON.

JSON of a brood: ``on`` (ISO date), ``brood``, ``taxon``, ``eggs``, ``waiting``,
``hatched``, ``hatched_share`` and ``survived`` (null, or a share: ``share``, ``low``
and ``high`` with Wilson's 95 % limits), ``came`` (larvae that hatched or came from
elsewhere), ``alive`` (each a ``stage`` and a ``number``), ``left`` (each a ``why`` and
a number), ``moths`` (emerged), ``unaccounted``, ``survived_if_found`` (share, were the
unaccounted alive), ``losses`` (each a why, a stage and a number), ``stages`` (the life
table by stage: ``x``, ``n``, ``d``, left, ``l``, ``q``, ``q_low``, ``q_high``, ``k``),
``days`` (by day of a loss: on, ``day`` since the first came, n, d, left, l by
Kaplan–Meier with ``l_low`` and ``l_high``, q and its limits, k), ``box`` (null, or
what became of those put into one: ``label``, ``onward``, came, ``lost``, left,
unaccounted, ``mixed``, alive) and ``against`` (null, or the comparison with another
brood: brood, survived, ``died``, ``expected``, ``chi_square``, ``p``; the last four
null where they can't be compared). Of a species: on, taxon and losses, each with its
year beside.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.commands.forecast_text import brood_named
from rearing.keeping.fates import End
from rearing.keeping.followed import Followed, followed
from rearing.keeping.life import compared, life_of, losses_of_species
from rearing.keeping.moments import counted, stages_words

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping

    from rearing.commands.paper import Paper
    from rearing.keeping.life import Life, Loss
    from rearing.records.book import Book
    from rearing.science.proportions import Proportion
    from rearing.science.survival import Compared
    from rearing.terms import Stage


@dataclass(frozen=True, slots=True)
class NumbersAsked:
    """Whose numbers are asked for: a brood's, or a species'."""

    brood: str | None = None
    against: str | None = None
    box: str | None = None
    species: str | None = None


@dataclass(frozen=True, slots=True)
class _Answer:
    life: Life
    box: Followed | None
    other: Life | None
    test: Compared | None


def write_numbers(
    book: Book, asked: NumbersAsked, on: dt.date, paper: Paper, *, as_json: bool = False
) -> None:
    """Write the numbers of a brood or a species as on a day."""
    if asked.brood is None:
        _write_species(book, asked.species or "", on, paper, as_json=as_json)
        return
    life = life_of(book, brood_named(book, asked.brood, on), on)
    other = None
    if asked.against is not None:
        other = life_of(book, brood_named(book, asked.against, on), on)
    found = _Answer(
        life=life,
        box=None if asked.box is None else followed(life.fates, asked.box),
        other=other,
        test=None if other is None else compared(life, other),
    )
    if as_json:
        paper.json(_data(found))
    else:
        _write(found, paper)


def _write(found: _Answer, paper: Paper) -> None:
    life, fates = found.life, found.life.fates
    paper.line(f"{fates.brood.code}  {fates.taxon}, as on {full_day(fates.on)}")
    for sentence in _sentences(life):
        paper.paragraph(sentence, indent=2, later=2)
    if life.losses:
        paper.line()
        paper.line("Losses by stage and cause")
        rows = [(str(x.stage), x.why, str(x.number)) for x in life.losses]
        paper.table(rows, indent=2, right="..r")
    _write_stages(life, paper)
    _write_days(life, paper)
    if found.box is not None:
        _write_followed(found.box, paper)
    if found.other is not None:
        _write_against(life, found.other, found.test, paper)


def _sentences(life: Life) -> list[str]:
    fates = life.fates
    told = []
    if fates.eggs:
        waiting = f", {fates.waiting} waiting" if fates.waiting else ""
        share = f" ({_share(life.hatch)})" if life.hatch else ""
        told.append(f"{fates.eggs} eggs: {fates.hatched} hatched{share}{waiting}.")
    if life.came:
        alive = stages_words(fates.alive) or "none"
        moths = f", {counted(life.moths, 'moth')} flown" if life.moths else ""
        left = fates.number(End.LEFT) - life.moths
        away = f", {left} left alive" if left else ""
        told.append(f"Of {life.came} larvae {alive} alive{moths}{away}.")
    if life.survived is not None:
        kept = f"Survived of those kept: {_share(life.survived)}"
        if life.unaccounted and life.survived_if_found is not None:
            kept += (
                f"; {life.survived_if_found:.0%} if the {life.unaccounted} unaccounted "
                "live"
            )
        told.append(f"{kept}.")
    return told


def _write_stages(life: Life, paper: Paper) -> None:
    if not life.stages:
        return
    paper.line()
    paper.line("Life table by stage (unaccounted taken as lost)")
    rows = [["x", "n", "d", "left or still in it", "l", "q", "95%", "k"]]
    rows += [
        [
            *(row.x, str(row.n), str(row.d), str(row.left)),
            *(f"{row.l:.3f}", f"{row.q:.3f}", f"{row.q_low:.3f}–{row.q_high:.3f}"),
            "" if row.k is None else f"{row.k:.3f}",
        ]
        for row in life.stages
    ]
    paper.table(rows, indent=2, right=".rrrrrrr")


def _write_days(life: Life, paper: Paper) -> None:
    if not life.days:
        return
    paper.line()
    paper.line("By day since the first came; l by Kaplan–Meier with its 95% limits")
    rows = [["", "day", "n", "d", "left", "l", "95%", "q", "k"]]
    rows += [
        [
            *(f"{x.on.day} {x.on:%b %Y}", str(x.day), str(x.n), str(x.d)),
            *(str(x.left), f"{x.l:.3f}", f"{x.l_low:.3f}–{x.l_high:.3f}"),
            *(f"{x.q.share:.3f}", "" if x.k is None else f"{x.k:.3f}"),
        ]
        for x in life.days
    ]
    paper.table(rows, indent=2, right=".rrrrrrrr")


def _write_followed(box: Followed, paper: Paper) -> None:
    parts = [stages_words(box.alive)] if box.alive else []
    parts += [f"{number} {why}" for why, number in (*box.lost.items(),)]
    parts += [f"{number} {why}" for why, number in (*box.left.items(),)]
    if box.mixed:
        parts.append(f"{box.mixed} put on among others")
    if box.unaccounted:
        parts.append(f"{box.unaccounted} unaccounted")
    by = f" (and {', '.join(box.onward)})" if box.onward else ""
    paper.line()
    paper.paragraph(f"Of {box.came} put into {box.label}{by}: {', '.join(parts)}.")


def _write_against(
    life: Life, other: Life, test: Compared | None, paper: Paper
) -> None:
    paper.line()
    code = other.fates.brood.code
    kept = _share(other.survived) if other.survived else "nothing came"
    paper.paragraph(f"Against {code}: survived of those kept {kept}.")
    if test is None:
        paper.paragraph("They can't be compared: none of both lived at any loss.")
        return
    paper.paragraph(
        f"{life.fates.brood.code} lost {test.died}, {test.expected:.1f} if both were "
        f"alike (log-rank chi-square {test.chi_square:.2f}, p {_p(test.p)}). Animals "
        "of one mother, box and day die alike: take it as a hint, not as proof."
    )


def _write_species(
    book: Book, taxon: str, on: dt.date, paper: Paper, *, as_json: bool
) -> None:
    rows = losses_of_species(book, taxon, on)
    if as_json:
        losses = [{"year": year, **_loss_data(loss)} for year, loss in rows]
        paper.json({"on": on.isoformat(), "taxon": taxon, "losses": losses})
        return
    paper.line(f"Losses of {taxon} in all broods, as on {full_day(on)}")
    if not rows:
        paper.line("None is in the book.")
        return
    table = [(str(y), str(x.stage), x.why, str(x.number)) for y, x in rows]
    paper.table(table, indent=2, right="...r")


def _share(found: Proportion) -> str:
    return f"{found.share:.0%}, {found.low:.0%}–{found.high:.0%}"


def _p(p: float) -> str:
    return "below 0.001" if p < 0.001 else f"{p:.3f}"


def _data(found: _Answer) -> dict[str, object]:
    life, fates = found.life, found.life.fates
    left: Counter[str] = Counter()
    for one in fates.ended:
        if one.end is End.LEFT:
            left[one.why] += one.number
    return {
        "on": fates.on.isoformat(),
        "brood": fates.brood.code,
        "taxon": fates.taxon,
        "eggs": fates.eggs,
        "waiting": fates.waiting,
        "hatched": fates.hatched,
        "hatched_share": _share_data(life.hatch),
        "came": life.came,
        "alive": _stages_data(fates.alive),
        "left": _why_data(left),
        "moths": life.moths,
        "unaccounted": life.unaccounted,
        "survived": _share_data(life.survived),
        "survived_if_found": life.survived_if_found,
        "losses": [_loss_data(loss) for loss in life.losses],
        "stages": [asdict(row) for row in life.stages],
        "days": list(_days_data(life)),
        "box": None if found.box is None else _box_data(found.box),
        "against": _against_data(found),
    }


def _days_data(life: Life) -> Iterable[dict[str, object]]:
    for x in life.days:
        limits = {"q": x.q.share, "q_low": x.q.low, "q_high": x.q.high, "k": x.k}
        risk = {"n": x.n, "d": x.d, "left": x.left}
        living = {"l": x.l, "l_low": x.l_low, "l_high": x.l_high}
        yield {"on": x.on.isoformat(), "day": x.day, **risk, **living, **limits}


def _stages_data(numbers: Mapping[Stage, int]) -> list[dict[str, object]]:
    return [{"stage": str(stage), "number": n} for stage, n in numbers.items()]


def _why_data(numbers: Mapping[str, int]) -> list[dict[str, object]]:
    return [{"why": why, "number": number} for why, number in numbers.items()]


def _loss_data(loss: Loss) -> dict[str, object]:
    return {"why": loss.why, "stage": str(loss.stage), "number": loss.number}


def _box_data(box: Followed) -> dict[str, object]:
    return {
        "label": box.label,
        "onward": list(box.onward),
        "came": box.came,
        "lost": _why_data(box.lost),
        "left": _why_data(box.left),
        "unaccounted": box.unaccounted,
        "mixed": box.mixed,
        "alive": _stages_data(box.alive),
    }


def _against_data(found: _Answer) -> dict[str, object] | None:
    if found.other is None:
        return None
    test = found.test
    return {
        "brood": found.other.fates.brood.code,
        "survived": _share_data(found.other.survived),
        "died": None if test is None else test.died,
        "expected": None if test is None else test.expected,
        "chi_square": None if test is None else test.chi_square,
        "p": None if test is None else test.p,
    }


def _share_data(found: Proportion | None) -> dict[str, float] | None:
    if found is None:
        return None
    return {"share": found.share, "low": found.low, "high": found.high}

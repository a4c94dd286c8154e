"""A brood's numbers on paper: life table, ledger, hatch, looks, another beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.commands.days import full_day
from rearing.keeping.comparison import beside_rows, beside_words
from rearing.keeping.fates import End
from rearing.keeping.moments import counted, short_day, span_words, stages_words

if TYPE_CHECKING:
    from rearing.commands.numbers import NumbersFound
    from rearing.commands.paper import Paper
    from rearing.keeping.box_ledgers import BoxLedger, BroodLedger
    from rearing.keeping.comparison import Comparison
    from rearing.keeping.followed import Followed
    from rearing.keeping.life import Life
    from rearing.keeping.numbers_page import NumbersPage
    from rearing.science.proportions import Proportion


def write_brood(found: NumbersFound, paper: Paper) -> None:
    """Write all that is known in numbers of a brood."""
    page, life = found.page, found.page.life
    fates = life.fates
    paper.line(f"{fates.brood.code}  {fates.taxon}, as on {full_day(fates.on)}")
    for sentence in _sentences(life):
        paper.paragraph(sentence, indent=2, later=2)
    if life.losses:
        paper.line()
        paper.line("Losses by stage and cause")
        rows = [(str(x.stage), x.why, str(x.number)) for x in life.losses]
        paper.table(rows, indent=2, right="..r")
    _write_ledger(page.ledger, paper)
    _write_hatch(page, paper)
    _write_looks(page, paper)
    _write_figures(page, paper)
    _write_stages(life, paper)
    _write_days(life, paper)
    if found.box is not None:
        _write_followed(found.box, paper)
    if found.beside is not None:
        _write_beside(found.beside, paper)


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


def _write_ledger(ledger: BroodLedger, paper: Paper) -> None:
    if not ledger.boxes:
        return
    paper.line()
    paper.line("Ledger (what came is the sum of the next five)")
    rows = [["box", "came", "moved on", "lost", "left", "unaccounted", "here", ""]]
    rows += [
        [
            *(box.label, str(box.came), str(box.moved), str(box.lost), str(box.left)),
            *(str(box.unaccounted), str(box.number), _known(box)),
        ]
        for box in ledger.boxes
    ]
    paper.table(rows, indent=2, right=".rrrrrr.")


def _known(box: BoxLedger) -> str:
    if box.closed:
        return "closed"
    if box.counted_on is None:
        return "by the book"
    day = short_day(box.counted_on)
    return f"counted {day}" if box.is_counted else f"by the book since {day}"


def _write_hatch(page: NumbersPage, paper: Paper) -> None:
    if not page.hatch:
        return
    paper.line()
    paper.line("Hatch by the night laid; share of those decided with its 95% limits")
    rows = [["pot", "laid", "eggs", "hatched", "other", "waiting", "share"]]
    for x in page.hatch:
        nights = "not known"
        if x.first is not None and x.last is not None:
            nights = span_words(x.first, x.last)
        numbers = (str(x.laid), str(x.hatched), str(x.other), str(x.waiting))
        share = _share(x.share) if x.share else "none decided yet"
        rows.append([x.pot, nights, *numbers, share])
    paper.table(rows, indent=2, right="..rrrr.")


def _write_looks(page: NumbersPage, paper: Paper) -> None:
    if not page.looks:
        return
    paper.line()
    paper.line("Stages seen, by day of looking")
    rows = [
        (
            short_day(look.on),
            stages_words(look.numbers),
            f"{look.resting} at rest" if look.resting else "",
            f"in {', '.join(look.boxes)}",
        )
        for look in page.looks
    ]
    paper.table(rows, indent=2)


def _write_figures(page: NumbersPage, paper: Paper) -> None:
    if not page.figures:
        return
    paper.line()
    paper.line("Measured")
    rows = [["what", "stage", "number", "mean", "range"]]
    rows += [
        [
            *(str(x.what), str(x.stage or "not noted"), str(x.number)),
            *(f"{x.mean:.3g}", f"{x.low:g} to {x.high:g} {x.what.unit}"),
        ]
        for x in page.figures
    ]
    paper.table(rows, indent=2, right="..rr.")


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


def _write_beside(found: Comparison, paper: Paper) -> None:
    one, other = found.one, found.other
    paper.line()
    kept = _share(other.life.survived) if other.life.survived else "nothing came"
    paper.paragraph(f"Against {other.code}: survived of those kept {kept}.")
    rows = [("", one.code, other.code), *beside_rows(found, _share)]
    paper.table(rows, indent=2)
    if found.test is not None:
        paper.paragraph(
            f"{one.code} lost {found.test.died}, {found.test.expected:.1f} if both "
            f"were alike (log-rank chi-square {found.test.chi_square:.2f}, "
            f"p {_p(found.test.p)})."
        )
    paper.paragraph(beside_words(found))


def _share(found: Proportion) -> str:
    return f"{found.share:.0%}, {found.low:.0%}–{found.high:.0%}"


def _p(p: float) -> str:
    return "below 0.001" if p < 0.001 else f"{p:.3f}"

"""How a brood's losses are written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.widgets.losses import Loss, LossKind
from rearing.keeping.moments import counted
from rearing.terms import Cause, EggFate

if TYPE_CHECKING:
    from rearing.keeping.broods import BroodPage

_EGG_WORDS = {
    EggFate.COLLAPSED: "collapsed eggs",
    EggFate.DEAD_IN_SHELL: "dead in shell",
    EggFate.MOULDY: "mouldy eggs",
    EggFate.PARASITISED: "parasitised eggs",
    EggFate.LOST: "eggs lost",
}


def losses(page: BroodPage) -> tuple[Loss, ...]:
    """Return what was lost, eggs first; eggs given away are no loss."""
    found = []
    for lost in page.numbers.losses:
        if not lost.of_eggs:
            found.append(Loss(LossKind.ANIMAL, lost.number, lost.cause))
        elif lost.cause != EggFate.GIVEN:
            dead = lost.cause == EggFate.DEAD_IN_SHELL
            kind = LossKind.DEAD_IN_SHELL if dead else LossKind.EGG
            word = _EGG_WORDS[EggFate(lost.cause)]
            found.append(Loss(kind, lost.number, word))
    missing = max(page.numbers.unaccounted, 0)
    return (*found, Loss(LossKind.UNACCOUNTED, missing, "unaccounted"))


def losses_sentence(page: BroodPage) -> str:
    """Return how many of how many are gone, and as what."""
    eggs, larvae, missing = _sums(page)
    gone = eggs + larvae + missing
    if not gone:
        return "None lost so far."
    parts = [
        words
        for number, words in (
            (eggs, counted(eggs, "egg")),
            (larvae, _larvae_words(page, larvae)),
            (missing, f"{missing} that no record explains"),
        )
        if number
    ]
    return f"{gone} of {page.numbers.eggs} are gone: {', '.join(parts)}."


def _larvae_words(page: BroodPage, larvae: int) -> str:
    """Return how many animals were lost, and of how many the cause is not known."""
    unknown = sum(
        lost.number
        for lost in page.numbers.losses
        if not lost.of_eggs and lost.cause == Cause.NOT_KNOWN
    )
    said = f"{larvae} found dead or missed"
    if not unknown:
        return f"{said} with a cause"
    if unknown == larvae:
        return f"{said}, {'all ' if larvae > 1 else ''}of no known cause"
    return f"{said}, {unknown} of them of no known cause"


def losses_note(page: BroodPage) -> str:
    """Return the margin's note: 19 of 86."""
    return f"{sum(_sums(page))} of {page.numbers.eggs}"


def found_again(page: BroodPage) -> str:
    """Return in words when counts found more than the book had."""
    if page.numbers.unaccounted < 0:
        return (
            f"{-page.numbers.unaccounted} more were counted than ever went in: an "
            "earlier number was low."
        )
    again = sum(
        -count.missing
        for box in page.boxes
        for count in box.standing.counts
        if count.missing < 0
    )
    if not again:
        return ""
    were = "one was" if again == 1 else f"{again} were"
    return f"Counted again, {were} found that had been missed: a correction, no birth."


def _sums(page: BroodPage) -> tuple[int, int, int]:
    numbers = page.numbers
    eggs = sum(
        lost.number
        for lost in numbers.losses
        if lost.of_eggs and lost.cause != EggFate.GIVEN
    )
    larvae = sum(lost.number for lost in numbers.losses if not lost.of_eggs)
    return eggs, larvae, max(numbers.unaccounted, 0)


def hatch_words(page: BroodPage) -> str:
    """Return the share that hatched with its interval, in words."""
    numbers = page.numbers
    share = numbers.hatched_share
    if share is None or not numbers.hatched:
        return ""
    low, high = round(numbers.hatch_low * 100), round(numbers.hatch_high * 100)
    settled = numbers.eggs - numbers.waiting
    so_far = f"; {numbers.waiting} still wait" if numbers.waiting else ""
    return (
        f"Hatched {numbers.hatched} of {settled}, {share * 100:.0f} % "
        f"({low} to {high} at 95 in 100){so_far}."
    )

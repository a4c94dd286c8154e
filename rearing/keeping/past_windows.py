"""What past windows come to, in sentences: by species, and by when they were made."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from rearing.keeping.honesty import honesty
from rearing.keeping.lessons import finished_broods
from rearing.science.honesty import Replayed, score

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterable

    from rearing.keeping.season import Forecast
    from rearing.records.book import Book
    from rearing.science.honesty import Score
    from rearing.sheets.shelf import SheetShelf

ENOUGH = 10
"""With fewer windows nothing is said of how good they are."""

LAST = "last instar"
_ADRIFT = 0.1


@dataclass(frozen=True, slots=True)
class Past:
    """A window of a finished brood, replayed as on its day."""

    brood: str
    taxon: str
    window: Replayed


@dataclass(frozen=True, slots=True)
class PastWindows:
    """Every window of every finished brood as on a day."""

    on: dt.date
    windows: tuple[Past, ...]

    @property
    def species(self) -> tuple[str, ...]:
        """The species there are windows of, by name."""
        return tuple(sorted({one.taxon for one in self.windows}))

    @property
    def ages(self) -> tuple[str, ...]:
        """The ages windows were made at, egg first."""
        order = ("egg", *(f"L{i}" for i in range(1, 9)), "pupation")
        made = {one.window.age for one in self.windows}
        return tuple(age for age in order if age in made)

    def of(self, *, taxon: str | None = None, age: str | None = None) -> Account:
        """Return what those of a species, or made at an age, come to."""
        return Account(
            tuple(
                one
                for one in self.windows
                if taxon in {None, one.taxon} and age in {None, one.window.age}
            )
        )


@dataclass(frozen=True, slots=True)
class Account:
    """Some past windows and what they come to; `kind` says how like the asked ones."""

    windows: tuple[Past, ...]
    kind: str = "such windows"

    @property
    def score(self) -> Score | None:
        """Their score; None without any."""
        return score([one.window for one in self.windows])

    @property
    def held(self) -> int:
        """How many held."""
        return sum(one.window.held for one in self.windows)

    @property
    def words(self) -> str:
        """How many held, with the interval, in a sentence."""
        found, n = self.score, len(self.windows)
        if found is None:
            return "No window of a finished brood can be looked back on yet."
        if n < ENOUGH:
            plural = "" if n == 1 else "s"
            return (
                f"Only {n} window{plural} of finished broods can be looked back on, of "
                f"which {self.held} held: too few to say how good they are."
            )
        share = found.held
        verdict = "so they may be trusted"
        if share.high < 0.8:
            verdict = "fewer did: trust them less"
        elif share.low > 0.8:
            verdict = "more did: they are wider than need be"
        return (
            f"Of {n} past windows {self.held} held, {share.share:.0%} ({share.low:.0%} "
            f"to {share.high:.0%}); 80 in 100 are meant to, {verdict}."
        )

    @property
    def error_words(self) -> str:
        """How far the middles were off, against the calendar, in a sentence."""
        found = self.score
        if found is None or len(self.windows) < ENOUGH:
            return ""
        said = [f"Their middles were off by {found.error_days:.1f} d on average"]
        if abs(found.bias_days) >= _ADRIFT:
            side = "late" if found.bias_days > 0 else "early"
            said.append(f", {abs(found.bias_days):.1f} d {side} on the whole")
        calendar, beside = found.calendar_error_days, found.beside_calendar_days
        if calendar is not None and beside is not None:
            said.append(
                f". Where there was an earlier brood to go by ({found.calendar_number})"
                f", its plain mean was off by {calendar:.1f} d, the windows by "
                f"{beside:.1f} d"
            )
        return f"{''.join(said)}."

    @property
    def such_words(self) -> str:
        """One line beside windows: Of 31 such windows 26 held; mean error 4 d."""
        found, n = self.score, len(self.windows)
        if found is None or n < ENOUGH:
            return ""
        return (
            f"Of {n} {self.kind} {self.held} held; mean error {found.error_days:.0f} d"
        )


def past_windows(
    book: Book,
    shelf: SheetShelf,
    on: dt.date,
    *,
    stop: Callable[[], bool] | None = None,
    progress: Callable[[float], object] | None = None,
) -> PastWindows:
    """Replay every finished brood; `stop` is asked, and `progress` told, between two.

    What is returned after a yes to `stop` is not whole.
    """
    finished = finished_broods(book, on)
    done = 0

    def asked() -> bool:
        nonlocal done
        if progress is not None:
            progress(done / max(len(finished), 1))
        done += 1
        return stop is not None and stop()

    taxa = {row.code: taxon for row, taxon in finished.values()}
    found = honesty(book, shelf, on, asked)
    return PastWindows(
        on,
        tuple(Past(code, taxa[code], window) for code, window in found.replayed),
    )


def age_now(forecasts: Iterable[Forecast]) -> str | None:
    """Return the age windows of a brood are made at now: of most of its animals."""
    leading = max(forecasts, key=lambda one: one.number, default=None)
    if leading is None or not leading.windows:
        return None
    event = leading.windows[0].event
    known = {"hatch": "egg", "pupate": "pupation", "emerge": "pupation"}
    if event in known:
        return known[event]
    return LAST if event == "wander" else f"L{int(event[1:]) - 1}"


def such(past: PastWindows, taxon: str, age: str | None) -> Account:
    """Return the past windows most like a brood's: its age, of its species if enough.

    Where too few were made at that age, all of its species, or all there are.
    """
    last = next((a for a in reversed(past.ages) if a.startswith("L")), None)
    asked = last if age == LAST else age
    tried = (
        past.of(taxon=taxon, age=asked),
        replace(past.of(age=asked), kind="such windows of all species"),
        replace(past.of(taxon=taxon), kind="windows of its species"),
    )
    everything = replace(past.of(), kind="past windows of all species")
    return next((one for one in tried if len(one.windows) >= ENOUGH), everything)

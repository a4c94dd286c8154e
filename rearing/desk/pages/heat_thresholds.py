"""The thresholds degree-days are counted between, and the form they are typed in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rearing.desk.widgets.choice_inputs import ChoiceInput, SearchInput
from rearing.desk.widgets.fields import AmountField, ChoiceField, SearchField
from rearing.desk.widgets.form import EntryForm
from rearing.desk.widgets.inputs import AmountInput
from rearing.problems import Refusal
from rearing.records import tables as t
from rearing.records.rows import BroodRow
from rearing.sheets.belief import belief
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Answers

STAGES = ((Stage.EGG, "egg"), (Stage.L1, "larva"), (Stage.PUPA, "pupa"))
_STAGE_WORDS = dict(STAGES)


@dataclass(frozen=True, slots=True)
class Thresholds:
    """Heat counts from `lower_c` and no faster above `upper_c`; for whom, in words."""

    lower_c: float
    upper_c: float | None
    taxon: str = ""
    stage: Stage | None = None

    @property
    def words(self) -> str:
        """The thresholds as they are spoken of."""
        between = f"above {self.lower_c:.3g}°"
        if self.upper_c is not None:
            between += f", no faster over {self.upper_c:.3g}°"
        return between

    @property
    def whose(self) -> str:
        """Whose thresholds these are, empty when they were typed."""
        if self.stage is None:
            return ""
        return f"{_STAGE_WORDS[self.stage]} of {self.taxon or 'moths and butterflies'}"


def of_species(session: Session, taxon: str, stage: Stage) -> Thresholds:
    """Return what the sheet of a species leads to believe of a stage."""
    found = belief(session.shelf.sheet_for(taxon), stage, session.shelf)
    return Thresholds(round(found.t0_c, 1), found.upper_c, taxon, stage)


def usual(session: Session) -> Thresholds:
    """Return those of the larva of the latest brood, else of moths in general."""
    broods = session.book.all(
        BroodRow, t.Brood.opened_on <= session.on, order=(t.Brood.opened_on.desc(),)
    )
    if broods:
        return of_species(session, broods[0].taxon, Stage.L1)
    prior = session.shelf.broad["larva"]
    return Thresholds(round(prior.t0_mean_c, 1), None, "", Stage.L1)


class ThresholdForm(EntryForm):
    """Asks for a species and stage, or for the thresholds themselves."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        now: Thresholds,
        take: Callable[[Thresholds], object],
    ) -> None:
        self._session = session
        self._give = take
        names = tuple((name, name) for name in session.shelf.names)
        super().__init__(
            theme,
            "Count degree-days",
            (
                SearchField("taxon", "&Species", options=names, value=now.taxon),
                ChoiceField("stage", "S&tage", options=STAGES, value=now.stage),
                AmountField(
                    "lower", "From (&lower threshold)", value=now.lower_c, unit="°C"
                ),
                AmountField(
                    "upper",
                    "No faster o&ver",
                    value=now.upper_c,
                    unit="°C",
                    hint="Left empty, heat has no ceiling",
                ),
            ),
            self._take_answers,
            today=session.on,
            verb="count with these",
            columns=2,
        )
        taxon, stage = self.input("taxon"), self.input("stage")
        if isinstance(taxon, SearchInput) and isinstance(stage, ChoiceInput):
            taxon.activated.connect(self.fill_in)
            taxon.currentTextChanged.connect(self.fill_in)
            stage.currentIndexChanged.connect(self.fill_in)

    def fill_in(self) -> None:
        """Write the thresholds of the species and stage chosen into their fields."""
        found = self._chosen()
        lower, upper = self.input("lower"), self.input("upper")
        if found is None or not isinstance(lower, AmountInput):
            return
        lower.line.setText(f"{found.lower_c:g}")
        if isinstance(upper, AmountInput):
            upper.line.setText("" if found.upper_c is None else f"{found.upper_c:g}")

    def _chosen(self) -> Thresholds | None:
        try:
            taxon = self.input("taxon").answer()
        except Refusal:
            return None
        stage = self.input("stage").answer()
        if not isinstance(taxon, str) or not isinstance(stage, Stage):
            return None
        return of_species(self._session, taxon, stage)

    def _take_answers(self, answers: Answers) -> None:
        lower, upper = answers.amount("lower"), answers.amount("upper")
        if lower is None:
            raise Refusal("Heat must count from somewhere.", field="lower")
        if not -5 <= lower <= 30:
            raise Refusal(
                f"{lower:g} °C is no lower threshold of an insect; is it °F?",
                field="lower",
            )
        if upper is not None and not lower < upper <= 60:
            raise Refusal("This must lie above the lower threshold.", field="upper")
        typed = Thresholds(lower, upper)
        found = self._chosen()
        is_known = found is not None and (found.lower_c, found.upper_c) == (
            lower,
            upper,
        )
        self._give(found if is_known and found is not None else typed)

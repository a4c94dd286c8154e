"""The two forms of the sheet of rates: whose durations, and a table of others'."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.desk.pages.heat_fit_words import STAGE_WORDS
from rearing.desk.widgets.fields import ChoiceField, NoteField, SearchField
from rearing.desk.widgets.form import EntryForm
from rearing.exchange.durations import durations_of
from rearing.problems import Refusal, UnreadableFile
from rearing.records.rows import BroodRow
from rearing.terms import Stage

if TYPE_CHECKING:
    from collections.abc import Callable

    from rearing.desk.session import Session
    from rearing.desk.theme import Theme
    from rearing.desk.widgets.fields import Answers

Pairs = tuple[tuple[float, float], ...]


class WhoseForm(EntryForm):
    """Asks for a species and a stage, and hands them to `take`."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        now: tuple[str, Stage],
        take: Callable[[str, Stage], object],
    ) -> None:
        self._give = take
        names = {*session.shelf.names, *(b.taxon for b in session.book.all(BroodRow))}
        super().__init__(
            theme,
            "Whose rates",
            (
                SearchField(
                    "taxon",
                    "&Species",
                    options=tuple((name, name) for name in sorted(names)),
                    value=now[0],
                    required=True,
                ),
                ChoiceField(
                    "stage",
                    "S&tage",
                    options=tuple(STAGE_WORDS.items()),
                    value=now[1],
                ),
            ),
            self._take_answers,
            today=session.on,
            verb="show them",
            columns=2,
        )

    def _take_answers(self, answers: Answers) -> None:
        stage = answers.choice("stage")
        self._give(
            answers.text("taxon"), stage if isinstance(stage, Stage) else Stage.EGG
        )


class TableForm(EntryForm):
    """Asks for lines of a temperature and a number of days, typed or pasted."""

    def __init__(
        self,
        session: Session,
        theme: Theme,
        now: Pairs,
        take: Callable[[Pairs], object],
    ) -> None:
        self._give = take
        written = "\n".join(f"{celsius:g}\t{days:g}" for celsius, days in now)
        super().__init__(
            theme,
            "Durations from elsewhere",
            (
                NoteField(
                    "table",
                    "&Lines of temperature and days",
                    value=written,
                    hint="A line each: 18 °C and 79.8 days is written 18 79.8. A "
                    "heading may stand above; °F is understood where it is written. "
                    "Empty takes the table away.",
                ),
            ),
            self._take_answers,
            today=session.on,
            verb="take it (Ctrl+Enter)",
            caution="A line each, like 18 79.8. Note for yourself where they are from: "
            "the book does not keep them.",
        )

    def _take_answers(self, answers: Answers) -> None:
        text = answers.text("table").strip()
        if not text:
            self._give(())
            return
        try:
            read = durations_of(text)
        except UnreadableFile as trouble:
            raise Refusal(trouble.sentence, field="table") from trouble
        for n, days in enumerate(read.days.tolist(), start=1):
            if not days > 0:
                raise Refusal(
                    f"Row {n} says {days:g} days; a duration must be above 0.",
                    field="table",
                )
        pairs = zip(read.celsius.tolist(), read.days.tolist(), strict=True)
        self._give(tuple(pairs))

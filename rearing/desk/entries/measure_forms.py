"""Forms for what is measured of the animals of a box, and for correcting it."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from rearing.desk.entries import asking, offers
from rearing.desk.widgets.fields import (
    AmountField,
    Answers,
    ChoiceField,
    DayField,
    TextField,
)
from rearing.desk.widgets.form import EntryForm
from rearing.keeping import measurements
from rearing.keeping.moments import day_words
from rearing.problems import Refusal
from rearing.records.rows import MeasurementRow
from rearing.terms import Measured, Stage

if TYPE_CHECKING:
    from rearing.desk.session import Session
    from rearing.desk.theme import Theme


def measure(session: Session, theme: Theme, box_id: int) -> EntryForm:
    """Return the form for widths, lengths or masses typed in a line, or from a file."""
    box, whole = offers.box_now(session, box_id)

    def keep(answers: Answers) -> None:
        session.do(
            measurements.measure,
            box_id=box_id,
            what=asking.chosen(answers, "what", Measured),
            values=_values(answers),
            on=asking.day(answers, "on"),
            stage=asking.maybe(answers, "stage", Stage),
            note=asking.words(answers, "note"),
            sure=answers.sure,
        )

    sheet = offers.sheet_of(session, box.brood, whole)
    return EntryForm(
        theme,
        f"{offers.box_words(box, whole)}: measured",
        (
            TextField("values", "Fi&gures", ghost="0.62 0.64 0.66"),
            ChoiceField(
                "what",
                "&What",
                options=offers.of_terms(Measured),
                value=Measured.HEAD_WIDTH,
            ),
            ChoiceField("stage", "&Stage", options=offers.stages(sheet)),
            DayField("on", "O&n", value=session.on, required=True),
            TextField(
                "file", "Or from a &file", hint="A file with a figure on every line"
            ),
            TextField("note", "N&ote"),
        ),
        keep,
        today=session.on,
        columns=2,
        caution="Widths and lengths in mm, masses in g. Cast heads do as well.",
    )


def _values(answers: Answers) -> tuple[float, ...]:
    typed, path = answers.text("values").strip(), answers.text("file").strip()
    if typed and path:
        raise Refusal("Either type them or name a file.", field="file")
    if not path:
        return measurements.values_from(typed)
    # Imported here: the reading of files is not needed for a form.
    from rearing.exchange.widths import widths_in

    file = Path(path).expanduser()
    if not file.is_file():
        raise Refusal(f"There is no file {path}.", field="file")
    return widths_in(file).mm


def correct_measurement(
    session: Session, theme: Theme, measurement_id: int
) -> EntryForm:
    """Return the form that corrects one figure; the journal keeps the first."""
    row = session.book.one(MeasurementRow, measurement_id)
    box, whole = offers.box_now(session, row.box_id)
    stages = offers.stages(offers.sheet_of(session, box.brood, whole))
    if row.stage not in dict(stages):
        stages += ((row.stage, str(row.stage)),)
    return EntryForm(
        theme,
        f"{box.code}: correct a figure",
        (
            AmountField(
                "value",
                f"{str(row.what).capitalize()}: fi&gure",
                value=row.value,
                unit=row.what.unit,
                required=True,
            ),
            ChoiceField("stage", "&Stage", options=stages, value=row.stage),
        ),
        partial(_keep_corrected, session, measurement_id),
        today=session.on,
        verb="correct it",
        caution=f"The book has: {measurement_words(row)}, {day_words(row.on)}.",
        columns=2,
    )


def measurement_words(row: MeasurementRow) -> str:
    """Return one figure as head width 0.64 mm (L1)."""
    stage = f" ({row.stage})" if row.stage else ""
    return f"{row.what} {row.value:g} {row.what.unit}{stage}"


def _keep_corrected(session: Session, measurement_id: int, answers: Answers) -> None:
    value = answers.amount("value")
    if value is None:
        raise Refusal(asking.NEEDED, field="value")
    session.do(
        measurements.correct_measurement,
        measurement_id=measurement_id,
        value=value,
        stage=asking.maybe(answers, "stage", Stage),
        sure=answers.sure,
    )

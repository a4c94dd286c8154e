"""What a field takes, in words, where its form says nothing nearer of it."""

from __future__ import annotations

from rearing.desk.widgets import fields as asked

TIME_HINT = "As 2240 or 22:40; left empty where it is not known"

_PLAIN: dict[type[asked.Field], str] = {
    asked.TextField: "In your own words",
    asked.NoteField: "In your own words; Enter begins a new line",
    asked.CountField: "A whole number",
    asked.AmountField: "A number, as 2.5",
    asked.ChoiceField: "One of a few: ↑ ↓ or its first letter",
    asked.SearchField: "Any part of the name; ↑ ↓ go through the list",
    asked.DayField: "As 12.6., 12 June, today or yesterday; ↑ ↓ step by a day",
    asked.MomentField: "A day and, where it is known, a time of day",
    asked.YesNoField: "Space ticks it",
}


def hint_of(field: asked.Field) -> str:
    """Return the hint of a field, its own or that of its kind."""
    said = field.hint or _PLAIN[type(field)]
    if field.hint:
        return said
    if isinstance(field, asked.CountField) and field.ask_quality:
        return f"{said}; ~40 is about 40, 34+ at least 34"
    if isinstance(field, asked.SearchField) and field.free:
        return f"{said}; another name may be written too"
    if isinstance(field, asked.AmountField) and field.unit:
        return f"{said}, in {field.unit}"
    return said

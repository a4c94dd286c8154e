"""A line of the round as one sentence; the line is the test's own."""

from __future__ import annotations

from rearing.keeping.round_lines import RoundLine, Task


def test_a_sentence_has_no_full_stop_before_its_number() -> None:
    line = RoundLine(
        kind="box",
        id=1,
        code="B21-03 C",
        brood_id=1,
        taxon="Saturnia pyri",
        short="S. pyri",
        task=Task.FRESH_LEAF,
        done=None,
        reason="Blackthorn of Wed 9 June lasts three days at 18°: it ends tonight.",
        number=14,
        known="counted 4 June",
        by_book=False,
        until=None,
        quarantine=False,
    )

    assert line.sentence() == (
        "B21-03 C, Saturnia pyri: Fresh leaf. Blackthorn of Wed 9 June lasts three "
        "days at 18°: it ends tonight, 14 counted 4 June"
    )

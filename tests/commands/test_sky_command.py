"""The sky of a night, asked without a book."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.commands.conftest import Answer

    Ask = Callable[..., Answer]

KARST = ("--lat", "45.53", "--lon", "13.93", "--zone", "Europe/Ljubljana")
TROMSO = ("--lat", "69.65", "--lon", "18.96", "--zone", "Europe/Oslo")


def test_json_tells_local_times_of_dusk_and_of_the_next_dawn(ask: Ask) -> None:
    data = ask("sky", *KARST, "--on", "2021-05-28", "--json").data
    # Sunset 20:41 and moon 91 % waning: computed for the stories, within 3 min and 3 %.
    assert data["sunset"][:16] in {f"2021-05-28T20:{m}" for m in range(38, 45)}
    assert data["sunset"].endswith("+02:00")
    assert data["sunrise"].startswith("2021-05-29T05:")
    assert data["moon_fraction"] == pytest.approx(0.91, abs=0.03)
    assert data["moon_waxing"] is False
    assert data["moonrise"].startswith("2021-05-28T23:")
    assert data["moonset"].startswith("2021-05-29T07:")
    assert data["day_hours"] < data["day_hours_civil"]
    assert data["moon_up"][-1] == {"from": data["moonrise"], "to": data["moonset"]}


def test_what_there_is_not_is_null(ask: Ask) -> None:
    data = ask("sky", *TROMSO, "--on", "2021-06-21", "--json").data
    moments = [data[name] for name in ("sunset", "sunrise", "astronomical_dusk")]
    assert moments == [None, None, None]
    assert data["day_hours"] == 24


def test_text_says_the_same(ask: Ask) -> None:
    out = ask("sky", *KARST, "--on", "2021-05-28").out
    assert out.startswith("Night of Friday 28 May 2021\n45.53° N, 13.93° E")
    assert "moonrise           Fri 23:28" in out
    assert "Moon 91% waning" in out
    assert "The sun stays up" in ask("sky", *TROMSO, "--on", "2021-06-21").out
    assert "The sun stays down" in ask("sky", *TROMSO, "--on", "2021-12-21").out


@pytest.mark.parametrize(
    ("argv", "words"),
    [
        (("--lat", "1"), "still needed: --lon, --on, --zone"),
        ((*KARST, "--on", "2021-05-28", "--lat", "north"), "is no number of degrees"),
        ((*KARST, "--on", "2021-05-28", "--lat", "-90.1"), "within ±90"),
        ((*KARST, "--on", "2021-05-28", "--zone", "CETT"), "is not a time zone"),
        ((*KARST, "--on", "28/5"), "can mean more than one day"),
    ],
)
def test_what_is_no_place_or_day_is_refused(
    ask: Ask, argv: tuple[str, ...], words: str
) -> None:
    answer = ask("sky", *argv)
    assert (answer.code, answer.out) == (2, "")
    assert words in answer.err

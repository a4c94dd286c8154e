"""Any bytes at all: a plain sentence or an account of every row, never a crash."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rearing.exchange.temperatures import Role, read, understand
from rearing.problems import UnreadableFile

if TYPE_CHECKING:
    from pathlib import Path


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    content=st.one_of(
        st.binary(max_size=400),
        st.text(max_size=300).map(lambda text: text.encode("utf-8", "replace")),
        st.lists(
            st.text(alphabet='0123456789-/:., ;\t|TZ"°C+apm\n', max_size=30),
            max_size=12,
        ).map(lambda lines: "\n".join(lines).encode()),
        st.lists(
            st.tuples(
                st.sampled_from(
                    ["2021-05-01 10:00", "1/2/21", "99991231", "31.12.0001"]
                ),
                st.sampled_from([",", ";", "\t", " "]),
                st.text(max_size=6),
                st.sampled_from(["12.5", "-1", "1e300", "", "9" * 30]),
            ).map("".join),
            max_size=8,
        ).map(lambda lines: "\n".join(lines).encode("utf-16")),
    )
)
def test_whatever_the_bytes_only_unreadable_is_raised(
    content: bytes, tmp_path: Path
) -> None:
    path = tmp_path / "fuzz.csv"
    path.write_bytes(content)
    try:
        how = understand(path, zone="Europe/Ljubljana")
    except UnreadableFile:
        return
    found = read(path, how)
    cells = max(1, len(how.of_role(Role.TEMPERATURE, Role.LOW, Role.HIGH)))
    accounted = found.kept + found.duplicates + sum(found.set_aside_counts.values())
    assert accounted + found.blanks <= found.rows_read * cells * 2
    assert accounted + found.blanks >= found.rows_read


DATES = st.one_of(
    st.integers(min_value=0, max_value=47).map(
        lambda n: f"2021-03-{27 + n // 24} {n % 24:02d}:00"
    ),
    st.sampled_from(["", "soon", "2021-02-30 10:00", "time", "2021-05-01 25:00"]),
)
CELLS = st.one_of(
    st.sampled_from(["12.5", "13.0", "-4", "85.0", "ERR", "", " ", "99", "12,5"]),
    st.integers(min_value=-60, max_value=70).map(str),
)


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(some=st.lists(st.tuples(DATES, CELLS), max_size=60))
def test_every_row_is_accounted_for(
    some: list[tuple[str, str]], tmp_path: Path
) -> None:
    # Understood from clean rows: where most are faults, columns are anybody's guess.
    clean, path = tmp_path / "clean.csv", tmp_path / "rows.csv"
    head = "time;temp °C;note\n"
    clean.write_text(f"{head}2021-03-26 12:00;11.0;x\n", encoding="utf-8")
    how = understand(clean, zone="Europe/Ljubljana")
    lines = [f"{when};{cell};x" for when, cell in some]
    path.write_text(head + "\n".join(lines), encoding="utf-8")
    found = read(path, how)
    assert found.rows_read == len(some)
    aside = sum(found.set_aside_counts.values())
    assert found.kept + found.duplicates + found.blanks + aside == len(some)
    assert len(found.set_aside) == aside
    for one in found.set_aside:
        assert one.text == lines[one.line - 2]

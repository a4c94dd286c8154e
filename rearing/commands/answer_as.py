"""How an answer is wanted: on paper, as JSON, or one of its tables as CSV."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rearing.problems import Refusal

if TYPE_CHECKING:
    from argparse import ArgumentParser, Namespace
    from collections.abc import Callable, Mapping

    from rearing.commands.paper import Paper
    from rearing.exchange.tables import Table


def add_answer_as(parser: ArgumentParser, *tables: str) -> None:
    """Let an answer be had as JSON or as CSV; `tables` are the names it has."""
    ways = parser.add_mutually_exclusive_group()
    ways.add_argument("--json", action="store_true", dest="as_json", help="as JSON")
    ways.add_argument(
        "--csv",
        action="store_true",
        dest="as_csv",
        help="as a CSV table of raw values (RFC 4180, UTF-8, units in its headings)",
    )
    if len(tables) > 1:
        parser.add_argument(
            "--table",
            metavar="NAME",
            help=f"which one with --csv: {', '.join(tables)} (left out: the first)",
        )


def write_table(
    asked: Namespace, tables: Mapping[str, Callable[[], Table]], paper: Paper
) -> None:
    """Write the table asked for, or the first; only that one is made."""
    from rearing.exchange.tables import csv_text

    wanted = getattr(asked, "table", None) or next(iter(tables))
    if wanted not in tables:
        names = ", ".join(tables)
        raise Refusal(f"There is no table “{wanted}” here; there are {names}.")
    paper.csv(csv_text(tables[wanted]()))


def refuse_table_alone(asked: Namespace) -> None:
    """Refuse a table's name where no CSV is asked for."""
    if getattr(asked, "table", None) and not asked.as_csv:
        raise Refusal("--table goes with --csv.", field="table")

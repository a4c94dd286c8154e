"""The command line and the one composition root: what was asked meets what answers."""

from __future__ import annotations

import datetime as dt
import os
import shutil
import sys
from contextlib import suppress
from typing import TYPE_CHECKING

from rearing.commands.answer_as import refuse_table_alone, write_table
from rearing.commands.arguments import COMMANDS, parse
from rearing.commands.keeper_questions import QUESTIONS, answer
from rearing.commands.paper import Paper
from rearing.commands.paths import data_folder, refuse_no_file
from rearing.problems import Problem, StorageTrouble

if TYPE_CHECKING:
    from argparse import Namespace
    from collections.abc import Sequence
    from pathlib import Path
    from types import TracebackType

    from rearing.records.book import Book
    from rearing.sheets.shelf import SheetShelf

ANSWERED, REFUSED, STOPPED = 0, 2, 130


def main(argv: Sequence[str] | None = None) -> int:
    """Answer what was typed; return the exit code.

    0: answered; 1: the check found something wrong; 2: one sentence on stderr says why
    there is no answer.
    """
    if argv is None:
        argv = sys.argv[1:]
        sys.excepthook = _told_of_a_bug
    notes = Paper(sys.stderr)
    try:
        code = _answered(argv, notes)
        if sys.stdout is not None:
            sys.stdout.flush()
    except Problem as trouble:
        notes.line(trouble.sentence)
        return REFUSED
    except BrokenPipeError:
        # Whoever read the answer has read enough of it.
        _let_go_of_stdout()
        return ANSWERED
    except OSError as trouble:
        where = f" ({trouble.filename})" if trouble.filename else ""
        notes.line(f"It could not be done: {trouble.strerror or trouble}{where}.")
        _let_go_of_stdout()
        return REFUSED
    except KeyboardInterrupt:
        notes.line("Stopped.")
        return STOPPED
    return code


def _answered(argv: Sequence[str], notes: Paper) -> int:
    try:
        asked = parse(argv)
    except SystemExit as done:
        # argparse leaves like this when it has shown a help or the version.
        return int(done.code or ANSWERED)
    paper = Paper(sys.stdout, shutil.get_terminal_size((96, 24)).columns)
    if asked.command in {"", "sample"}:
        return _open(asked, paper)
    refuse_table_alone(asked)
    if asked.command == "sky":
        return _of_sky(asked, paper)
    if asked.command in {"heat", "fit", "widths"}:
        return _of_file(asked, paper, notes)
    return _of_book(asked, paper)


def _of_sky(asked: Namespace, paper: Paper) -> int:
    place = (asked.lat, asked.lon)
    if asked.as_csv:
        from rearing.commands.csv_answers import sky_tables

        write_table(asked, sky_tables(asked.on, place, asked.zone), paper)
        return ANSWERED
    from rearing.commands.sky import write_sky

    write_sky(asked.on, place, asked.zone, paper, as_json=asked.as_json)
    return ANSWERED


def _of_file(asked: Namespace, paper: Paper, notes: Paper) -> int:
    refuse_no_file(asked.file)
    if asked.as_csv:
        from rearing.commands.csv_answers import write_csv_of_file

        write_csv_of_file(asked, paper, notes.paragraph)
        return ANSWERED
    if asked.command == "fit":
        from rearing.commands.fit import write_fit

        write_fit(asked.file, paper, as_json=asked.as_json)
        return ANSWERED
    if asked.command == "widths":
        from rearing.commands.widths import widths_asked, write_widths

        write_widths(widths_asked(asked), paper, as_json=asked.as_json)
        return ANSWERED
    from rearing.commands.heat import heat_asked, write_heat

    write_heat(asked.file, heat_asked(asked), paper, notes, as_json=asked.as_json)
    return ANSWERED


def _of_book(asked: Namespace, paper: Paper) -> int:
    with _book(asked.book) as book:
        shelf = _shelf()
        if asked.command == "check":
            from rearing.commands.check import write_check

            # The whole book, also what lies behind the day a sample is opened on.
            return write_check(book, shelf, asked.on or _today(book), paper)
        on = _day(book, asked.on)
        if getattr(asked, "as_csv", False):
            from rearing.commands.csv_answers import write_csv_of_book

            known = _day(book, None) if asked.command == "night" else on
            write_csv_of_book(asked, book, shelf, known, paper)
        elif asked.command in QUESTIONS:
            answer(asked, book, shelf, (on, _now()), paper)
        elif asked.command == "round":
            from rearing.commands.round_text import write_round

            every, as_json = asked.everything, asked.as_json
            write_round(book, shelf, on, paper, everything=every, as_json=as_json)
        elif asked.command == "night":
            from rearing.commands.night import write_night

            # The day asked for is the night's; known is what the book is shown with.
            known, as_json = _day(book, None), asked.as_json
            write_night(book, asked.on, known, paper, as_json=as_json)
        elif asked.command == "archive":
            from rearing.commands.archive import write_archive

            write_archive(book, shelf, on, asked.out, paper, step=asked.rounded)
        elif asked.command == "honesty":
            from rearing.commands.honesty_text import write_honesty

            write_honesty(book, shelf, on, paper, as_json=asked.as_json)
        else:
            from rearing.commands.forecast_text import write_forecast

            brood, as_json = asked.brood, asked.as_json
            write_forecast(book, shelf, on, paper, brood=brood, as_json=as_json)
    return ANSWERED


def _open(asked: Namespace, paper: Paper) -> int:
    """Open a window on a book, or write its round where there can be none."""
    path: Path | None = asked.book
    if asked.command == "sample":
        from rearing.commands.sample import own_sample

        path = own_sample(data_folder(), fresh=asked.fresh)
    if path is not None:
        # A file that is no book is refused here, in a sentence, before any window.
        _book(path).close()
    from rearing.commands.screen import no_window_because, not_loadable

    because = no_window_because(sys.platform, os.environ)
    if not because:
        try:
            from rearing.desk.app import run
        except ImportError as trouble:
            because = not_loadable(trouble)
        else:
            return run(path, on=asked.on)
    for line in because:
        paper.line(line)
    return _written(path, asked.on, paper)


def _written(path: Path | None, on: dt.date | None, paper: Paper) -> int:
    if path is None:
        paper.line()
        paper.line("Name a book (rearing round BOOK), or try: rearing sample")
        return ANSWERED
    from rearing.commands.forecast_text import write_forecast
    from rearing.commands.round_text import write_round

    with _book(path) as book:
        day, shelf = _day(book, on), _shelf()
        paper.line()
        write_round(book, shelf, day, paper)
        paper.line()
        write_forecast(book, shelf, day, paper)
    return ANSWERED


def _book(path: Path) -> Book:
    from rearing.records.book import Book

    if not path.exists() and path.name == str(path) and "." not in path.name:
        raise StorageTrouble(
            f"“{path}” is neither a book nor a command ({', '.join(COMMANDS)})."
        )
    refuse_no_file(path)
    return Book.open(path, now=_now())


def _day(book: Book, asked: dt.date | None) -> dt.date:
    from rearing.commands.days import day_of
    from rearing.keeping.facts import home

    return day_of(asked, home(book), _now())


def _today(book: Book) -> dt.date:
    from rearing.commands.days import today_at
    from rearing.keeping.facts import home

    return today_at(home(book), _now())


def _shelf() -> SheetShelf:
    from rearing.sheets.shelf import load_all

    own = data_folder() / "species"
    return load_all([own] if own.is_dir() else [])


def _now() -> dt.datetime:
    return dt.datetime.now(dt.UTC)


def _let_go_of_stdout() -> None:
    """Send what stdout no longer takes to nowhere, or Python complains at its end."""
    if sys.stdout is None:
        return
    try:
        sys.stdout.flush()
    except OSError:
        with suppress(OSError):  # a stand-in for stdout has no number
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _told_of_a_bug(
    kind: type[BaseException], error: BaseException, trace: TracebackType | None
) -> None:
    """Say that the program is at fault; the details are for those who ask for them."""
    sentence = " ".join(str(error).split())[:200]
    Paper(sys.stderr).line(
        f"Rearing met something it did not expect ({kind.__name__}: {sentence}). What "
        "is in the book is safe. Set REARING_DETAILS=1 to see where."
    )
    if os.environ.get("REARING_DETAILS"):
        sys.__excepthook__(kind, error, trace)


if __name__ == "__main__":
    sys.exit(main())

"""The house's own rules: sizes, names, layers, and what must not be written."""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = sorted((ROOT / "rearing").rglob("*.py"))
FILES = [*PACKAGE, *sorted((ROOT / "tests").rglob("*.py"))]
CARD = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "rearing",
    "resources",
    "tests",
    "sample_db",
}
# Made by tools on a working copy and never committed (see .gitignore).
LEFT_BY_TOOLS = {"build", "dist"}
NO_SUBJECT = {"util", "utils", "misc", "helper", "helpers", "common", "manager"}
FORBIDDEN_CALLS = {"exec", "exec_", "processEvents", "setStyleSheet"}
# The program's own event loop has to be entered somewhere.
ALLOWED_CALLS = {"rearing/desk/app.py exec"}


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def is_migration(path: Path) -> bool:
    return "migrations" in path.parts


def body_lines(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    first = node.body[0]
    has_words = isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant)
    start = first.end_lineno if has_words else node.body[0].lineno - 1
    return (node.end_lineno or 0) - (start or 0)


@cache
def parsed(path: Path) -> ast.Module:
    """Return a file's tree; none of the tests changes it."""
    return ast.parse(path.read_text(encoding="utf-8"))


def trees(paths: list[Path]) -> list[tuple[Path, ast.Module]]:
    return [(path, parsed(path)) for path in paths]


def test_the_top_level_holds_exactly_what_the_card_names() -> None:
    found = {
        path.name for path in ROOT.iterdir() if not path.name.startswith(".")
    } - LEFT_BY_TOOLS
    assert found == CARD


def test_no_file_is_longer_than_400_lines() -> None:
    long = {
        name_of(path): lines
        for path in FILES
        if not is_migration(path)
        and (lines := len(path.read_text(encoding="utf-8").splitlines())) > 400
    }
    assert long == {}


def test_no_function_is_longer_than_50_lines() -> None:
    long = {
        f"{name_of(path)}:{node.name}": body_lines(node)
        for path, tree in trees(PACKAGE)
        if not is_migration(path)
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and body_lines(node) > 50
    }
    assert long == {}


def test_no_class_is_longer_than_250_lines() -> None:
    long = {
        f"{name_of(path)}:{node.name}": (node.end_lineno or 0) - node.lineno
        for path, tree in trees(PACKAGE)
        for node in ast.walk(tree)
        if isinstance(node, ast.ClassDef) and (node.end_lineno or 0) - node.lineno > 250
    }
    assert long == {}


def test_every_module_is_named_after_its_subject() -> None:
    assert [name_of(path) for path in FILES if path.stem in NO_SUBJECT] == []


def test_every_module_says_what_it_is_for() -> None:
    silent = [
        name_of(path) for path, tree in trees(PACKAGE) if not ast.get_docstring(tree)
    ]
    assert silent == []


def test_nothing_blocks_the_window_or_styles_it_by_sheet() -> None:
    found = [
        f"{name_of(path)} {node.func.attr}"
        for path, tree in trees(PACKAGE)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in FORBIDDEN_CALLS
    ]
    assert set(found) <= ALLOWED_CALLS
    assert len(found) <= len(ALLOWED_CALLS)


def test_pyplot_is_never_imported() -> None:
    found = [name_of(p) for p in PACKAGE if "pyplot" in p.read_text(encoding="utf-8")]
    assert found == []


def test_broad_excepts_stand_in_two_named_places_only() -> None:
    broad = {
        name_of(path)
        for path, tree in trees(PACKAGE)
        for node in ast.walk(tree)
        if isinstance(node, ast.ExceptHandler)
        and is_broad(node)
        and not raises_again(node)
    }
    assert broad <= {"rearing/desk/tasks.py", "rearing/desk/crash.py"}


def is_broad(handler: ast.ExceptHandler) -> bool:
    name = getattr(handler.type, "id", "")
    return handler.type is None or name in {"Exception", "BaseException"}


def raises_again(handler: ast.ExceptHandler) -> bool:
    """Tell a tidying-up from a swallowing."""
    last = handler.body[-1]
    return isinstance(last, ast.Raise) and last.exc is None


def test_the_layers_hold() -> None:
    run = subprocess.run(
        [Path(sys.executable).with_name("lint-imports"), "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stdout + run.stderr


def test_every_dependency_is_pinned_by_the_constraints() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    wanted = [*project["dependencies"]]
    for extra in project["optional-dependencies"].values():
        wanted += extra
    pinned = {
        line.partition("==")[0].lower().replace("_", "-")
        for line in (ROOT / "resources/constraints.txt").read_text().splitlines()
        if "==" in line
    }
    names = {
        requirement.partition(">")[0].partition("<")[0].partition("=")[0].strip()
        for requirement in wanted
    }
    assert {name.lower().replace("_", "-") for name in names} <= pinned


@pytest.mark.parametrize("command", [0, 1], ids=["open the sample", "run the tests"])
def test_the_readme_commands_use_the_constraints(command: int) -> None:
    commands = readme_commands()
    assert len(commands) == 2
    assert "-c resources/constraints.txt" in commands[command]


def test_ci_runs_exactly_the_readme_test_command() -> None:
    assert readme_commands()[1] in (ROOT / ".ci/run").read_text(encoding="utf-8")


def readme_commands() -> list[str]:
    """Return the contents of README's code blocks marked `sh`."""
    blocks = (ROOT / "README.md").read_text(encoding="utf-8").split("```sh\n")[1:]
    return [block.partition("\n```")[0] for block in blocks]

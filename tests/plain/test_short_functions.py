"""No function of the library is longer than a person reads at a glance; the linter holds their complexity to twelve."""

from __future__ import annotations

import ast
import tomllib
from collections.abc import Iterator

from tests.conftest import ROOT

LONGEST = 60
"""Lines, the docstring left out."""


def lengths(source: str) -> Iterator[tuple[str, int]]:
    """Give every function with its lines, without the docstring."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            told = node.body[0] if ast.get_docstring(node) is not None else None
            docstring = 0 if told is None else (told.end_lineno or told.lineno) - told.lineno + 1
            yield node.name, (node.end_lineno or node.lineno) - node.lineno + 1 - docstring


def test_no_function_is_longer_than_sixty_lines() -> None:
    long = [
        f"{path.relative_to(ROOT)}: {name}: {count}"
        for path in (ROOT / "validator").rglob("*.py")
        for name, count in lengths(path.read_text(encoding="utf-8"))
        if count > LONGEST
    ]
    assert long == []


def test_a_longer_function_is_found_and_a_long_docstring_is_none() -> None:
    body = "    x = 1\n" * LONGEST
    assert list(lengths(f"def f():\n{body}")) == [("f", LONGEST + 1)]
    text = "\n" * LONGEST
    assert list(lengths(f'def f():\n    """Say.{text}"""\n    return 1\n')) == [("f", 2)]


def test_the_linter_holds_complexity_to_twelve() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["ruff"]["lint"]
    assert "C90" in settings["select"] and settings["mccabe"]["max-complexity"] == 12

"""Pages and figures of the publication stand in the data and nowhere else: code takes them from shared/rules.csv by id.

What is looked at is the text that code holds, docstrings and comments left out: there a page may say where a figure is
from. A constant whose own docstring cites a page, and does not say that it has no source, is a figure of the
publication too.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import ROOT, table

PACKAGE = ROOT / "validator/stillroom"
COVERED = tuple(path.relative_to(PACKAGE).as_posix() for path in sorted(PACKAGE.rglob("*.py")))
"""Modules that are held to it: all."""
WITHOUT_RULE = {
    ("answers/conditions.py", "1 inch"): "depth of the water that sterilizes, which its rule holds in words only",
    ("answers/conditions.py", "1,000 ft"): "step of the altitude that its rule holds in words only",
    ("commands/uses.py", "4-9"): "a page to ask for, as an example",
    ("day/handling.py", "1 in"): "distance of cooling jars, which its rule holds in words only",
    ("run/next_steps.py", "1 inch"): "the same distance",
    ("findings/checks/acidity.py", "LOW_ACID_PSI = {'dial': 11, 'weighted': 10}"): "lowest pressures of the tables",
    ("findings/checks/times.py", "ODD_MIN = (8, 1)"): "times of two tables",
    ("findings/checks/bands.py", "1,000 ft"): "pattern of the weighted tables, as a person reads it",
    ("findings/checks/bands.py", "15 psi"): "the same pattern",
    ("sheets/recipe_sheet.py", "4 quarts"): "jars of a load of the syrup table",
    ("sheets/recipe_sheet.py", "30 minutes"): "low-temperature pasteurization, which a statement holds",
}
"""Figures that stand in code and are none of a rule's value. One that is not needed fails."""

UNITS = {
    "min": ("minutes?", "min"),
    "h": ("hours?", "h"),
    "year": ("years?",),
    "psi": ("psi", "pounds?"),
    "in": ("inch(?:es)?", "in"),
    "ft": ("ft", "feet"),
    "degF": ("degF", "F", "degrees"),
    "pH": ("pH",),
    "jars": ("jars",),
    "quarts": ("quarts?",),
    "quart jars": ("quart jars",),
}
"""Ways to write a unit of shared/rules.csv."""
WORDS = {"1": "an?|one|every|each", "2": "two", "3": "three", "4": "four", "5": "five", "8": "eight", "10": "ten"}
"""Numbers as people write them."""
PAGE = re.compile(r"(?<![\w/.:[-])(?:[1-7]-[1-9]\d?|pages? [ivx]+)(?![\w/.:\]-]|,\d)")
CITED = re.compile(r"\bpages? (?:\d{1,2}-\d{1,2}|[ivx]+)\b")


def rule_figures() -> re.Pattern[str]:
    """Every figure of a rule with its unit, in the spellings that text has for it."""
    said = set()
    for rule in table("shared/rules.csv"):
        low, _, high = rule["value"].partition("-")
        for unit in UNITS.get(rule["unit"], ()):
            numbers = [number for number in {*low.split("/"), high} if number]
            said |= {rf"(?:{spelled(number)})[ -]?{unit}" for number in numbers}
            if high:
                said.add(rf"{low}(?:-| to ){high} ?{unit}")
            if unit == "pH":
                said |= {rf"pH {number}" for number in numbers}
    return re.compile(rf"(?<![\w.,/-])(?:{'|'.join(sorted(said, key=len, reverse=True))})(?!\w)")


def spelled(number: str) -> str:
    ways = [re.escape(number)]
    if number.isdigit() and int(number) >= 1000:
        ways.append(f"{int(number):,}")
    if number in WORDS:
        ways.append(WORDS[number])
    return "|".join(ways)


FIGURE = rule_figures()


def held(source: str) -> Iterator[tuple[int, str]]:
    """Find pages and figures that code holds: line and text."""
    tree = ast.parse(source)
    said = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in said:
            for pattern in (PAGE, FIGURE):
                yield from ((node.lineno, found[0]) for found in pattern.finditer(node.value))
    yield from constants(tree)


def constants(tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Find constants whose docstring says that they are from a page."""
    for node, after in zip(tree.body, tree.body[1:], strict=False):
        if not isinstance(node, (ast.Assign, ast.AnnAssign)) or not isinstance(after, ast.Expr):
            continue
        about = after.value.value if isinstance(after.value, ast.Constant) else ""
        number = any(isinstance(part, ast.Constant) and isinstance(part.value, (int, float)) for part in ast.walk(node))
        if number and isinstance(about, str) and CITED.search(about) and "no source" not in " ".join(about.split()):
            yield node.lineno, ast.unparse(node)


@pytest.mark.parametrize("name", COVERED)
def test_code_holds_no_page_and_no_figure_that_a_rule_holds(name: str) -> None:
    found = list(held((PACKAGE / name).read_text(encoding="utf-8")))
    assert [f"{name}:{line}: {text}" for line, text in found if (name, text) not in WITHOUT_RULE] == []


def test_every_figure_that_is_let_through_is_there() -> None:
    there = {(name, text) for name in COVERED for _, text in held((PACKAGE / name).read_text(encoding="utf-8"))}
    assert set(WITHOUT_RULE) <= there


def test_the_rooms_of_a_run_are_covered() -> None:
    rooms = {str(Path(name).with_suffix("")) for name in COVERED}
    assert rooms >= {"run/verdict", "run/reasons", "run/season", "sheets/verdict_sheet", "sheets/season_sheet"}


@pytest.mark.parametrize(
    ("source", "text"),
    [
        ('said = "vented; 10 minutes are needed"', "10 minutes"),
        ('said = f"{vented}; ten minutes are needed"', "ten minutes"),
        ('said = "within 24 hours"', "24 hours"),
        ('said = "cool 12 to 24 hours"', "12 to 24 hours"),
        ('said = "off by more than 2 psi"', "2 psi"),
        ('said = "use within a year"', "a year"),
        ('said = "above 1,000 ft"', "1,000 ft"),
        ('PAGES = {"vented": "1-20"}', "1-20"),
        ('said = "do not taste it (page iii)"', "page iii"),
        ('VENT_US = 10 * MINUTE\n"""Venting, microseconds (page 1-20)."""', "VENT_US = 10 * MINUTE"),
    ],
)
def test_a_page_or_figure_in_code_is_found(source: str, text: str) -> None:
    """Vent-time 10 min on page 1-20, reprocess-within 24 h, cool-jars 12-24 h, use-within 1 year: shared/rules.csv."""
    assert [found for _, found in held(source)] == [text]


@pytest.mark.parametrize(
    "source",
    [
        '"""Venting of 10 minutes (page 1-20)."""',
        "vent = 1  # 10 minutes, page 1-20",
        'def wait():\n    """Wait 10 minutes (page 1-20)."""',
        'said = f"vented; {minutes} minutes are needed"',
        'said = "110 minutes, 10.5 minutes, 10 minutely"',
        'said = "freeze with 1-1/2 inches of headspace"',
        'said = "write it like 2026-08-15T10:24:30-05:00"',
        'said = "99 psi"',
        'SWING_PSI = 2\n"""Called a swing, psi (no source; page 1-22 has no figure)."""',
    ],
)
def test_what_only_looks_like_a_page_or_figure_in_code_is_not(source: str) -> None:
    assert list(held(source)) == []

"""The recipes of the README, as they stand there but for what is asked, say what the library says."""

from __future__ import annotations

import json
import random
import re
import shutil
import sqlite3
import subprocess
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from stillroom.answers.shelf import Shelf
from stillroom.desk import conformance
from stillroom.package.package import Package
from stillroom.sheets.exported import export
from tests.repository import HOME
from tests.trials import THOROUGH

README = (HOME / "README.md").read_text(encoding="utf-8")
SECTION = README[README.index("## From anything else") : README.index("## For maintainers")]
QUESTIONS = 600 if THOROUGH else 90
"""Sixty drawn evenly over results, the rest by chance."""
BLANK = {"acid": "", "requires": "", "cautions": ""}
Case = dict[str, Any]
Rows = list[dict[str, Any]]


def recipe(mark: str, having: str) -> str:
    """Give the one code block of a language that has these words."""
    (block,) = (text for text in re.findall(rf"```{mark}\n(.*?)```", SECTION, flags=re.DOTALL) if having in text)
    return str(block).replace("schedules/answers.csv", str(HOME / "schedules" / "answers.csv"))


def asking(text: str, ask: Case) -> str:
    """Put another question into a recipe."""
    for example, name in (("snap-beans", "food"), ("raw", "pack"), ("quart", "jar"), ("dial", "canner")):
        text = re.sub(rf"(['\"]){example}\1", lambda found, name=name: f"{found[1]}{ask[name]}{found[1]}", text)
    text = re.sub(r"(form(?:\"?: | = )(['\"]))\2", lambda found: f"{found[1]}{ask['form']}{found[2]}", text)
    assert text.count("1650") >= 2
    return text.replace("1650", f"{ask['altitude_ft']:g}")


@pytest.fixture(scope="module")
def questions() -> list[Case]:
    cases = [case for case in conformance.cases(Shelf(Package(str(HOME)))) if "food" in case["ask"]]
    chance = random.Random(20261126)
    results = sorted({case["says"]["result"] for case in cases})
    chosen = []
    for result in results:
        having = [case for case in cases if case["says"]["result"] == result]
        chosen += chance.sample(having, min(len(having), 60 // len(results) + 1))
    with_form = [case for case in cases if case["ask"]["form"]]
    return [*chosen, *chance.sample(with_form, 10), *chance.sample(cases, QUESTIONS - 70)]


def held(rows: Rows, case: Case) -> None:
    """Hold the rows of a recipe to what the library says."""
    says = case["says"]
    assert [row["result"] for row in rows] == [says["result"]] * (len(says.get("options", ())) or 1), case
    for row, option in zip(rows, says.get("options", ()), strict=False):
        for name in ("minutes", "pressure_psi", "headspace_in"):
            cell = row[name]
            number = None if cell is None or cell == "" or cell != cell else float(cell)
            assert number == option[name], (name, case)
        assert (row["source"], row["page"], row["acid"] or "") == (option["source"], option["page"], option["acid"])
        for name in ("requires", "cautions"):
            assert (row[name] or "").split() == option[name], case


def test_duckdb(questions: list[Case]) -> None:
    duckdb = pytest.importorskip("duckdb")
    text = recipe("sql", "FROM read_csv")
    for case in questions:
        found = duckdb.sql(asking(text, case["ask"]))
        held([dict(zip(found.columns, row, strict=True)) for row in found.fetchall()], case)


@pytest.mark.parametrize("form", ["sqlite", "duckdb"])
def test_one_filter_in_an_exported_database(questions: list[Case], tmp_path: Path, form: str) -> None:
    duckdb = pytest.importorskip("duckdb")
    path = str(tmp_path / f"canning.{form}")
    export(str(HOME), path, form)
    text = recipe("sql", "FROM answer\n")
    ids = text.replace("requires_in_words, cautions_in_words", "acid, requires, cautions")
    with closing(sqlite3.connect(path) if form == "sqlite" else duckdb.connect(path, read_only=True)) as base:
        for case in questions:
            found = base.execute(asking(ids, case["ask"]))
            names = [column[0] for column in found.description]
            held([dict(zip(names, row, strict=True)) for row in found.fetchall()], case)
            in_words = base.execute(asking(text, case["ask"])).fetchall()
            assert [row[0] for row in in_words] == [case["says"]["result"]] * len(in_words)


def run(text: str, ask: Case, rows: Callable[[Any], Rows]) -> Rows:
    names: dict[str, Any] = {}
    exec(compile(asking(text, ask), "README.md", "exec"), names)
    return rows(names["found"])


def test_pandas(questions: list[Case]) -> None:
    text = recipe("python", "import pandas")
    for case in questions:
        held(
            run(
                text,
                case["ask"],
                lambda frame: frame.fillna({"acid": "", "requires": "", "cautions": ""}).to_dict("records"),
            ),
            case,
        )


def test_polars(questions: list[Case]) -> None:
    pytest.importorskip("polars")
    text = recipe("python", "import polars")
    for case in questions:
        held(run(text, case["ask"], lambda frame: frame.to_dicts()), case)


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not here")
def test_node(questions: list[Case]) -> None:
    text = recipe("js", "readFileSync")
    text += "console.log(JSON.stringify(found));\n"
    for case in questions[::8]:
        ran = subprocess.run(
            ["node", "--input-type=module", "-e", asking(text, case["ask"])], capture_output=True, text=True, check=True
        )
        held(json.loads(ran.stdout), case)


def test_a_recipe_asks_for_what_it_is_given() -> None:
    """Putting in another question changes every part of it."""
    ask = {
        "food": "soups",
        "form": "with-seafood",
        "pack": "hot",
        "jar": "pint",
        "canner": "weighted",
        "altitude_ft": 3.5,
    }
    for mark, having in (
        ("sql", "FROM read_csv"),
        ("sql", "FROM answer\n"),
        ("python", "pandas"),
        ("python", "polars"),
        ("js", "readFileSync"),
    ):
        text = asking(recipe(mark, having), ask)
        for word in ("soups", "with-seafood", "hot", "pint", "weighted", "3.5"):
            assert word in text, (having, word)
        assert "snap-beans" not in text
        assert "1650" not in text

"""The recipes of the README, as they stand there but for what is asked, say what the library says.

Each is asked the cases that are written for authors elsewhere, and questions drawn from the whole grid of ids and
altitudes, some of which have no row. What a recipe reads is read once; the rest of it runs for each question.
"""

from __future__ import annotations

import csv
import io
import itertools
import json
import random
import re
import shutil
import sqlite3
import subprocess
import unicodedata
from collections.abc import Iterable
from contextlib import closing
from functools import cache
from pathlib import Path
from typing import Any

import pytest

import stillroom
from stillroom.answers.shelf import Shelf
from stillroom.answers.stems import plain
from stillroom.desk import conformance
from stillroom.package.package import Package
from stillroom.sheets.exported import export
from tests import node
from tests.conftest import table
from tests.repository import HOME
from tests.trials import THOROUGH

README = (HOME / "README.md").read_text(encoding="utf-8")
SECTION = README[README.index("## From anything else") : README.index("## For maintainers")]
QUESTIONS = 600 if THOROUGH else 90
"""Sixty drawn evenly over results, the rest by chance."""
OF_A_KIND = 200 if THOROUGH else 20
"""Questions of the grid that are tested, that are refused, and that no row has: so many of each."""
KEY = ("food", "form", "pack", "jar", "canner")
LOWEST_FT, HIGHEST_FT = -500, 12_000
CHANCE = random.Random()
Case = dict[str, Any]
Rows = list[dict[str, Any]]


def recipe(mark: str, having: str) -> str:
    """Give the one code block of a language that has these words."""
    (block,) = (text for text in re.findall(rf"```{mark}\n(.*?)```", SECTION, flags=re.DOTALL) if having in text)
    for path in ("schedules/answers.csv", "datapackage.json"):
        block = block.replace(path, str(HOME / path))
    return str(block)


def asking(text: str, ask: Case) -> str:
    """Put another question into a recipe."""
    for example, name in (("snap-beans", "food"), ("raw", "pack"), ("quart", "jar"), ("dial", "canner")):
        text = re.sub(rf"(['\"]){example}\1", lambda found, name=name: f"{found[1]}{ask[name]}{found[1]}", text)
    text = re.sub(r"(form(?:\"?: | ==? )(['\"]))\2", lambda found: f"{found[1]}{ask['form']}{found[2]}", text)
    assert text.count("1650") >= 2
    return text.replace("1650", f"{ask['altitude_ft']:g}")


def halves(text: str, asked: str) -> tuple[str, str]:
    """Part a recipe into what it reads and what it asks."""
    assert text.count(asked) == 1
    place = text.index(asked)
    return text[:place], text[place:]


def said(ask: Case) -> Case | None:
    """Ask the library itself; None where it neither answers nor refuses: it is no question, or leaves some open."""
    words = {"pack": ask["pack"] or None, "form": ask["form"] or None}
    try:
        answer = stillroom.find(
            ask["food"], jar=ask["jar"], altitude=f"{ask['altitude_ft']:g} ft", canner=ask["canner"], **words
        )
    except stillroom.NoTestedSchedule as refusal:
        return {"result": refusal.code}
    except (stillroom.BadInput, stillroom.SayWhich):
        return None
    return {"result": "tested", "options": [_option(option) for option in answer.options]}


def _option(option: stillroom.Option) -> Case:
    acid = " ".join(stated.text for stated in option.requires if stated.id == "acid")
    ids = {
        name: list(dict.fromkeys(stated.id for stated in getattr(option, name))) for name in ("requires", "cautions")
    }
    figures = {name: getattr(option, name) for name in ("minutes", "pressure_psi", "headspace_in", "page")}
    return {**figures, **ids, "acid": acid, "source": option.source.id}


@cache
def with_rows() -> frozenset[tuple[str, ...]]:
    """Combinations that the table of answers has."""
    return frozenset(tuple(row[name] for name in KEY) for row in table("schedules/answers.csv"))


def of_the_grid() -> list[Case]:
    """Draw questions from every food, form, pack, jar and canner there is, at any altitude; as many of each kind."""
    forms = ["", *sorted({row["form"] for row in table("schedules/forms.csv")})]
    ids = [
        [row["id"] for row in table(path)] for path in ("schedules/foods.csv", "shared/jars.csv", "shared/canners.csv")
    ]
    grid = itertools.product(ids[0], forms, ("", "hot", "raw"), ids[1], ids[2])
    drawn: dict[str, list[Case]] = {"tested": [], "refused": [], "no row": []}
    for key in CHANCE.sample(found := list(grid), len(found)):
        ask = {**dict(zip(KEY, key, strict=True)), "altitude_ft": CHANCE.randrange(2 * LOWEST_FT, 2 * HIGHEST_FT) / 2}
        if key in with_rows():
            says = said(ask)
            assert says is not None, ask
            kind = "tested" if says["result"] == "tested" else "refused"
        else:
            says, kind = None, "no row"
        if len(drawn[kind]) < OF_A_KIND:
            drawn[kind].append({"ask": ask, "says": says})
        elif all(len(cases) == OF_A_KIND for cases in drawn.values()):
            break
    assert all(len(cases) == OF_A_KIND for cases in drawn.values())
    return [case for cases in drawn.values() for case in cases]


@pytest.fixture(scope="module")
def questions() -> list[Case]:
    cases = [case for case in conformance.cases(Shelf(Package(str(HOME)))) if "food" in case["ask"]]
    results = sorted({case["says"]["result"] for case in cases})
    chosen = []
    for result in results:
        having = [case for case in cases if case["says"]["result"] == result]
        chosen += CHANCE.sample(having, min(len(having), 60 // len(results) + 1))
    with_form = [case for case in cases if case["ask"]["form"]]
    return [*chosen, *CHANCE.sample(with_form, 10), *CHANCE.sample(cases, QUESTIONS - 70), *of_the_grid()]


@pytest.fixture(scope="module")
def exported(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a folder with the package as SQLite, DuckDB and JSON."""
    folder = tmp_path_factory.mktemp("exported")
    for form in ("sqlite", "duckdb", "json"):
        export(str(HOME), str(folder / f"canning.{form}"), form)
    return folder


def held(rows: Rows, case: Case) -> None:
    """Hold the rows of a recipe to what the library says."""
    says = case["says"]
    if says is None:
        assert rows == [], case
        return
    assert [row["result"] for row in rows] == [says["result"]] * (len(says.get("options", ())) or 1), case
    for row, option in zip(rows, says.get("options", ()), strict=False):
        for name in ("minutes", "pressure_psi", "headspace_in"):
            cell = row[name]
            number = None if cell is None or cell == "" or cell != cell else float(cell)
            assert number == option[name], (name, case)
        assert (row["source"], row["page"], row["acid"] or "") == (option["source"], option["page"], option["acid"]), (
            case
        )
        for name in ("requires", "cautions"):
            assert (row[name] or "").split() == option[name], case


def test_the_library_answers_or_refuses_nothing_where_no_row_stands() -> None:
    """It may refuse every form that was left open, and take the only pack where none was said, and says so."""
    for case in of_the_grid():
        ask = case["ask"]
        if case["says"] is None and ask["pack"]:
            says = said(ask)
            assert says is None or (leaves_a_form_open(ask["food"], ask["form"]) and "options" not in says), case


def test_duckdb(questions: list[Case]) -> None:
    duckdb = pytest.importorskip("duckdb")
    text = recipe("sql", "FROM read_csv")
    (reads,) = re.findall(r"read_csv\(.*?\]\)", text)
    with duckdb.connect() as base:
        base.execute(f"CREATE TABLE once AS FROM {reads}")
        for case in questions:
            found = base.sql(asking(text.replace(reads, "once"), case["ask"]))
            held([dict(zip(found.columns, row, strict=True)) for row in found.fetchall()], case)
        found = base.sql(text)
        assert found.fetchall() == base.sql(text.replace(reads, "once")).fetchall() != []


@pytest.mark.parametrize("form", ["sqlite", "duckdb"])
def test_one_filter_in_an_exported_database(questions: list[Case], exported: Path, form: str) -> None:
    text = recipe("sql", "FROM answer\n")
    ids = text.replace("requires_in_words, cautions_in_words", "acid, requires, cautions")
    with closing(opened(exported, form)) as base:
        for case in questions:
            found = base.execute(asking(ids, case["ask"]))
            names = [column[0] for column in found.description]
            held([dict(zip(names, row, strict=True)) for row in found.fetchall()], case)
            in_words = base.execute(asking(text, case["ask"])).fetchall()
            assert len(in_words) == (0 if case["says"] is None else len(case["says"].get("options", ())) or 1)
            assert all(row[0] == case["says"]["result"] for row in in_words)


def opened(exported: Path, form: str) -> Any:
    duckdb = pytest.importorskip("duckdb")
    path = str(exported / f"canning.{form}")
    return sqlite3.connect(path) if form == "sqlite" else duckdb.connect(path, read_only=True)


def in_python(having: str, questions: list[Case]) -> Iterable[tuple[Any, Case]]:
    """Run a recipe: what it reads once, what it asks for each question."""
    reads, asks = halves(recipe("python", having), "asked = ")
    names: dict[str, Any] = {}
    exec(compile(reads, "README.md", "exec"), names)
    if hasattr(names["answers"], "collect"):
        names["answers"] = names["answers"].collect().lazy()
    for case in questions:
        exec(compile(asking(asks, case["ask"]), "README.md", "exec"), names)
        yield names["found"], case


def test_pandas(questions: list[Case]) -> None:
    for frame, case in in_python("import pandas", questions):
        held(frame.fillna({"acid": "", "requires": "", "cautions": ""}).to_dict("records"), case)


def test_polars(questions: list[Case]) -> None:
    pytest.importorskip("polars")
    for frame, case in in_python("import polars", questions):
        held(frame.to_dicts(), case)


def in_node(text: str, questions: list[Case], folder: Path) -> None:
    """Run a recipe in one process: what it asks stands in a block for each question."""
    reads, asks = halves(text, "const asked")
    blocks = (f"{{\n{asking(asks, case['ask'])}all.push(found);\n}}\n" for case in questions)
    script = folder / "recipe.mjs"
    script.write_text(f"const all = [];\n{reads}{''.join(blocks)}console.log(JSON.stringify(all));\n", encoding="utf-8")
    ran = subprocess.run(["node", str(script)], cwd=folder, capture_output=True, text=True, check=True, timeout=60)
    for rows, case in zip(json.loads(ran.stdout), questions, strict=True):
        held(rows, case)
        assert all(row["minutes"] is None or isinstance(row["minutes"], int) for row in rows)


@node.needs_node
def test_node_alone(questions: list[Case], exported: Path) -> None:
    in_node(recipe("js", "readFileSync"), questions, exported)


@node.needs_reader
def test_node_with_the_reader_from_npm(questions: list[Case], tmp_path: Path) -> None:
    (tmp_path / "node_modules").symlink_to(str(node.reader()))
    in_node(recipe("js", "import datapackage"), questions, tmp_path)


@pytest.mark.skipif(shutil.which("Rscript") is None, reason="R is not here")
def test_r(questions: list[Case], tmp_path: Path) -> None:
    reads, asks = halves(recipe("r", "read.csv"), "found <-")
    kept = "all <- c(all, list(cbind(place = rep({place}, nrow(found)), found)))\n"
    each = "".join(asking(asks, case["ask"]) + kept.format(place=place) for place, case in enumerate(questions))
    script = tmp_path / "recipe.R"
    script.write_text(
        f"all <- list()\n{reads}{each}write.csv(do.call(rbind, all), stdout(), row.names = FALSE, na = '')\n",
        encoding="utf-8",
    )
    ran = subprocess.run(["Rscript", "--vanilla", str(script)], capture_output=True, text=True, check=True, timeout=60)
    rows = list(csv.DictReader(io.StringIO(ran.stdout)))
    for place, case in enumerate(questions):
        held([row for row in rows if row["place"] == str(place)], case)


# from what people say


def folded(words: str) -> str:
    """Write words as the README says: lower case, no accents, one space for whatever is no letter or digit."""
    bare = "".join(sign for sign in unicodedata.normalize("NFKD", words) if not unicodedata.combining(sign))
    return re.sub(r"[\W_]+", " ", bare.lower()).strip()


@cache
def shelf() -> Shelf:
    return Shelf(Package(str(HOME)))


def meant(words: str) -> list[tuple[str, str, str, str]] | None:
    """Give food, form, pack and code that the library takes words for; None where it knows none."""
    try:
        return sorted((*meaning[:3], "") for meaning in shelf().names.meanings(words))
    except stillroom.UnknownFood:
        return None
    except stillroom.NoTestedSchedule as refusal:
        return [("", "", "", refusal.code)]


def as_written(name: str) -> list[str]:
    """Write a name as people do: with capitals, signs and an accent, and in the plural or the singular."""
    other = name.removesuffix("s") if name.endswith("s") else f"{name}s"
    return [name.upper(), f" {name.title()}! ", name.replace(" ", "_"), name.replace("e", "é", 1), other]


@pytest.mark.parametrize("form", ["sqlite", "duckdb"])
def test_a_name_leads_where_the_library_leads_or_nowhere(exported: Path, form: str) -> None:
    text = recipe("sql", "FROM names")
    rows = table("schedules/names.csv")
    withheld = sorted({row["name"] for row in rows if row["withheld"]})
    tested = sorted({row["name"] for row in rows if row["food"]})
    several = sorted({row["name"] for row in rows if row["pack"] or row["form"]})
    names = [*CHANCE.sample(withheld, 30), *CHANCE.sample(tested, 30), *CHANCE.sample(several, 20)]
    known = 0
    with closing(opened(exported, form)) as base:
        for name in names:
            for words in (name, *as_written(name)):
                found = base.execute(text.replace("green beans", folded(words))).fetchall()
                told = sorted(tuple(cell or "" for cell in row[:4]) for row in found)
                assert all(bool(row[3]) == bool(row[4]) for row in found), words  # a refusal says why
                assert told == meant(words) if told else words == as_written(name)[-1], words
                known += bool(told)
    assert known >= 5 * len(names)


def test_the_rule_for_words_is_the_one_that_names_are_written_by() -> None:
    sayings = [row["food"] for row in table("tests/words/sayings.csv")]
    names = [row["name"] for row in table("schedules/names.csv")]
    for words in (*sayings, *names, *(words for name in names[::20] for words in as_written(name))):
        assert folded(words) == plain(words)


@pytest.mark.parametrize("form", ["sqlite", "duckdb"])
def test_both_steps_from_words_to_an_answer(exported: Path, form: str) -> None:
    """Sixty names as people write them, asked of the database in two steps and of the library in one."""
    first, second = recipe("sql", "FROM names"), recipe("sql", "FROM answer\n")
    names = sorted({row["name"] for row in table("schedules/names.csv")})
    results = []
    with closing(opened(exported, form)) as base:
        for name in CHANCE.sample(names, 60):
            words, jar = CHANCE.choice(as_written(name)[:3]), CHANCE.choice(("pint", "quart"))
            asked = {"pack": CHANCE.choice(("hot", "raw")), "jar": jar, "altitude_ft": CHANCE.randrange(0, 9000)}
            asked["canner"] = CHANCE.choice(("boiling-water", "dial", "weighted"))
            rows = base.execute(first.replace("green beans", folded(words))).fetchall()
            results.append(in_two_steps(base, rows, second, asked))
            assert results[-1] == in_one_step(words, asked), (words, asked)
    assert len(set(results)) > 3


def leaves_a_form_open(food: str, form: str | None) -> bool:
    return not form and food in {row["food"] for row in table("schedules/forms.csv")}


def in_two_steps(base: Any, rows: list[tuple[Any, ...]], text: str, asked: Case) -> str:
    """Do what the README says with the rows of a name: a refusal ends it, several are asked back, a pack is the one."""
    (food, form, pack, result, *_), *others = rows
    if result or others or leaves_a_form_open(food, form):
        return str(result) if result else "several"
    if pack and pack != asked["pack"]:
        return "refused"
    found = base.execute(asking(text, {**asked, "food": food, "form": form or ""})).fetchall()
    return str(found[0][:3]) if found else "nothing"


def in_one_step(words: str, asked: Case) -> str:
    try:
        answer = stillroom.find(
            words, pack=asked["pack"], jar=asked["jar"], altitude=f"{asked['altitude_ft']} ft", canner=asked["canner"]
        )
    except (stillroom.NoTestedSchedule, stillroom.SayWhich) as refusal:
        (named, *others) = meant(words) or []
        if others or leaves_a_form_open(*named[:2]):
            return "several"
        code = getattr(refusal, "code", "left open, and no name says so")
        return "refused" if named[2] not in ("", asked["pack"]) else named[3] or str((code, None, None))
    return str(("tested", answer.options[0].minutes, answer.options[0].pressure_psi))


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
        ("js", "import datapackage"),
        ("r", "read.csv"),
    ):
        text = asking(recipe(mark, having), ask)
        for word in ("soups", "with-seafood", "hot", "pint", "weighted", "3.5"):
            assert word in text, (having, word)
        assert "snap-beans" not in text
        assert "1650" not in text

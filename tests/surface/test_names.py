"""``dir(stillroom)`` is what is promised, every type an answer leads to is there, and editors know the words."""

from __future__ import annotations

import csv
import json
import shutil
import subprocess
import sys
import typing
from pathlib import Path
from typing import Any

import pytest

import stillroom
from tests.conftest import ROOT, table
from tests.surface.reached import classes, fields, hints, ours, reached


def schema(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((ROOT / f"schema/{name}.json").read_text(encoding="utf-8"))
    return found


# names


def test_what_dir_shows_is_what_is_promised_and_no_more() -> None:
    assert dir(stillroom) == sorted([*stillroom.__all__, "__version__"])
    assert len(set(stillroom.__all__)) == len(stillroom.__all__)
    assert [name for name in dir(stillroom) if not hasattr(stillroom, name)] == []


def test_a_star_import_brings_the_same_names() -> None:
    names: dict[str, object] = {}
    exec("from stillroom import *", names)
    assert set(names) - {"__builtins__"} == set(stillroom.__all__)


def test_nothing_else_looks_public_but_the_rooms_and_what_the_commands_share() -> None:
    """The shelf and the lookup are for the rooms above; ``dir`` does not show them, and nothing promises them."""
    code = "import stillroom; print(*sorted(n for n in vars(stillroom) if n[0] != '_' and n not in stillroom.__all__))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    rooms = {"answers", "errors", "package", "screen"}
    assert set(done.stdout.split()) == {"TYPE_CHECKING", "annotations", "lookup", "shelf", *rooms}


def test_where_a_library_is_missing_what_looks_at_every_name_still_works() -> None:
    """As ``help(stillroom)`` and the completion of a shell do in an installation without the optional groups."""
    code = (
        "import sys; sys.modules['numpy'] = sys.modules['yaml'] = sys.modules['pint'] = None\n"
        "import inspect, pydoc, stillroom\n"
        "print(len(pydoc.render_doc(stillroom)) > 10_000, len(inspect.getmembers(stillroom)) > 60)\n"
        "print('Judgement' in dir(stillroom), hasattr(stillroom, 'Judgement'), hasattr(stillroom, 'Plan'))\n"
        "try:\n    stillroom.Judgement\nexcept stillroom.StillroomError as error:\n    print(error)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True)
    assert done.stdout.splitlines() == [
        "True True",
        "True False True",
        'Judgement: this needs numpy: install it with pip install "stillroom[day]"',
    ]


def test_every_class_that_a_public_function_leads_to_is_exported_by_its_name() -> None:
    found = reached()
    assert len(found) > 50
    exported = classes()
    assert {cls: way for cls, way in found.items() if exported.get(cls.__name__) is not cls} == {}


def test_the_walk_goes_through_fields_properties_and_what_is_imported_for_type_checking_only() -> None:
    """The near misses of the test above: each of these hangs on a result in another way."""
    found = reached()
    for cls in (stillroom.Told, stillroom.RunLog, stillroom.Span, stillroom.Process, stillroom.Question):
        assert cls in found
    assert list(ours(hints(stillroom.find)["return"])) == [stillroom.Answer]


@pytest.mark.parametrize(
    "result",
    [
        lambda: stillroom.find("crushed tomatoes", pack="hot", jar="pint", altitude="500 m", canner="boiling-water"),
        lambda: stillroom.plan("snap beans", jars=9, pack="raw", jar="quart", altitude="0 ft", canner="dial"),
        lambda: stillroom.recipe("apple pie filling", 14, "quart"),
        lambda: stillroom.judge(str(ROOT / "shared/demo/beans.yaml")),
        lambda: stillroom.table("snap beans"),
        lambda: stillroom.kitchen(ROOT / "shared/demo/kitchen.toml"),
        lambda: stillroom.tables(),
    ],
    ids=["find", "plan", "recipe", "judge", "table", "kitchen", "tables"],
)
def test_every_object_that_hangs_on_a_real_result_is_of_an_exported_type(result: Any) -> None:
    """Beside the annotations: what is really there."""
    exported, seen, waiting = set(classes().values()), set(), [result()]
    while waiting:
        one = waiting.pop()
        if type(one).__module__.startswith("stillroom"):
            seen.add(type(one))
            waiting += [getattr(one, field) for field in fields(type(one))]
        elif isinstance(one, (tuple, list, frozenset)):
            waiting += list(one)
    assert seen and seen <= exported


# words


@pytest.mark.parametrize(("words", "file"), [("Jar", "jars"), ("Canner", "canners"), ("Pack", "packs")])
def test_the_words_that_editors_complete_are_those_of_the_tables(words: str, file: str) -> None:
    offered = typing.get_args(getattr(stillroom, words))
    assert sorted(offered) == sorted(row["id"] for row in table(f"shared/{file}.csv"))


def test_the_codes_verdicts_and_kinds_are_those_of_the_schemas() -> None:
    codes = schema("answer")["$defs"]["refusal"]["properties"]["code"]["enum"]
    assert list(typing.get_args(stillroom.Code)) == codes
    assert list(typing.get_args(stillroom.Verdict)) == schema("verdict")["properties"]["verdict"]["enum"]
    kinds = schema("comparison")["$defs"]["change"]["properties"]["kind"]["enum"]
    assert list(typing.get_args(stillroom.ChangeKind)) == kinds


def test_the_codes_that_the_tables_hold_are_among_them() -> None:
    held = {row["code"] for row in table("schedules/withheld.csv")}
    held |= {row["result"] for row in table("schedules/answers.csv")} - {"tested"}
    assert len(held) > 5
    assert held <= set(typing.get_args(stillroom.Code))


@pytest.mark.parametrize("name", ["find", "plan", "recipe"])
def test_a_question_takes_the_words_and_any_other_text(name: str) -> None:
    told = hints(getattr(stillroom, name))
    for parameter, words in (("jar", stillroom.Jar), ("pack", stillroom.Pack), ("canner", stillroom.Canner)):
        if parameter in told:
            assert {words, str} <= set(typing.get_args(told[parameter])), parameter


# the data


def test_every_table_of_the_descriptor_is_told_with_its_columns() -> None:
    declared = json.loads((ROOT / "datapackage.json").read_text(encoding="utf-8"))["resources"]
    tables = {resource["name"]: resource for resource in declared if resource.get("type") == "table"}
    told = {one.name: one for one in stillroom.tables()}
    assert list(told) == list(tables)
    for name, one in told.items():
        assert (one.title, one.description) == (tables[name]["title"], tables[name]["description"])
        with one.path.open(encoding="utf-8", newline="") as file:
            assert next(csv.reader(file)) == [column.name for column in one.columns], name
        assert all(column.description for column in one.columns)
        assert stillroom.data_path(name) == one.path
    assert stillroom.tables() is stillroom.tables()


def test_a_column_says_whether_a_cell_may_be_blank() -> None:
    """As schema/schedule.json: a food always, a pack not where the publication names none."""
    vegetables = next(one for one in stillroom.tables() if one.name == "vegetables")
    required = {column.name: column.required for column in vegetables.columns}
    assert required["food"] and not required["pack"]


@pytest.mark.parametrize(
    ("said", "near"),
    [("answer", "answers"), ("Vegetable", "vegetables"), ("jar words", "jar-words"), ("foods.csv", "foods")],
)
def test_an_unknown_table_is_bad_input_that_names_what_comes_near(said: str, near: str) -> None:
    with pytest.raises(stillroom.BadInput, match="no table is called") as error:
        stillroom.data_path(said)
    assert near in str(error.value)


@pytest.mark.parametrize("said", ["zzzz", "", "../answers", "schedules/answers.csv\x1b[2J", 7])
def test_what_no_table_can_be_called_is_one_line_of_bad_input(said: Any) -> None:
    with pytest.raises(stillroom.BadInput) as error:
        stillroom.data_path(said)
    assert str(error.value).isprintable()


def test_an_installed_package_tells_its_own_tables(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "validator/stillroom", tmp_path / "stillroom", ignore=shutil.ignore_patterns("__pycache__"))
    for part in ("schedules", "shared", "schema"):
        shutil.copytree(ROOT / part, tmp_path / "stillroom/data" / part)
    shutil.copy(ROOT / "datapackage.json", tmp_path / "stillroom/data")
    code = (
        f"import sys; sys.path.insert(0, {str(tmp_path)!r})\nimport stillroom\n"
        "print(stillroom.data_path())\nprint(stillroom.data_path('answers').is_file(), len(stillroom.tables()))\n"
        "print(*(name for name in ('pandas', 'frictionless', 'yaml', 'jsonschema', 'numpy') if name in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    where, found, heavy = done.stdout.splitlines()
    assert Path(where) == tmp_path / "stillroom/data"
    assert found == f"True {len(stillroom.tables())}"
    assert heavy == ""

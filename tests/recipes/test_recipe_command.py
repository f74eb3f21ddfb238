from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import stillroom
from stillroom.commands.main import main

ROOT = Path(__file__).resolve().parents[2]


def _run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    status = main(list(words))
    out = capsys.readouterr()
    return status, out.out, out.err


def test_the_sheet_begins_with_what_must_hold_and_fits_80_columns(capsys: pytest.CaptureFixture[str]) -> None:
    status, text, _ = _run(capsys, "recipe", "tomatoes", "crushed", "--jars", "14", "--jar", "pint")
    assert status == 0
    assert text.index("Acid in each pint jar") < text.index("Steps:") < text.index("Headspace:")
    assert "In all: 14 tablespoons" in text
    assert text.rstrip().endswith("throw it out.")
    assert max(map(len, text.splitlines())) <= 80


def test_every_sheet_fits_80_columns_and_cites_its_page() -> None:
    from stillroom.sheets.recipe_sheet import recipe_sheet

    for food in stillroom.foods():
        text = recipe_sheet(stillroom.recipe(food.id), stillroom.shelf())
        assert max(map(len, text.splitlines())) <= 80, food.id
        assert f"page {food.page}" in " ".join(text.split()), food.id
        assert "None" not in text and "{" not in text, food.id


def test_json_is_as_its_schema_says_for_every_food() -> None:
    from stillroom.sheets import documents, recipe_document

    schema: Any = json.loads((ROOT / "schema/recipe-answer.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    judge = jsonschema.Draft202012Validator(schema)
    for food in stillroom.foods():
        document = json.loads(documents.text(recipe_document.document(stillroom.recipe(food.id))))
        assert [e.message for e in judge.iter_errors(document)] == [], food.id
    assert not judge.is_valid({**document, "minutes": 5})


def test_jars_and_jar_are_two_options(capsys: pytest.CaptureFixture[str]) -> None:
    status, text, _ = _run(capsys, "recipe", "figs", "--jars", "7", "--jar", "quart", "--json")
    document = json.loads(text)
    assert status == 0
    assert (document["jars_asked"], document["jar"]) == (7, "quart")
    status, out, err = _run(capsys, "recipe", "figs", "--jars", "quart")
    assert (status, out) == (2, "")
    assert err == 'stillroom: jars "quart" is not a whole number: write it like "18"\n'


@pytest.mark.parametrize("written", ["14", " 14 ", 14])
def test_jars_may_be_written_as_text_as_in_a_plan(written: object) -> None:
    assert stillroom.recipe("figs", written, "pint") == stillroom.recipe("figs", 14, "pint")  # type: ignore[arg-type]


@pytest.mark.parametrize("written", ["14.0", "fourteen", "", "0", "-3", "10001", "1e3", "\u0661\u0664", "\u00b2"])
def test_jars_that_are_no_number_of_jars_are_bad_input(written: str) -> None:
    with pytest.raises(stillroom.BadInput, match=r"^jars "):
        stillroom.recipe("figs", written, "pint")


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (("recipe", "figs"), 0),
        (("recipe", "figs", "--jars", "7"), 2),
        (("recipe", "figs", "--jars", "0", "--jar", "pint"), 2),
        (("recipe", "pureed", "pumpkin"), 3),
        (("recipe", "figs", "--without", "lemon juice"), 3),
        (("recipe", "figs", "--jar", "half-gallon", "--json"), 3),
        (("recipe", "fihs"), 3),
    ],
)
def test_exit_statuses(capsys: pytest.CaptureFixture[str], words: tuple[str, ...], status: int) -> None:
    got, out, err = _run(capsys, *words)
    assert got == status
    assert "Traceback" not in out + err
    assert err.count("\n") <= 1


def _without(module: str, statement: str) -> subprocess.CompletedProcess[str]:
    hidden = f"import sys; sys.modules[{module!r}] = None; " + statement
    return subprocess.run([sys.executable, "-c", hidden], capture_output=True, text=True, check=False)


def test_without_pyyaml_the_command_says_in_one_line_what_to_install() -> None:
    ran = _without("yaml", "from stillroom.commands.main import main; sys.exit(main(['recipe', 'figs']))")
    assert ran.returncode == 2
    assert ran.stderr == 'stillroom: recipes need PyYAML: install it with pip install "stillroom[day]"\n'
    words = ["find", "figs", "--pack", "hot", "--jar", "pint", "--altitude", "0 ft", "--canner", "boiling-water"]
    found = _without("yaml", f"from stillroom.commands.main import main; sys.exit(main({words}))")
    assert found.returncode == 0


def test_without_pint_amounts_are_there_but_not_quantities() -> None:
    ran = _without(
        "pint",
        "import stillroom\nr = stillroom.recipe('mango salsa')\nprint(r.ingredients[0].amount.low)\n"
        "try:\n    r.ingredients[0].amount.quantity\nexcept stillroom.StillroomError as e:\n    print(e)",
    )
    assert ran.stdout.splitlines() == ["6.0", 'quantities need pint: install it with pip install "stillroom[day]"']


def test_asking_for_schedules_and_foods_imports_nothing_heavy() -> None:
    heavy = ("yaml", "pint", "jsonschema", "numpy", "pandas", "stillroom.recipes")
    statement = (
        "import sys, stillroom; "
        "stillroom.find('peaches', pack='hot', jar='pint', altitude='0 ft', canner='steam'); "
        f"stillroom.foods('tomto'); print([m for m in {heavy} if m in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", statement], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"


def test_the_function_outlives_the_import_of_its_modules() -> None:
    import importlib

    stillroom.recipe("figs")
    for module in ("recipes.printed", "recipes.scaling", "sheets.recipe_sheet", "commands.recipe"):
        importlib.import_module(f"stillroom.{module}")
    assert stillroom.recipe("figs").food == "figs"


def test_a_damaged_recipe_file_is_a_broken_package(tmp_path: Path) -> None:
    from stillroom.recipes import printed as recipes

    folder = tmp_path / "schedules/recipes"
    folder.mkdir(parents=True)
    for text, said in (
        ("food: [", r"figs\.yaml:2: is not YAML"),
        ("food: pears\n", "is not the recipe"),
        ("- 1\n", "is not the recipe"),
        (
            "food: figs\ntitle: Figs\npage: '2-14'\ntitle: Not figs\n",
            r'recipes/figs\.yaml:4: has the key "title" twice',
        ),
        ("food: figs\nacid:\n  - {jar: pint, jar: quart}\n", r'figs\.yaml:3: has the key "jar" twice'),
        ("food: figs\nacid: &a [1]\nsteps: *a\n", r"figs\.yaml:2: has an alias"),
        ("food: !!python/name:os.system x\n", r"figs\.yaml:1: has a tag"),
        ("food: figs\nsteps: " + "[" * 100 + "]" * 100, "nested deeper"),
        ("food: figs\n---\nfood: figs\n", r"figs\.yaml:2: is not YAML"),
        ("", "is empty"),
        ("food: figs\n" + "#" * 5_000_000, "larger than 4 MB"),
    ):
        (folder / "figs.yaml").write_text(text, encoding="utf-8")
        with pytest.raises(stillroom.BadPackage, match=said) as broken:
            recipes.read(str(tmp_path), "figs")
        assert "\n" not in str(broken.value)
    with pytest.raises(stillroom.BadPackage, match="missing"):
        recipes.read(str(tmp_path), "pears")


def test_a_recipe_that_is_no_ordinary_file_is_refused_at_once(tmp_path: Path) -> None:
    from stillroom.recipes import printed as recipes

    folder = tmp_path / "schedules/recipes"
    folder.mkdir(parents=True)
    os.mkfifo(folder / "figs.yaml")
    (folder / "pears.yaml").mkdir()
    os.symlink("/dev/zero", folder / "plums.yaml")
    for food in ("figs", "pears", "plums"):
        with pytest.raises(stillroom.BadPackage, match=rf"schedules/recipes/{food}\.yaml is no ordinary file"):
            recipes.read(str(tmp_path), food)


def test_a_recipe_with_a_byte_order_mark_and_line_ends_of_another_system_is_read_the_same(tmp_path: Path) -> None:
    from stillroom.recipes import printed as recipes

    folder = tmp_path / "schedules/recipes"
    folder.mkdir(parents=True)
    content = (ROOT / "schedules/recipes/figs.yaml").read_bytes()
    (folder / "figs.yaml").write_bytes(b"\xef\xbb\xbf" + content.replace(b"\n", b"\r\n"))
    assert recipes.read(str(tmp_path), "figs") == recipes.read(str(ROOT), "figs")

"""One command does every step between an edit and its review, and changes no value by itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from stillroom.desk import prepare
from stillroom.errors import BadPackage
from stillroom.package import made
from tests.repository import HOME, with_few_recipes

READINGS = ("schedules/readings/schedules-first.csv", "schedules/readings/schedules-second.csv")
BEETS = "schedules/vegetables.csv"


@pytest.fixture
def package(tmp_path: Path) -> Path:
    folder = with_few_recipes(tmp_path / "package")
    (folder / "CHANGELOG.md").write_text("# Changes\n\n## Unreleased\n", encoding="utf-8")
    return folder


def _raise_beets(package: Path) -> None:
    """Raise the process of pints of beets in both readings: 30 to 35 minutes, which no publication says."""
    for file in READINGS:
        path = package / file
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        beets = [
            at for at, line in enumerate(lines) if ",beets" in line.lower() and ",pint," in line and ",30," in line
        ]
        assert beets
        for at in beets:
            lines[at] = lines[at].replace(",30,", ",35,")
        path.write_text("".join(lines), encoding="utf-8")


def test_a_cell_edited_in_both_readings_reaches_its_table_and_the_change_log(package, tmp_path, capsys):
    old = with_few_recipes(tmp_path / "old")
    before = (package / BEETS).read_text(encoding="utf-8")
    _raise_beets(package)
    assert prepare.main([str(package), "--against", str(old)]) == 1
    told = capsys.readouterr().out
    assert f"{BEETS}: written anew" in told
    assert all(f"{file}: hash: is not as it was when it was last reviewed" in told for file in READINGS)
    assert "snap" not in told.partition("For CHANGELOG.md:")[2] and "beets" in told.partition("For CHANGELOG.md:")[2]
    after = (package / BEETS).read_text(encoding="utf-8")
    assert after.count(",35,") > before.count(",35,") and len(after.splitlines()) == len(before.splitlines())
    prepare.main([str(package), "--against", str(old), "--reviewed"])
    told = capsys.readouterr().out
    assert all(f"{file}: hash renewed" in told for file in READINGS) and "hash: is not" not in told


def test_a_package_that_is_in_order_stays_as_it_is(package, capsys):
    before = {path: path.read_bytes() for path in package.rglob("*") if path.is_file()}
    assert prepare.main([str(package), "--reviewed"]) == 0
    assert capsys.readouterr().out == "no findings\n"
    assert {path: path.read_bytes() for path in package.rglob("*") if path.is_file()} == before


def test_readings_that_conflict_stop_it_and_nothing_is_written(package, capsys):
    path = package / READINGS[0]
    path.write_text(path.read_text(encoding="utf-8").replace(",25,", ",26,", 1), encoding="utf-8")
    before = (package / BEETS).read_bytes()
    assert prepare.main([str(package)]) == 2
    assert "the two readings conflict" in capsys.readouterr().err
    assert (package / BEETS).read_bytes() == before


def test_the_registry_is_made_anew_only_where_the_schemas_say_another(tmp_path):
    library = tmp_path / "package"
    library.mkdir()
    for name in ("records", "tables"):
        source = HOME / f"validator/stillroom/package/{name}.py"
        (library / f"{name}.py").write_text(source.read_text(encoding="utf-8"), encoding="utf-8")
    assert made.write(str(HOME), str(library)) == ()
    (library / "records.py").write_text("", encoding="utf-8")
    assert made.write(str(HOME), str(library)) == ("records.py",)
    assert made.write(str(HOME), str(library)) == ()


def test_a_schema_that_is_missing_is_one_line(tmp_path):
    (tmp_path / "datapackage.json").write_text('{"resources": [{"name": "a", "path": "a.csv", "schema": "none.json"}]}')
    with pytest.raises(BadPackage, match=r"the registry of tables cannot be made: FileNotFoundError: .*none\.json"):
        made.write(str(tmp_path), str(tmp_path))

"""An export never replaces a file that is not ours, or that anyone has changed since; what is refused is one line."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import sys

import duckdb
import openpyxl
import pytest

from stillroom.commands.main import main
from stillroom.export import workbook
from stillroom.export.typed import Content, Field, Typed
from tests.repository import HOME
from tests.trials import THOROUGH

FORMS = ("parquet", "sqlite", "duckdb", "json", "xlsx", "csv")
FOLDERS = ("parquet", "csv")


def refused(words, capsys, said=""):
    assert main(["export", *map(str, words)]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1 and said in err, err


@pytest.mark.parametrize("form", FORMS if THOROUGH else ("sqlite", "xlsx", "csv"))
def test_what_we_wrote_is_replaced_and_what_anyone_else_wrote_is_not(form, tmp_path, capsys):
    out = tmp_path / "out"
    assert main(["export", str(out), "--to", form]) == 0
    assert main(["export", str(out), "--to", form]) == 0
    file = out / f"foods.{form}" if form in FOLDERS else out
    changed = () if form in ("xlsx", "duckdb") else (file.read_bytes() + b"\n",)  # these two: see below
    for content in (b"", b"mine", *changed):
        file.write_bytes(content)
        capsys.readouterr()
        refused([out, "--to", form], capsys, "was not written by stillroom")
        assert file.read_bytes() == content


def test_a_database_that_somebody_has_written_to_stays(tmp_path, capsys):
    lite, duck = tmp_path / "a.sqlite", tmp_path / "a.duckdb"
    assert main(["export", str(lite), "--to", "sqlite"]) == 0
    assert main(["export", str(duck), "--to", "duckdb"]) == 0
    with sqlite3.connect(lite) as base:
        base.execute("CREATE TABLE mine (jars INTEGER)")
    with duckdb.connect(str(duck)) as base:
        base.execute("CREATE TABLE mine (jars INTEGER)")
    capsys.readouterr()
    refused([lite, "--to", "sqlite"], capsys)
    refused([duck, "--to", "duckdb"], capsys)


def test_a_workbook_that_somebody_has_saved_stays(tmp_path, capsys):
    path = tmp_path / "a.xlsx"
    assert main(["export", str(path), "--to", "xlsx"]) == 0
    book = openpyxl.load_workbook(path)
    book.save(path)
    capsys.readouterr()
    refused([path, "--to", "xlsx"], capsys)


def test_the_descriptor_of_a_package_is_nobodys_export(tmp_path, capsys):
    shutil.copy(HOME / "datapackage.json", tmp_path)
    refused([tmp_path, "--to", "csv"], capsys)
    assert sorted(os.listdir(tmp_path)) == ["datapackage.json"]
    refused([tmp_path / "datapackage.json", "--to", "json"], capsys)


def test_a_folder_in_which_one_file_is_anothers_is_left_as_it_is(tmp_path, capsys):
    (tmp_path / "rules.csv").write_text("mine\n")
    refused([tmp_path, "--to", "csv"], capsys, "rules.csv")
    assert os.listdir(tmp_path) == ["rules.csv"]


def test_tables_of_an_earlier_export_are_not_left_beside_those_of_a_smaller_one(tmp_path, capsys):
    assert main(["export", str(tmp_path), "--to", "csv", "--readings"]) == 0
    capsys.readouterr()
    refused([tmp_path, "--to", "csv"], capsys, "choose another folder")


@pytest.mark.parametrize("form", FORMS)
def test_a_missing_folder_a_file_in_the_way_and_a_folder_in_the_way_are_one_line(form, tmp_path, capsys):
    (tmp_path / "file").write_text("mine")
    (tmp_path / "folder.csv").mkdir()
    if form not in FOLDERS:
        refused([tmp_path / "no/out", "--to", form], capsys)
        refused([tmp_path / "folder.csv", "--to", form], capsys)
    refused([tmp_path / "file", "--to", form], capsys)
    refused([tmp_path / "file/out", "--to", form], capsys)
    refused(["", "--to", form], capsys)


@pytest.mark.skipif(sys.platform == "win32" or os.geteuid() == 0, reason="root may write anywhere")
@pytest.mark.parametrize("form", FORMS)
def test_a_folder_that_cannot_be_written_is_one_line(form, tmp_path, capsys):
    tmp_path.chmod(0o500)
    refused([tmp_path / "out", "--to", form], capsys)


@pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="a folder that not even root may write in")
@pytest.mark.parametrize("form", FORMS)
def test_a_folder_that_nobody_can_write_is_one_line(form, capsys):
    refused(["/proc/self/out", "--to", form], capsys, "cannot be written")


@pytest.mark.parametrize(
    ("file", "old", "new"),
    [
        ("schedules/foods.csv", "apple-butter,", "applesauce,"),
        ("schedules/answers.csv", "\n14-day-sweet-pickles,", "\nno-such-food,"),
        ("schedules/vegetables.csv", ",pressure,", ",pressure,x,"),
        ("schedules/fruit.csv", ",1000,", ",1_000,"),
        ("schema/foods.json", '"fields"', '"felder"'),
    ],
)
def test_a_package_that_does_not_hold_is_not_exported(file, old, new, copy, tmp_path, capsys):
    text = (copy / file).read_text(encoding="utf-8")
    assert old in text
    (copy / file).write_text(text.replace(old, new, 1), encoding="utf-8")
    refused([tmp_path / "out", "--to", "json", "--package", copy], capsys)
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("library", ["duckdb", "pyarrow", "xlsxwriter"])
def test_a_library_that_is_not_there_is_named(library, monkeypatch, tmp_path, capsys):
    form = {"pyarrow": "parquet", "xlsxwriter": "xlsx"}.get(library, library)
    monkeypatch.setitem(sys.modules, library, None)
    refused([tmp_path / "out", "--to", form], capsys, 'pip install "stillroom[export]"')


TITLES = ("=1+1", "+1", "-1", "@x", "\tx", "plain", "a=b")


def test_no_title_is_run_as_a_formula(copy, tmp_path):
    """A title that begins with a sign stands as text in a workbook, and behind an apostrophe in a CSV file."""
    path = copy / "schedules/foods.csv"
    lines = path.read_text(encoding="utf-8").split("\n")
    first = lines[1].split(",")
    lines[1] = ",".join([first[0], "=HYPERLINK(1)", *first[2:]])
    path.write_text("\n".join(lines), encoding="utf-8")
    words = ["--package", str(copy)]
    assert main(["export", str(tmp_path / "a.xlsx"), "--to", "xlsx", *words]) == 0
    cell = openpyxl.load_workbook(tmp_path / "a.xlsx")["foods"]["B2"]
    assert (cell.value, cell.data_type, cell.quotePrefix) == ("=HYPERLINK(1)", "s", True)
    assert main(["export", str(tmp_path / "a"), "--to", "csv", *words]) == 0
    assert "'=HYPERLINK(1)" in (tmp_path / "a/foods.csv").read_text(encoding="utf-8")
    assert main(["export", str(tmp_path / "a.json"), "--to", "json", *words]) == 0
    foods = next(e for e in json.loads((tmp_path / "a.json").read_text())["resources"] if e["name"] == "foods")
    assert foods["data"][0]["title"] == "=HYPERLINK(1)"


def test_each_sign_is_text_in_a_workbook(tmp_path):
    table = Typed("t", "T", "D", (Field("a", "string", "", True, "A"),), (), (), (), tuple((t,) for t in TITLES))
    (tmp_path / "a.xlsx").write_bytes(workbook.written(Content({}, (table,))))
    sheet = openpyxl.load_workbook(tmp_path / "a.xlsx")["t"]
    cells = [sheet.cell(line, 1) for line in range(2, len(TITLES) + 2)]
    assert [(cell.value, cell.data_type) for cell in cells] == [(title, "s") for title in TITLES]
    assert [cell.quotePrefix for cell in cells] == [True] * 5 + [False] * 2

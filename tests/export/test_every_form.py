"""Every form read back by its own reader, cell by cell against the CSV files of the package, read here as text.

The readers are others' programs: sqlite3, DuckDB, Arrow, openpyxl, Frictionless, and the csv and json of Python.
"""

from __future__ import annotations

import csv
import json
import sqlite3
from pathlib import Path

import duckdb
import openpyxl
import pyarrow.parquet as pq
import pytest

from stillroom.commands.main import main
from tests.repository import HOME

PRINTED = ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")
FORMS = ("parquet", "sqlite", "duckdb", "json", "xlsx", "csv")
TYPES = {"integer": int, "number": float, "string": str}
DESCRIPTOR = json.loads((HOME / "datapackage.json").read_text(encoding="utf-8"))
RESOURCES = {each["name"]: each for each in DESCRIPTOR["resources"] if each.get("type") == "table"}
SCHEMAS = {name: json.loads((HOME / each["schema"]).read_text(encoding="utf-8")) for name, each in RESOURCES.items()}


def wanted(name: str) -> list[tuple[object, ...]]:
    """Rows of one table with the types of its schema; a blank cell is None."""
    kinds = [TYPES[field["type"]] for field in SCHEMAS[name]["fields"]]
    with (HOME / RESOURCES[name]["path"]).open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))[1:]
    return [tuple(kind(cell) if cell else None for kind, cell in zip(kinds, row, strict=True)) for row in rows]


def place(name: str, form: str) -> str:
    return f"all.{form}/{'schedules/' if name in PRINTED else ''}{name}.{form}"


def keys(name: str) -> list[list[str]]:
    schema = SCHEMAS[name]
    return [*([schema["primaryKey"]] if "primaryKey" in schema else []), *schema.get("uniqueKeys", ())]


def refers(name: str) -> set[tuple[str, str]]:
    """Column and table of each foreign key; one that names no table refers to its own."""
    return {
        (key["fields"][0], key["reference"].get("resource", name).replace("-", "_"))
        for key in SCHEMAS[name].get("foreignKeys", ())
    }


def columns(name: str) -> list[str]:
    return [field["name"] for field in SCHEMAS[name]["fields"]]


@pytest.fixture(scope="module")
def out(tmp_path_factory):
    folder = tmp_path_factory.mktemp("out")
    for form in FORMS:
        assert main(["export", str(folder / f"all.{form}"), "--to", form, "--readings", "--package", str(HOME)]) == 0
    return folder


def same(read: list[tuple[object, ...]], name: str) -> None:
    rows = wanted(name)
    assert [list(map(type, row)) for row in read] == [list(map(type, row)) for row in rows], name
    assert read == rows, name


def test_parquet(out: Path) -> None:
    for name in RESOURCES:
        held = pq.ParquetFile(out / place(name, "parquet")).read()
        assert held.column_names == columns(name)
        same(list(zip(*(column.to_pylist() for column in held.columns), strict=True)), name)
        for field in SCHEMAS[name]["fields"]:
            assert held.schema.field(field["name"]).metadata[b"description"].decode() == field["description"]
            assert held.schema.field(field["name"]).nullable is not field.get("constraints", {}).get("required", False)
        assert json.loads(held.schema.metadata[b"keys"]) == keys(name)


def test_sqlite(out: Path) -> None:
    with sqlite3.connect(out / "all.sqlite") as base:
        assert base.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert base.execute("PRAGMA foreign_key_check").fetchall() == []
        for name in RESOURCES:
            table = name.replace("-", "_")
            same(base.execute(f"SELECT * FROM {table} ORDER BY rowid").fetchall(), name)
            assert {(r[3], r[2]) for r in base.execute(f"PRAGMA foreign_key_list({table})")} == refers(name)
            told = base.execute('SELECT "column", "description" FROM about WHERE "table" = ?', (table,)).fetchall()
            assert told == [(field["name"], field["description"]) for field in SCHEMAS[name]["fields"]]
        assert base.execute(
            "SELECT unit FROM about WHERE \"table\" = 'answers' AND \"column\" = 'to_ft'"
        ).fetchall() == [("ft",)]


def test_duckdb(out: Path) -> None:
    with duckdb.connect(str(out / "all.duckdb"), read_only=True) as base:
        for name in RESOURCES:
            table = name.replace("-", "_")
            same(base.execute(f"SELECT * FROM {table}").fetchall(), name)
            told = base.execute(
                "SELECT column_name, comment FROM duckdb_columns() WHERE table_name = ? ORDER BY column_index", [table]
            ).fetchall()
            for (column, comment), field in zip(told, SCHEMAS[name]["fields"], strict=True):
                assert column == field["name"] and comment.startswith(field["description"])
            found = base.execute(
                "SELECT constraint_column_names[1], referenced_table FROM duckdb_constraints() "
                "WHERE table_name = ? AND constraint_type = 'FOREIGN KEY'", [table]
            ).fetchall()  # fmt: skip
            assert set(found) == {each for each in refers(name) if each[1] != table}


@pytest.mark.parametrize("form", ["sqlite", "duckdb"])
def test_no_row_comes_twice_into_a_database_not_even_where_its_key_is_blank(
    form: str, out: Path, tmp_path: Path
) -> None:
    (tmp_path / "base").write_bytes((out / f"all.{form}").read_bytes())
    base = sqlite3.connect(tmp_path / "base") if form == "sqlite" else duckdb.connect(str(tmp_path / "base"))
    for name, schema in SCHEMAS.items():
        if "primaryKey" in schema or "uniqueKeys" in schema:
            table = name.replace("-", "_")
            with pytest.raises((sqlite3.IntegrityError, duckdb.ConstraintException)):
                base.execute(f"INSERT INTO {table} SELECT * FROM {table} LIMIT 1")
    base.close()


def test_json_is_a_data_package_that_holds_its_rows(out: Path) -> None:
    held = json.loads((out / "all.json").read_text(encoding="utf-8"))
    assert held["version"] == DESCRIPTOR["version"] and held["licenses"] == DESCRIPTOR["licenses"]
    assert [each["name"] for each in held["resources"]] == list(RESOURCES)
    for each in held["resources"]:
        name = each["name"]
        assert all(list(row) == columns(name) for row in each["data"])
        rows = [tuple(row.values()) for row in each["data"]]
        kinds = [field["type"] for field in each["schema"]["fields"]]
        assert kinds == [field["type"] for field in SCHEMAS[name]["fields"]]
        same(rows, name)
        assert each["schema"].get("primaryKey") == SCHEMAS[name].get("primaryKey")
        assert len(each["schema"].get("foreignKeys", ())) == len(SCHEMAS[name].get("foreignKeys", ()))


def test_xlsx(out: Path) -> None:
    book = openpyxl.load_workbook(out / "all.xlsx")
    assert book.sheetnames == ["tables", "columns", *RESOURCES]
    assert [row[0] for row in book["tables"].iter_rows(min_row=2, values_only=True)] == list(RESOURCES)
    told = [(row[0], row[1], row[7]) for row in book["columns"].iter_rows(min_row=2, values_only=True)]
    assert told == [(n, field["name"], field["description"]) for n in RESOURCES for field in SCHEMAS[n]["fields"]]
    for name in RESOURCES:
        head, *rows = book[name].iter_rows(values_only=True)
        assert list(head) == columns(name)
        numbers = [field["type"] == "number" for field in SCHEMAS[name]["fields"]]
        # a workbook has one kind of number: 1 and 1.0 are the same there
        same([tuple(float(cell) if is_number and cell is not None else cell
                    for cell, is_number in zip(row, numbers, strict=True)) for row in rows], name)  # fmt: skip


def test_csv(out: Path) -> None:
    for name in RESOURCES:
        kinds = [TYPES[field["type"]] for field in SCHEMAS[name]["fields"]]
        with (out / place(name, "csv")).open(encoding="utf-8", newline="") as file:
            head, *rows = csv.reader(file)
        assert head == columns(name)
        same([tuple(k(c) if c else None for k, c in zip(kinds, row, strict=True)) for row in rows], name)


@pytest.mark.parametrize("document", ["all.csv/datapackage.json", "all.parquet/datapackage.json"])
def test_a_folder_is_described_with_the_bytes_and_the_hash_of_each_file(document: str, out: Path) -> None:
    import hashlib

    held = json.loads((out / document).read_text(encoding="utf-8"))
    for each in held["resources"]:
        content = (out / document).parent.joinpath(each["path"]).read_bytes()
        assert (len(content), f"sha256:{hashlib.sha256(content).hexdigest()}") == (each["bytes"], each["hash"])


def test_frictionless_finds_nothing_wrong_with_the_csv_folder_nor_its_keys(out: Path) -> None:
    """Frictionless compares a key that holds blanks as it is; see DEVELOPERS.md."""
    from frictionless import Package, system

    with system.use_context(trusted=True):
        report = Package(str(out / "all.csv/datapackage.json")).validate()
    assert report.flatten(["type", "title", "message"]) == []


def test_without_readings_only_the_tables_that_answer_are_there(tmp_path: Path) -> None:
    assert main(["export", str(tmp_path / "few"), "--to", "csv"]) == 0
    there = {path.stem for path in (tmp_path / "few").rglob("*.csv")}
    assert there == {name for name, each in RESOURCES.items() if "/readings/" not in each["path"]}


def _files(path: Path) -> list[str]:
    """Give the files of a folder by their path in it; of a file a blank."""
    return sorted(str(each.relative_to(path)) for each in path.rglob("*") if each.is_file()) if path.is_dir() else [""]


@pytest.mark.parametrize("form", [form for form in FORMS if form != "duckdb"])
def test_two_builds_are_the_same_bytes(form: str, out: Path, tmp_path: Path) -> None:
    again = tmp_path / f"again.{form}"
    assert main(["export", str(again), "--to", form, "--readings"]) == 0
    first = out / f"all.{form}"
    names = _files(again)
    assert names == _files(first)
    for name in names:
        assert (again / name).read_bytes() == (first / name).read_bytes(), name


def test_two_duckdb_builds_hold_the_same(out: Path, tmp_path: Path) -> None:
    assert main(["export", str(tmp_path / "again.duckdb"), "--to", "duckdb", "--readings"]) == 0
    dumps = []
    for number, path in enumerate((out / "all.duckdb", tmp_path / "again.duckdb")):
        with duckdb.connect(str(path), read_only=True) as base:
            base.execute(f"EXPORT DATABASE '{tmp_path / str(number)}' (FORMAT csv)")
        files = sorted((tmp_path / str(number)).iterdir())
        dumps.append([(file.name, file.read_text(encoding="utf-8").replace(str(file.parent), "")) for file in files])
    assert dumps[0] == dumps[1]


def test_all_printed_schedules_are_one_table(out: Path) -> None:
    """1,593 cells in the tables of Guides 2 to 7 of the Complete Guide, 2015, and the one on page 1-31."""
    rows = [row for name in PRINTED for row in wanted(name)]
    assert len(rows) == 1593
    globbed = (
        f"read_parquet('{out}/all.parquet/schedules/*.parquet')",
        f"read_csv('{out}/all.csv/schedules/*.csv', null_padding = false)",
    )
    for source in globbed:
        found = duckdb.sql(f"SELECT * FROM {source}")
        assert found.columns == columns("fruit")
        assert sorted(map(repr, found.fetchall())) == sorted(map(repr, rows))
    for base in (sqlite3.connect(out / "all.sqlite"), duckdb.connect(str(out / "all.duckdb"), read_only=True)):
        found = base.execute("SELECT * FROM schedules").fetchall()
        assert [row[1:] for row in found] == rows
        assert [row[0] for row in found] == [name for name in PRINTED for _ in wanted(name)]
        base.close()

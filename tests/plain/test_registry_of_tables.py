"""The registry of tables in code is what datapackage.json and schema/ say, and the loader reads every table by it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import stillroom
from stillroom.package import made
from stillroom.package.tables import CHECKED, DERIVED, GROUPS, TABLES, Tables
from tests.conftest import ROOT, table

CODE = Path(made.__file__).parent


def test_the_registry_is_what_the_schemas_say() -> None:
    for name, code in made.made(str(ROOT)).items():
        assert (CODE / f"{name}.py").read_text(encoding="utf-8") == code, f"run python -m {made.__name__}"


def test_a_schema_with_one_more_column_makes_another_registry(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "schema", tmp_path / "schema")
    shutil.copy(ROOT / "datapackage.json", tmp_path)
    path = tmp_path / "schema/jars.json"
    schema = json.loads(path.read_text(encoding="utf-8"))
    schema["fields"].append({"name": "lid", "type": "string", "constraints": {"required": True}})
    path.write_text(json.dumps(schema), encoding="utf-8")
    changed = made.made(str(tmp_path))
    before = made.made(str(ROOT))
    assert changed["records"].replace("    lid: Text\n", "") == before["records"] != changed["records"]


def test_every_table_is_read_with_as_many_rows_as_its_file_has() -> None:
    package = stillroom.shelf().package
    kept = {entry.file: name for name, entry in vars(Tables).items() if hasattr(entry, "file")}
    for name, declared in TABLES.items():
        if declared.file.startswith("schedules/readings/") or name in (*DERIVED, *CHECKED):
            assert declared.file not in kept
            continue
        rows = package.schedules(name) if name in GROUPS else getattr(package, kept[declared.file])
        assert len(rows) == len(table(declared.file)) > 0, name

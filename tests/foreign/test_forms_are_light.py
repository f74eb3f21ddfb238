"""CSV, text, Markdown and HTML are read with the standard library alone; more is imported where it is used."""

from __future__ import annotations

import ast
import sys

import pytest

from tests.conftest import ROOT

FOREIGN = ROOT / "validator/stillroom/foreign"
FORMS = ("decoded", "delimited", "forms", "framed", "grid", "gridding", "gutters", "inline", "markup", "number_format",
         "pipes", "ruled", "typed_text", "unpacked", "workbook", "wraps")  # fmt: skip


@pytest.mark.parametrize("name", FORMS)
def test_a_form_imports_no_optional_library_before_it_is_needed(name: str) -> None:
    at_once = ast.parse((FOREIGN / f"{name}.py").read_text(encoding="utf-8")).body
    named = [node.module for node in at_once if isinstance(node, ast.ImportFrom) and node.module]
    named += [alias.name for node in at_once if isinstance(node, ast.Import) for alias in node.names]
    assert named and all(module.split(".")[0] in {*sys.stdlib_module_names, "stillroom"} for module in named)
    assert not {"stillroom.foreign.markup", "stillroom.foreign.workbook", "stillroom.foreign.framed"} & set(named)

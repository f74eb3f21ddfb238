"""Opening, strict reading, replacing and wrapping stand in one module each: whoever needs them asks that module."""

from __future__ import annotations

import re

import pytest

from tests.conftest import ROOT

CODE = [(path.name, path.read_text(encoding="utf-8")) for path in (ROOT / "validator/stillroom").rglob("*.py")]
ONE_PLACE = {
    r"\bos\.open\((?!os\.devnull)": {"files.py"},
    r"\bos\.(replace|rename|link)\(": {"files.py", "output.py"},
    r"\btempfile\b": {"files.py"},
    r"\bjson\.loads?\(|\bjson import .*\bloads?\b": {"documents.py", "made.py", "second_process.py"},
    r"\byaml\.(safe_|full_|unsafe_)?load|SafeLoader|\byaml\.parse\(": {"documents.py"},
    r"\btextwrap\b": {"page.py", "made.py"},
    r"\bDraft202012Validator\b": {"schemas.py"},
    r"1 / 48|1 / 16\b|\b768\b": {"measures.py"},
}
"""What must not stand elsewhere, and where it stands. ``made.py`` makes code from the schemas, and is run by hand;
``second_process.py`` reads what this program itself has written a moment before."""


@pytest.mark.parametrize("written", ONE_PLACE)
def test_it_stands_in_its_one_place_and_nowhere_else(written: str) -> None:
    assert {name for name, text in CODE if re.search(written, text)} == ONE_PLACE[written]


def test_a_near_miss_to_write_yaml_or_json_is_no_reading() -> None:
    assert not any(re.search(written, "yaml.safe_dump(x); json.dumps(x)") for written in ONE_PLACE)

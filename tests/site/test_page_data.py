"""The page's data and scripts: small, plain, the same each time, and no word in them can break out of its script."""

from __future__ import annotations

import gzip
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import stillroom
from stillroom.site import data
from tests.conftest import ROOT
from tests.node import NODE, needs_node
from tests.sourced.test_one_place import FIGURE, PAGE
from tests.trials import THOROUGH

FOLDER = Path(data.__file__).parent / "script"
ALL = (*data.ORDER, *data.AUDIT_ORDER)
MOST_BYTES = 250_000
"""Data and scripts, compressed: what a first page may weigh, less what it shows."""
REACHING_OUT = re.compile(
    r"\b(?:fetch|XMLHttpRequest|WebSocket|eval|Function|import|export|require|innerHTML|document|sendBeacon)\b\s*[(.{=]"
)
HOSTILE = "</script><!--<script>&amp;\u2028\u2029\u0000\ud800'\"\\`${x}"


def test_data_and_scripts_stay_small(data_script: str) -> None:
    packed = [len(gzip.compress(text.encode())) for text in (data_script, *data.page_scripts().values())]
    assert sum(packed) < MOST_BYTES
    assert packed[0] > 20_000  # near miss: an empty file is small too


def test_every_script_of_the_folder_is_loaded_once() -> None:
    assert sorted(ALL) == sorted(path.name for path in FOLDER.iterdir())


@pytest.mark.parametrize("name", ALL)
def test_a_script_is_plain_and_reaches_nothing_outside(name: str) -> None:
    text = (FOLDER / name).read_text(encoding="utf-8")
    assert text.startswith("/* ")
    assert '\n"use strict";\n' in text
    assert text.isascii()
    assert REACHING_OUT.search(text) is None
    assert max(map(len, text.splitlines())) <= 120


def without_comments(script: str) -> str:
    return re.sub(r"/\*.*?\*/|(?m:^|\s)//[^\n]*", " ", script, flags=re.DOTALL)


@pytest.mark.parametrize("name", ALL)
def test_no_page_and_no_figure_of_a_rule_stands_in_a_script(name: str) -> None:
    """They come with the data, which the library makes."""
    text = without_comments((FOLDER / name).read_text(encoding="utf-8"))
    assert [found[0] for pattern in (PAGE, FIGURE) for found in pattern.finditer(text)] == []


def test_a_near_miss_a_figure_in_a_script_is_found_and_one_in_a_comment_is_not() -> None:
    assert FIGURE.search(without_comments('const said = "Vent it 10 minutes";'))
    assert PAGE.search(without_comments("const where = `1-20`;"))
    assert FIGURE.search(without_comments("/* vented 10 minutes */ const minutes = least; // 10 minutes")) is None


def test_a_near_miss_a_script_that_reaches_out_is_found() -> None:
    assert REACHING_OUT.search("const page = await fetch(address);")
    assert REACHING_OUT.search("node.innerHTML = said;")


def test_no_word_in_the_data_can_break_out_of_its_script(data_script: str) -> None:
    for text in (data_script, data.literal([HOSTILE])):
        assert text.isascii()
        assert not re.search("[<>&]", text)
        assert "\0" not in text


@needs_node
def test_a_hostile_word_comes_back_as_it_was() -> None:
    """A script element ends at its end tag whatever stands before it (HTML Living Standard, script data state)."""
    code = f"process.stdout.write(JSON.stringify({data.literal([HOSTILE])}[0]))"
    said = subprocess.run([str(NODE), "-e", code], capture_output=True, encoding="utf-8", check=True).stdout
    assert said == stillroom_json(HOSTILE)


def stillroom_json(text: str) -> str:
    """As ECMA-262 writes a text: only quotes, control characters and halves of pairs as escapes."""
    out = ""
    for letter in text:
        if letter in '"\\':
            out += "\\" + letter
        else:
            out += f"\\u{ord(letter):04x}" if letter < " " or "\ud800" <= letter <= "\udfff" else letter
    return f'"{out}"'


def test_the_data_are_one_assignment(data_script: str) -> None:
    assert re.fullmatch(r'"use strict";\nglobalThis\.stillroomData = \{.*\};\n', data_script)
    assert len(data_script.splitlines()) == 2


@pytest.mark.skipif(not THOROUGH, reason="builds the data twice more: STILLROOM_THOROUGH=1")
def test_the_same_package_makes_the_same_bytes(data_script: str) -> None:
    code = "import sys, stillroom; from stillroom.site import data; sys.stdout.write(data.script(stillroom.shelf()))"
    for seed in ("1", "2"):
        around = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT / "validator")}
        made = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, encoding="utf-8", env=around, check=True
        )
        assert made.stdout == data_script


def test_every_table_of_the_data_is_used() -> None:
    scripts = "".join(data.page_scripts().values())
    keys = set(data.document(stillroom.shelf())) if THOROUGH else {"version", "options", "refusals", "names"}
    assert [key for key in keys if not re.search(rf"\b{key}\b", scripts)] == []

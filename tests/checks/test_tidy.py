"""Tidying: form only, never a value, in one step."""

from __future__ import annotations

import json
import os

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stillroom.commands.main import main
from stillroom.desk import tidy
from stillroom.errors import BadPackage

FRUIT, PICKLES = "schedules/fruit.csv", "schedules/pickles.csv"


@pytest.fixture
def package(package):
    """Leave the others their header: each table is tidied for itself, and two show it."""
    for resource in json.loads(package.bytes("datapackage.json"))["resources"]:
        if "type" in resource and resource["path"] not in (FRUIT, PICKLES):
            package.write(resource["path"], package.read(resource["path"])[:1])
    return package


def test_the_published_tables_are_tidy(published):
    assert tidy.tidied(str(published.root), write=False) == ()


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: b"\xef\xbb\xbf" + data,
        lambda data: data.replace(b"\n", b"\r\n"),
        lambda data: data.rstrip(b"\n"),
        lambda data: data.replace(b"Apple Butter", b" Apple   Butter "),
        lambda data: data.replace(b",usda-2015,", b',"usda-2015",'),
        lambda data: b"\n".join([data.split(b"\n")[0], *sorted(data.split(b"\n")[1:-1], reverse=True), b""]),
    ],
)
def test_form_is_mended_to_the_published_bytes(package, spoil):
    published = package.bytes(FRUIT)
    package.put(FRUIT, spoil(published))
    assert tidy.tidied(str(package.root), write=False) == (FRUIT,)
    assert package.bytes(FRUIT) == spoil(published), "only asked"
    assert tidy.tidied(str(package.root)) == (FRUIT,)
    assert package.bytes(FRUIT) == published
    assert tidy.tidied(str(package.root)) == ()
    assert package.found("form") == ()


@pytest.mark.parametrize("cells", [{"minutes": "05"}, {"minutes": "7"}, {"caption": "=1"}, {"page": "2-99"}])
def test_a_near_miss_a_wrong_value_is_left_alone(package, cells):
    package.edit(FRUIT, 2, **cells)
    before = package.read(FRUIT)
    tidy.tidied(str(package.root))
    assert sorted(package.read(FRUIT)) == sorted(before)


@pytest.mark.parametrize("data", [b"food\xff\n", b"food,form\n", b"a\0b\n"])
def test_a_table_that_cannot_be_read_stops_all_writing(package, data):
    package.put(PICKLES, package.bytes(PICKLES).replace(b"\n", b"\r\n"))
    package.put(FRUIT, data)
    before = package.bytes(PICKLES)
    with pytest.raises(BadPackage, match=r"nothing is tidied before this is mended: schedules/fruit.csv"):
        tidy.tidied(str(package.root))
    assert package.bytes(PICKLES) == before and package.bytes(FRUIT) == data


def test_a_write_that_stops_leaves_the_old_file_and_no_other(package, monkeypatch):
    package.put(FRUIT, package.bytes(FRUIT).rstrip(b"\n"))
    before = package.bytes(FRUIT)

    def stops(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", stops)
    with pytest.raises(BadPackage, match="cannot be written: No space left on device"):
        tidy.tidied(str(package.root))
    assert package.bytes(FRUIT) == before
    assert not list((package.root / "schedules").glob(".*"))


def test_permissions_are_kept(package):
    os.chmod(package.root / FRUIT, 0o640)
    package.put(FRUIT, package.bytes(FRUIT).rstrip(b"\n"))
    tidy.tidied(str(package.root))
    assert (package.root / FRUIT).stat().st_mode & 0o777 == 0o640


@given(st.text())
def test_tidying_words_twice_is_tidying_once_and_keeps_every_letter(text):
    once = tidy.words(text)
    assert tidy.words(once) == once
    assert "".join(once.split()) == "".join(text.split())


def test_the_command_says_what_it_did(package, capsys):
    package.put(FRUIT, package.bytes(FRUIT).rstrip(b"\n"))
    assert main(["tidy", str(package.root), "--check"]) == 1
    assert main(["tidy", str(package.root)]) == 0
    assert main(["tidy", str(package.root), "--check"]) == 0
    said = ["schedules/fruit.csv: would be tidied", "schedules/fruit.csv: tidied", "every table is tidy"]
    assert capsys.readouterr().out.splitlines() == said

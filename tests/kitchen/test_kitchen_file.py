"""The kitchen file: where it is found, what it may say, and what is refused in one line with file and key."""

from __future__ import annotations

import datetime
import json
import os
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

import stillroom
from stillroom.answers import kitchen
from stillroom.answers.kitchen import Held, Kitchen
from stillroom.errors import BadInput
from stillroom.package import kitchen_file, schemas
from stillroom.sheets import kitchen_sheet
from tests.conftest import ROOT

Kept = Callable[[str | bytes], str]
WHOLE = """altitude = "1650 ft"
canner = ["boiling-water", "dial", "weighted"]
gauge = { reads_high_by = "1/2 psi", tested = 2026-06-01 }
holds = { boiling-water = { quart = 7, 12-ounce = 12 }, dial = { quart = 7, pint = 18 } }
weights = ["10 psi", "15 psi"]
"""


def test_every_key_is_read(kept: Kept) -> None:
    assert stillroom.kitchen(kept(WHOLE)) == Kitchen(
        file="kitchen.toml",
        altitude="1650 ft",
        canners=("boiling-water", "dial", "weighted"),
        reads_high_by="1/2 psi",
        tested=datetime.date(2026, 6, 1),
        holds=(
            Held("boiling-water", "quart", 7),
            Held("boiling-water", "12-ounce", 12),
            Held("dial", "quart", 7),
            Held("dial", "pint", 18),
        ),
        weights=("10 psi", "15 psi"),
    )


def test_words_of_people_are_understood_as_in_a_question(kept: Kept) -> None:
    found = stillroom.kitchen(kept('canner = ["water bath", "dial gauge"]\nholds.dial = { qts = 7, "16 oz" = 9 }\n'))
    assert found.canners == ("boiling-water", "dial")
    assert found.holds == (Held("dial", "quart", 7), Held("dial", "pint", 9))
    assert stillroom.kitchen(kept('altitude = "sea level"')).altitude_ft == 0


LINES = {
    "altitude": ('altitude = "1,650 ft"', 'altitude = "503 m"', 'altitude = "-20 m"'),
    "canner": ('canner = "dial"', 'canner = ["boiling-water"]', 'canner = ["weighted", "dial", "steam"]'),
    "gauge": (
        'gauge = { reads_high_by = "-1/2 psi" }',
        "gauge = { tested = 2026-06-01 }",
        '[gauge]\ntested = "2026-06-01"',
    ),
    "holds": (
        "holds = { quart = 7 }",
        "holds = { dial = { quart = 7, half-pint = 40 } }",
        "[holds]\ndial = { pint = 9 }\nweighted = { pint = 18 }",
    ),
    "weights": ('weights = ["15 psi"]', 'weights = ["5 lb", "10 psi", "15 pounds"]'),
}


@pytest.mark.parametrize("line", [WHOLE, *(line for lines in LINES.values() for line in lines)])
def test_what_is_written_is_read_back_the_same_and_fits_the_schema(kept: Kept, line: str) -> None:
    found = stillroom.kitchen(kept(line))
    written = kitchen_sheet.toml(found)
    assert stillroom.kitchen(kept(written)) == found
    for text in (line, written):
        document = json.loads(json.dumps(tomllib.loads(text), default=str))
        schemas.validator(schemas.schema("kitchen"), "date").validate(document)


def test_every_key_of_the_schema_is_tried_here() -> None:
    assert set(schemas.schema("kitchen")["properties"]) == set(LINES)
    jsonschema.Draft202012Validator.check_schema(schemas.schema("kitchen"))


REFUSED = {
    "": "says nothing: write at least the altitude",
    'altitud = "1650 ft"\n': "key 'altitud' is unknown: keys are altitude, canner, gauge, holds, weights",
    'Altitude = "1650 ft"\n': "key 'Altitude' is unknown",
    "altitude = 1650\n": 'altitude 1650 has no unit: write "1650 ft" or "1650 m"',
    'altitude = "1650"\n': 'altitude "1650" has no unit: write "1650 ft" or "1650 m"',
    'altitude = "2.240 m"\n': "has a dot before three digits",
    'altitude = "Denver"\n': 'altitude "Denver" is not a number with a unit',
    'altitude = ""\n': "altitude is empty",
    "altitude = nan\n": "altitude nan",
    "altitude = true\n": "altitude True",
    'canner = "tall"\n': 'canner "tall" is not one of',
    'canner = "pressure canner"\n': "pressure canner",
    'canner = "oven"\n': "canner 'oven' is not for a kitchen: ",
    'holds = { "4 oz" = 7 }\n': "holds: ",
    "canner = 5\n": "canner 5 does not fit: write the canner, like",
    "canner = []\n": "canner [] does not fit",
    'canner = ["dial", 5]\n': "canner 5 is not one of",
    'canner = ["dial", "Dial"]\n': 'canner "dial" stands twice',
    "gauge = 0.5\n": "gauge 0.5 does not fit: write the dial gauge",
    "gauge = {}\n": "gauge {} does not fit",
    'gauge = { reads_low_by = "1 psi" }\n': "key 'gauge.reads_low_by' is unknown: keys are reads_high_by, tested",
    "gauge = { reads_high_by = 0.5 }\n": "gauge.reads_high_by 0.5 has no unit",
    'gauge = { reads_high_by = "0.5 bar" }\n': "gauge.reads_high_by",
    'gauge = { tested = "last June" }\n': 'gauge.tested "last June" is not a date',
    "gauge = { tested = 9999-01-01 }\n": 'gauge.tested "9999-01-01" is yet to come',
    'canner = "weighted"\ngauge = { reads_high_by = "1 psi" }\n': "gauge is for a dial gauge, and canner is weighted",
    'canner = "dial"\nweights = ["10 psi"]\n': "weights is for a weighted gauge, and canner is dial",
    "holds = 7\n": "holds 7 does not fit: write the jars the canner holds",
    "holds = { bucket = 7 }\n": 'holds: jar "bucket" is not one of',
    "holds = { quart = 0 }\n": "holds.quart 0 is less than one jar",
    "holds = { quart = 101 }\n": "holds.quart 101 is more than 100",
    "holds = { quart = 7.5 }\n": "holds.quart 7.5 is not a whole number",
    "holds = { quart = true }\n": "holds.quart True is not a whole number",
    'holds = { quart = "7" }\n': "holds.quart '7' is not a whole number",
    "holds = { quart = 7, qt = 8 }\n": "holds.quart stands twice",
    "holds = { quart = 7, dial = { quart = 7 } }\n": "holds names jars beside canners",
    'canner = ["boiling-water", "dial"]\nholds = { quart = 7 }\n': "holds does not say of which canner: write it like",
    'canner = "dial"\nholds = { weighted = { quart = 7 } }\n': "holds.weighted is of no canner here",
    "holds = { dial = {} }\n": "holds.dial is empty",
    "weights = 10\n": "weights 10 does not fit: write the weights you own",
    "weights = [10]\n": "weights 10 has no unit",
    'weights = ["0 psi"]\n': 'weights "0 psi" is no weight of a canner',
    "altitude = 1650 ft\n": 'write each key as in altitude = "1650 ft"',
    'altitude = "1650 ft"\naltitude = "0 ft"\n': "a key only once",
    "altitude: 1650 ft\n": 'write each key as in altitude = "1650 ft"',
    "a = " + "[" * 9 + "]" * 9: "nested deeper than 4 levels",
    "a = " + "[" * 9_000 + "]" * 9_000: "kitchen.toml",
    b'altitude = "\xff"\n': "is not UTF-8 text: is it a kitchen file?",
    b"\0": "kitchen.toml:1",
    "#" * (64 * 1024 + 1): "larger than 64 KiB: is it a kitchen file?",
}


@pytest.mark.parametrize(("text", "said"), REFUSED.items(), ids=range(len(REFUSED)))
def test_a_damaged_file_is_one_line_that_names_the_file_and_the_key(kept: Kept, text: str | bytes, said: str) -> None:
    kept(text)
    for path in (None, "kitchen.toml"):
        with pytest.raises(BadInput) as error:
            stillroom.kitchen(path)
        assert str(error.value).startswith("kitchen.toml:") and said in str(error.value)
        assert "\n" not in str(error.value) and str(error.value).isprintable()


def test_a_file_of_just_the_largest_size_is_read(kept: Kept) -> None:
    line = 'altitude = "0 ft"\n'
    assert stillroom.kitchen(kept(line + "#" * (64 * 1024 - len(line)))).altitude == "0 ft"


def test_a_line_that_is_no_toml_is_told_by_its_number(kept: Kept) -> None:
    kept('canner = "dial"\naltitude = 1650 ft\n')
    with pytest.raises(BadInput, match=r"^kitchen\.toml:2: "):
        stillroom.kitchen()


VALUES = st.recursive(
    st.booleans() | st.integers() | st.floats() | st.text(max_size=9) | st.dates(),  # TOML has no null
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6) | st.just("quart"), inner, max_size=3)
    ),
    max_leaves=5,
)


@given(said=st.dictionaries(st.sampled_from([*LINES, "x"]), VALUES, max_size=3))
def test_any_values_are_understood_or_refused_in_one_line(said: dict[str, object]) -> None:
    refused, found = "", None
    try:
        found = kitchen.understood(said, stillroom.shelf(), "kitchen.toml")
    except BadInput as error:
        refused = str(error)
    if found is None:
        assert refused.startswith("kitchen.toml: ") and refused.isprintable()
    else:
        assert kitchen.understood(tomllib.loads(kitchen_sheet.toml(found)), stillroom.shelf(), "kitchen.toml") == found


# where it is found


def test_beside_the_work_comes_before_the_user_and_the_two_are_never_mixed(work: Path, user: Path) -> None:
    user.write_text('altitude = "9 ft"\ncanner = "dial"\n')
    assert stillroom.kitchen().altitude == "9 ft"
    (work / "kitchen.toml").write_text('altitude = "5 ft"\n')
    assert (stillroom.kitchen().altitude, stillroom.kitchen().canners) == ("5 ft", ())


def test_a_damaged_file_beside_the_work_is_never_passed_over_for_that_of_the_user(work: Path, user: Path) -> None:
    user.write_text('altitude = "9 ft"\n')
    for make in (
        lambda path: path.write_text("altitude = 5\n"),
        lambda path: path.symlink_to("nowhere.toml"),
        lambda path: path.mkdir(),
    ):
        make(work / "kitchen.toml")
        with pytest.raises(BadInput, match=r"^kitchen\.toml: "):
            stillroom.kitchen()
        (work / "kitchen.toml").rmdir() if (work / "kitchen.toml").is_dir() else (work / "kitchen.toml").unlink()
    assert stillroom.kitchen().altitude == "9 ft"


def test_a_folder_above_is_not_looked_in(work: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (work / "kitchen.toml").write_text('altitude = "5 ft"\n')
    (work / "deeper").mkdir()
    monkeypatch.chdir(work / "deeper")
    with pytest.raises(BadInput, match=r"there is no kitchen\.toml or .*: write one with stillroom kitchen"):
        stillroom.kitchen()


def test_a_link_is_followed_and_any_letters_may_be_in_a_path(work: Path) -> None:
    (work / "K\u00fcche \u53a8\u623f").mkdir()
    there = work / "K\u00fcche \u53a8\u623f/meine.toml"
    there.write_text('altitude = "5 m"\n', encoding="utf-8-sig")
    (work / "kitchen.toml").symlink_to(there)
    assert stillroom.kitchen().altitude == "5 m"
    assert stillroom.kitchen(there).file.endswith("K\u00fcche \u53a8\u623f/meine.toml")


@pytest.mark.parametrize("path", ["", "a\0b", 5, b"kitchen.toml"])
def test_what_is_no_path_is_refused(path: object) -> None:
    with pytest.raises(BadInput, match="is not a path"):
        stillroom.kitchen(path)  # type: ignore[arg-type]


def test_a_pipe_is_not_waited_at(work: Path) -> None:
    os.mkfifo(work / "kitchen.toml")
    with pytest.raises(BadInput, match="is not a file"):
        stillroom.kitchen()


@pytest.mark.parametrize(
    ("platform", "settings", "where"),
    [
        # XDG Base Directory Specification 0.8: $HOME/.config by default; a relative path is to be ignored.
        ("linux", {}, "/home/ada/.config/stillroom/kitchen.toml"),
        ("linux", {"XDG_CONFIG_HOME": "relative"}, "/home/ada/.config/stillroom/kitchen.toml"),
        ("linux", {"XDG_CONFIG_HOME": "/etc/ada"}, "/etc/ada/stillroom/kitchen.toml"),
        ("darwin", {}, "/home/ada/Library/Application Support/stillroom/kitchen.toml"),
        ("darwin", {"XDG_CONFIG_HOME": "/etc/ada"}, "/etc/ada/stillroom/kitchen.toml"),
        ("win32", {"APPDATA": "/roaming"}, "/roaming/stillroom/kitchen.toml"),
        ("win32", {}, None),
    ],
)
def test_each_system_keeps_it_in_its_own_folder(
    monkeypatch: pytest.MonkeyPatch, platform: str, settings: dict[str, str], where: str | None
) -> None:
    for name in ("XDG_CONFIG_HOME", "APPDATA"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", "/home/ada")
    for name, value in settings.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(sys, "platform", platform)
    assert kitchen_file.of_user() == where
    assert len(kitchen_file.places()) == (1 if where is None else 2)


def test_the_home_folder_is_written_short(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", "/home/ada")
    assert kitchen_file.shown("/home/ada/.config/kitchen.toml") == "~/.config/kitchen.toml"
    assert kitchen_file.shown("/home/adam/kitchen.toml") == "/home/adam/kitchen.toml"
    assert kitchen_file.shown("kit\x1b[2Jchen.toml") == "kit?[2Jchen.toml"


def test_no_test_meets_the_kitchen_of_whoever_runs_it() -> None:
    assert kitchen_file.found() is None


def test_the_demonstration_is_read_and_says_that_it_is_invented() -> None:
    path = ROOT / "shared/demo/kitchen.toml"
    assert "Invented" in path.read_text(encoding="utf-8")
    assert stillroom.kitchen(path).canners == ("boiling-water", "dial")

"""The shell command: text for people, documents for programs, one line for errors, and its exit statuses."""

from __future__ import annotations

import json
import subprocess
import sys

import jsonschema
import pytest

import stillroom
from stillroom.commands.main import main
from tests.conftest import ROOT

BEANS = ["find", "snap", "beans", "--pack", "raw", "--jar", "quart", "--altitude", "1650 ft", "--canner", "dial"]
SCHEMA = json.loads((ROOT / "schema/answer.json").read_text(encoding="utf-8"))


def test_an_answer_reads_like_a_line_from_a_bulletin(capsys):
    assert main(BEANS) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert out == (
        "Snap and Italian beans, raw pack, quarts\n"
        "Dial-gauge pressure canner, 1,650 ft\n"
        "\n"
        "Process 25 minutes at 11 psi (0 to 2,000 ft).\n"
        "Headspace: 1 inch (page 4-8).\n"
        "Vent the canner 10 minutes before pressurizing, then time from full pressure\n"
        "(page 1-20).\n"
        "\n"
        "Source: USDA, Complete Guide to Home Canning, Agriculture Information Bulletin\n"
        "No. 539, revised 2015, page 4-9.\n"
        "Caution: Follow the cited publication, your canner's manual and your local\n"
        "extension office; when in doubt, throw it out.\n"
    )


def test_conditions_come_before_the_time(capsys):
    assert (
        main(["find", "figs", "--pack", "hot", "--jar", "pint", "--altitude", "0 ft", "--canner", "boiling-water"]) == 0
    )
    out = capsys.readouterr().out
    assert out.index("lemon juice") < out.index("Process 45 minutes")


def test_every_sheet_wraps_at_eighty_columns_and_ends_with_the_caution(capsys):
    shelf = stillroom.shelf()
    for food in shelf.foods:
        for form, pack, jar, canner in list(shelf.chart_of(food))[::3]:
            words = ["find", food, "--jar", jar, "--altitude", "999 ft", "--canner", canner]
            words += ["--pack", pack] if pack else []
            words += ["--form", form] if form else []
            assert main(words) == 0
            out = capsys.readouterr().out
            assert max(map(len, out.splitlines())) <= 80
            assert "Source: USDA" in out
            assert out.endswith("when in doubt, throw it out.\n")


@pytest.mark.parametrize(
    ("changed", "status"),
    [
        ([], 0),
        (["--jar", "half-gallon"], 3),
        (["--altitude", "9000 ft"], 3),
        (["--canner", "boiling-water"], 3),
        (["--altitude", "1650"], 2),
        (["--jar", "tall"], 2),
        (["--altitude", ""], 2),
        (["--pack", ""], 2),
        (["--canner", "\udcff"], 2),
    ],
)
def test_exit_status_and_streams_are_as_designed(changed, status, capsys):
    assert main(BEANS + changed) == status
    out, err = capsys.readouterr()
    assert (err.count("\n"), out == "") == ((1, True) if status == 2 else (0, False))
    assert "Traceback" not in out + err


@pytest.mark.parametrize(
    "words", [["find"], ["find", "beets"], [*BEANS, "--color", "red"], ["finds"], ["foods", "--group"]]
)
def test_a_wrong_command_line_is_one_line_and_status_two(words, capsys):
    try:
        status = main(words)
    except SystemExit as stop:
        status = stop.code
    err = capsys.readouterr().err
    assert status == 2
    assert err.count("\n") == 1


@pytest.mark.parametrize(
    "words",
    [
        BEANS,
        [*BEANS, "--jar", "half-gallon"],
        [
            "find",
            "nectarines",
            "--pack",
            "hot",
            "--jar",
            "half-pint",
            "--altitude",
            "10 m",
            "--canner",
            "boiling-water",
        ],
        ["find", "corn", "--pack", "hot", "--jar", "pint", "--altitude", "10 m", "--canner", "dial"],
        ["find", "pumpkin puree", "--jar", "pint", "--altitude", "10 m", "--canner", "dial"],
        ["foods", "--group", "spreads"],
    ],
)
def test_json_follows_its_schema(words, capsys):
    status = main([*words, "--json"])
    document = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(SCHEMA).validate(document)
    done = "foods" if words[0] == "foods" else "answer"
    assert document["kind"] == {0: done, 2: "say-which", 3: "refusal"}[status]


def test_the_schema_refuses_an_answer_without_its_page(capsys):
    main([*BEANS, "--json"])
    document = json.loads(capsys.readouterr().out)
    del document["options"][0]["page"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(SCHEMA).validate(document)


def test_foods_lists_all_or_those_with_the_words(capsys, foods):
    assert main(["foods"]) == 0
    assert len(capsys.readouterr().out.splitlines()) == len(foods)
    assert main(["foods", "salsa", "--group", "fruit"]) == 0
    assert [line.split()[0] for line in capsys.readouterr().out.splitlines()] == [
        food.id for food in stillroom.foods("salsa", group="fruit")
    ]
    assert main(["foods", "--group", "meat"]) == 2


def test_help_and_version_answer(capsys):
    assert main([]) == main(["--help"]) == main(["--version"]) == 0
    assert f"stillroom {stillroom.__version__}" in capsys.readouterr().out


def test_a_closed_pipe_is_no_traceback():
    command = f'"{sys.executable}" -m stillroom foods | head -n 1'
    done = subprocess.run(command, shell=True, capture_output=True, text=True, timeout=60)
    assert done.stdout.count("\n") == 1
    assert done.stderr == ""

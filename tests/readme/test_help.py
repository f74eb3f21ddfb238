"""Help ends with lines that work when pasted; a food needs no command; a slip of a command is no food."""

from __future__ import annotations

import importlib
import shlex
import shutil
import subprocess
from pathlib import Path

import pytest

from stillroom.commands import SUMMARIES
from stillroom.commands.main import main
from tests import repository
from tests.conftest import ROOT
from tests.trials import THOROUGH

EXAMPLES = [
    (line, status)
    for name in SUMMARIES
    for line, status in importlib.import_module(f"stillroom.commands.{name}").EXAMPLES
]
LONG = tuple(f"stillroom {name}" for name in ("check", "compare", "export", "book", "steam --why", "table --all"))
ASKS = "stillroom kitchen"
"""Asks on a terminal; ``tests/kitchen`` answers it."""
SERVES = "--serve"
"""Ends when somebody ends it; ``tests/book`` does."""


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a checkout of its own, whose branch is main, to paste lines in."""
    folder = repository.copied(tmp_path_factory.mktemp("checkout") / "stillroom")
    shutil.copy(ROOT / "CHANGELOG.md", folder)
    for words in (["init", "--quiet", "--initial-branch=main"], ["add", "."], ["commit", "--quiet", "-m", "All"]):
        subprocess.run(["git", "-c", "user.name=a", "-c", "user.email=a@b.invalid", *words], cwd=folder, check=True)
    return folder


def test_every_example_of_the_help_ends_as_it_says_when_pasted_one_after_the_other(checkout, monkeypatch, capsys):
    """Those that take long are run by hand here; their own folders of tests run them on every change."""
    monkeypatch.chdir(checkout)
    for line, status in EXAMPLES:
        if line != ASKS and not line.endswith(SERVES) and (THOROUGH or not line.startswith(LONG)):
            assert main(shlex.split(line)[1:]) == status, (line, capsys.readouterr())


def test_every_command_has_two_or_three_examples_of_its_own():
    for name in SUMMARIES:
        lines = [line for line, _ in importlib.import_module(f"stillroom.commands.{name}").EXAMPLES]
        assert 2 <= len(lines) <= 3, name
        assert any(line.startswith(f"stillroom {name}") for line in lines)


@pytest.mark.parametrize("name", SUMMARIES)
def test_help_shows_the_examples(name, capsys):
    with pytest.raises(SystemExit) as done:
        main([name, "--help"])
    assert done.value.code == 0
    out = capsys.readouterr().out
    for line, _ in importlib.import_module(f"stillroom.commands.{name}").EXAMPLES:
        assert line in out


QUESTION = ["--pack", "raw", "--jar", "quart", "--altitude", "1650 ft", "--canner", "dial"]


def test_a_food_needs_no_command(capsys):
    assert main(["green", "beans", *QUESTION]) == 0
    bare = capsys.readouterr().out
    assert main(["find", "green", "beans", *QUESTION]) == 0
    assert capsys.readouterr().out == bare
    assert main(["garlic", "in", "oil"]) == 3


@pytest.mark.parametrize("slip", ["chekc", "reciepe", "tabel", "seasn", "jugde"])
def test_a_slip_of_a_command_is_no_food(slip, capsys):
    assert main([slip, "beans.yaml"]) == 2
    said = capsys.readouterr().err
    assert "is no command and no food" in said
    assert said.count("\n") == 1


def test_an_option_before_a_command_is_bad_input(capsys):
    assert main(["--jar", "pint"]) == 2
    assert "means nothing" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["chick peas", "ripe figs", "vegetable soup", "tripe", "plain tomato sauce"])
def test_a_food_whose_first_word_is_like_a_command_is_asked_for_with_its_options(name, capsys):
    """The near miss of a slip: what belongs to the options is no part of the name."""
    options = ["--jar", "pint", "--altitude", "1650 ft", "--canner", "dial"]
    assert main(["find", *name.split(), *options]) in (0, 2, 3)
    asked = capsys.readouterr()
    main([*name.split(), *options])
    assert capsys.readouterr() == asked
    assert "is no command" not in asked.err


@pytest.mark.parametrize(
    "options", [[], ["--jar", "pint"], ["--chart", "run.svg"], ["--jar"], ["--no-kitchen", "--kitchen", "x"]]
)
def test_a_slip_of_a_command_is_told_whatever_options_follow(options, capsys):
    assert main(["chekc", *options]) == 2
    said = capsys.readouterr().err
    assert "the command check comes near" in said and said.count("\n") == 1

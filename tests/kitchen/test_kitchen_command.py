"""``stillroom kitchen``: it asks, reads each answer at once, writes, shows, and overwrites nothing without a word."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

import pytest

import stillroom
from stillroom.answers.kitchen import Held
from stillroom.commands.main import main
from stillroom.sheets import kitchen_sheet

Answer = Callable[..., None]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def answer(work: Path, monkeypatch: pytest.MonkeyPatch) -> Answer:
    """Let a person sit at the terminal and answer."""

    def give(*lines: str) -> None:
        monkeypatch.setattr("sys.stdin", Terminal("".join(f"{line}\n" for line in lines)))

    return give


@pytest.fixture
def file(work: Path) -> Path:
    """Where the kitchen file of the user will lie; not even its folder is there."""
    return work.parent / "settings/stillroom/kitchen.toml"


def test_it_asks_and_writes_what_was_answered(answer: Answer, file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    answer("1,650 ft", "boiling-water, dial", "0.5 psi", "2026-06-01", "quart 7", "quart 7, 12-ounce 10")
    assert main(["kitchen"]) == 0
    found = stillroom.kitchen(file)
    assert (found.altitude, found.canners, found.reads_high_by) == ("1,650 ft", ("boiling-water", "dial"), "0.5 psi")
    assert found.holds == (Held("boiling-water", "quart", 7), Held("dial", "quart", 7), Held("dial", "12-ounce", 10))
    shown = capsys.readouterr().out
    assert 'like "1650 ft" or "503 m"' in shown and "Altitude: 1,650 ft" in shown and "Caution: " in shown


def test_an_answer_that_is_not_understood_is_told_and_asked_again(
    answer: Answer, file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    answer("1650", "Denver", "503 m", "tall", "weighted", "quart", "quart 500", "quart 7", "ten", "10 psi, 15 psi")
    assert main(["kitchen"]) == 0
    shown = capsys.readouterr().out
    for wrong in ('"1650" has no unit', '"Denver" is not', '"tall" is not one of', "is not a jar and a number",
                  "holds.quart 500 is more than 100", '"ten" is not'):  # fmt: skip
        assert wrong in shown
    assert "gauge" not in file.read_text().splitlines()[1:]
    assert stillroom.kitchen(file).weights == ("10 psi", "15 psi")


def test_an_empty_answer_leaves_it_out(answer: Answer, file: Path) -> None:
    answer("", "dial", "", "", "")
    assert main(["kitchen"]) == 0
    assert file.read_text().splitlines()[1:] == ['canner = "dial"']


@pytest.mark.parametrize("lines", [("", ""), (), ("1650 ft",), ("1650",)])
def test_without_answers_or_with_the_end_of_them_nothing_is_written(
    answer: Answer, file: Path, capsys: pytest.CaptureFixture[str], lines: tuple[str, ...]
) -> None:
    answer(*lines)
    assert main(["kitchen"]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert not file.parent.exists()


def test_without_a_terminal_options_say_it_and_their_lack_is_one_line(
    file: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("1650 ft\n"))
    assert main(["kitchen"]) == 2
    assert capsys.readouterr().err == (
        'stillroom: nobody can be asked here: say it with options, like --altitude "1650 ft" --canner dial\n'
    )
    words = [
        "kitchen", "--altitude", "503 m", "--canner=dial", "--canner=weighted", "--gauge-reads-high=-1/2 psi",
        "--gauge-tested=2026-06-01", "--holds=dial: quart 7, pint=18", "--holds", "weighted:quart 5", "--weight=10 psi",
        "--weight=15 psi",
    ]  # fmt: skip
    assert main(words) == 0
    found = stillroom.kitchen()
    assert (found.altitude, found.canners, found.reads_high_by) == ("503 m", ("dial", "weighted"), "-1/2 psi")
    assert found.holds == (Held("dial", "quart", 7), Held("dial", "pint", 18), Held("weighted", "quart", 5))
    assert found.weights == ("10 psi", "15 psi")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--altitude=1650"], 'altitude "1650" has no unit'),
        (["--canner=tall"], 'canner "tall" is not one of'),
        (["--canner=dial", "--holds=quart"], 'holds "quart" is not a jar and a number'),
        (["--canner=dial", "--holds=quart 7", "--holds=quart 8"], 'holds "quart" is said twice'),
        (["--gauge-tested=June"], 'gauge.tested "June" is not a date'),
        (["--show", "--altitude=0 ft"], "--show writes nothing"),
        (["--kitchen=", "--altitude=0 ft"], "no folder for your settings is known here"),
        (["--kitchen=no/such/kitchen.toml", "--altitude=0 ft"], "cannot be written"),
    ],
)
def test_a_word_that_is_not_understood_writes_nothing(
    file: Path, capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    assert main(["kitchen", *words]) == 2
    told = capsys.readouterr()
    assert said in told.err and told.err.count("\n") == 1 and told.out == ""
    assert not file.parent.exists()


def test_a_file_that_is_there_is_replaced_only_with_a_word_and_only_if_it_is_ours(
    work: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = work / "kitchen.toml"
    assert main(["kitchen", "--here", "--altitude=5 ft"]) == 0
    before = own.read_bytes()
    assert kitchen_sheet.ours(before)
    assert main(["kitchen", "--here", "--altitude=9 ft"]) == 2
    assert "is there already: edit it, or add --replace to write it anew" in capsys.readouterr().err
    assert own.read_bytes() == before
    assert main(["kitchen", "--here", "--altitude=9 ft", "--replace"]) == 0
    assert stillroom.kitchen().altitude == "9 ft"
    own.write_text('altitude = "7 ft"  # by hand\n')
    capsys.readouterr()
    assert main(["kitchen", "--here", "--altitude=9 ft", "--replace"]) == 2
    assert "was not written by stillroom" in capsys.readouterr().err
    assert own.read_text() == 'altitude = "7 ft"  # by hand\n'


def test_a_kitchen_that_is_there_is_told_before_anything_is_asked(
    answer: Answer, work: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (work / "kitchen.toml").symlink_to("nowhere")
    answer("1650 ft", "", "")
    assert main(["kitchen", "--here"]) == 2
    assert capsys.readouterr().out == ""
    assert not (work / "nowhere").exists()


def test_show_tells_what_is_known_where_from_and_which_file_is_not_read(
    work: Path, user: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    user.write_text('altitude = "0.5 m"\n')
    assert main(["kitchen", "--show"]) == 0
    assert f"Your kitchen file: {user}" in capsys.readouterr().out
    (work / "kitchen.toml").write_text(
        'gauge = { reads_high_by = "-1 psi", tested = 2020-01-01 }\nholds = { qt = 7 }\n'
    )
    assert main(["kitchen", "--show"]) == 0
    shown = " ".join(capsys.readouterr().out.split())
    assert "Your kitchen file: kitchen.toml" in shown
    assert "your gauge reads 1 psi low" in shown and "Canner holds: 7 quarts" in shown
    assert "more than a year ago: have it tested before use (page 1-20)" in shown
    assert f"Not read, since the file in this folder comes first: {user}" in shown
    assert main(["kitchen", "--show", "--kitchen", str(user)]) == 0
    assert "0.5 m" in capsys.readouterr().out


def test_show_without_a_kitchen_says_where_it_looked(work: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["kitchen", "--show"]) == 0
    shown = capsys.readouterr().out
    assert shown.startswith("There is no kitchen.toml or ") and "write one with stillroom kitchen" in shown


def test_show_of_a_damaged_kitchen_is_bad_input(kept: Callable[[str], str], capsys: pytest.CaptureFixture[str]) -> None:
    kept("altitude = 5\n")
    assert main(["kitchen", "--show"]) == 2
    assert capsys.readouterr().err.startswith("stillroom: kitchen.toml: altitude 5 has no unit")


@pytest.fixture
def unwritable(work: Path) -> Path:
    """A file where the folder for settings would be."""
    (work.parent / "settings").write_text("")
    return work.parent / "settings"


def test_a_folder_for_settings_that_cannot_be_made_is_one_line(
    unwritable: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["kitchen", "--altitude=5 ft"]) == 2
    assert "cannot be made" in capsys.readouterr().err

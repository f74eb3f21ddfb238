"""README examples are run as they stand."""

from __future__ import annotations

import doctest
import re
import shlex

from stillroom.commands.main import main
from tests.conftest import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_shell_examples_print_what_the_readme_shows(capsys):
    blocks = re.findall(r"```console\n(.*?)```", README, flags=re.DOTALL)
    shown = 0
    for block in blocks:
        for example in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            line, _, expected = example.partition("\n")
            command, *words = shlex.split(line)
            assert command == "stillroom"
            main(words)
            assert capsys.readouterr().out.strip() == expected.strip(), line
            shown += 1
    assert shown >= 3


def test_python_examples_answer_what_the_readme_shows():
    text = "\n".join(re.findall(r"```pycon\n(.*?)```", README, flags=re.DOTALL))
    examples = doctest.DocTestParser().get_doctest(text, {}, "README.md", "README.md", 0)
    assert len(examples.examples) >= 4
    failed, _ = doctest.DocTestRunner().run(examples)
    assert failed == 0


def test_the_two_commands_at_the_top_set_themselves_up():
    commands = re.findall(r"```sh\n(.*?)\n```", README, flags=re.DOTALL)[:2]
    for command in commands:
        assert command.startswith("python3 -m venv ")
        assert "\n" not in command
    words = shlex.split(commands[0].split("&&")[-1])
    assert main(words[1:]) == 0
    assert (ROOT / ".ci/run").read_text(encoding="utf-8").count("-m pytest") == 1
    assert commands[1].endswith("-m pytest")


def test_figures_of_the_readme_are_those_of_the_data(schedules):
    assert f"{len(schedules):,} cells" in README
    captions = {(row["food"], row["caption"]) for row in schedules}
    assert f"of {len({caption for _, caption in captions})} captions" in README
    lost = (ROOT / "schedules/readings/lost-cells.csv").read_text(encoding="utf-8").count("\n") - 1
    assert f"{lost} records in `lost-cells.csv`" in README

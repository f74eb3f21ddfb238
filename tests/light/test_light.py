"""Asking is light: no heavy import, and the installed package finds its data or says what is missing."""

from __future__ import annotations

import shutil
import subprocess
import sys

import pytest

from tests.conftest import ROOT

HEAVY = ("pandas", "pandera", "frictionless", "pint", "numpy", "yaml", "jsonschema")


def _python(code: str, *, path: str | None = None) -> subprocess.CompletedProcess[str]:
    setup = f"import sys; sys.path.insert(0, {path!r})\n" if path else ""
    return subprocess.run([sys.executable, "-c", setup + code], capture_output=True, text=True, timeout=60)


ANSWERING = frozenset(("answers", "errors", "package", "screen"))
"""Modules of stillroom, or folders of modules, that answering loads and that load nothing but the standard library.

What checks, judges, plans or shows is not among them. A name that no question loads any more is taken out.
"""
SHELL = frozenset(("commands", "sheets"))
"""What the shell command loads besides, to read its words and to show the answer."""
QUESTIONS = (
    "stillroom.find('snap beans', pack='raw', jar='quart', altitude='1650 ft', canner='dial')",
    "stillroom.find('peaches', pack='hot', jar='pint', altitude='503 m', canner='steam')",
    "stillroom.find('beets', pack='hot', jar='pint', altitude='0 ft', canner='boiling-water')",
    "stillroom.find('fihs', jar='pint', altitude='0 ft', canner='dial')",
    "stillroom.foods('corn')",
    "stillroom.foods('cron', group='vegetables')",
)
COMMANDS = (
    "['find', 'beets', '--pack=hot', '--jar=pint', '--altitude=9 m', '--canner=dial']",
    "['find', 'beets', '--pack=hot', '--jar=pint', '--altitude=9 m', '--canner=boiling-water', '--json']",
    "['foods', 'corn']",
)


def loaded_by(*statements: str) -> tuple[set[str], set[str]]:
    """Modules of stillroom that statements load, and names of what they load from elsewhere but the standard library.

    A module in a folder counts by the name of the folder. What the interpreter loads as it starts is not looked at.
    """
    asked = "".join(
        f"    try:\n        {statement}\n    except stillroom.StillroomError:\n        pass\n"
        for statement in statements
    )
    code = (
        "import contextlib, io, sys\nbefore = set(sys.modules)\nimport stillroom\n"
        f"with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):\n{asked}"
        "print(*sorted(set(sys.modules) - before))"
    )
    done = _python(code)
    assert done.returncode == 0, done.stderr
    loaded = [name.split(".") for name in done.stdout.split()]
    ours = {name[1] for name in loaded if name[0] == "stillroom" and len(name) > 1}
    return ours, {name[0] for name in loaded} - {"stillroom"} - sys.stdlib_module_names


def test_asking_loads_the_answering_modules_and_the_standard_library_alone():
    ours, others = loaded_by(*QUESTIONS)
    assert others == set(), "answering loads what is not of the standard library"
    assert ours - ANSWERING == set(), "answering loads modules of another side"
    assert ANSWERING - ours == set(), "a name that answering does not load is needless"


def test_asking_in_the_shell_loads_besides_what_reads_its_words_and_shows_the_answer():
    ours, others = loaded_by(
        *(f"__import__('stillroom.commands.main').commands.main.main({words})" for words in COMMANDS)
    )
    assert others == set(), "the command loads what is not of the standard library"
    assert ours - ANSWERING - SHELL == set(), "the command loads modules of another side"
    assert SHELL - ours == set(), "a name that the command does not load is needless"


@pytest.mark.parametrize(
    ("statement", "ours", "others"),
    [
        ("import stillroom.findings.finding", "findings", ""),
        ("import stillroom.findings.checks.acid", "findings", ""),
        ("stillroom.plan('figs', jars=7, pack='hot', jar='pint', altitude='0 ft', canner='boiling-water')", "day", ""),
        ("import stillroom.run.judgement", "run", "numpy"),
        ("import yaml", "", "yaml"),
    ],
)
def test_a_module_of_another_side_and_a_library_are_seen_where_they_are_loaded(statement, ours, others):
    """The near misses of the two tests above."""
    found, elsewhere = loaded_by(statement)
    assert (not ours and found <= ANSWERING) or ours in found - ANSWERING
    assert (not others and not elsewhere) or others in elsewhere


def test_a_pint_quantity_is_understood():
    code = (
        "import pint, stillroom\nq = pint.UnitRegistry().Quantity\n"
        "for h in (q(304.8, 'm'), q(1000, 'foot'), q(0.3048, 'km'), q(1000.0001, 'foot')):\n"
        "    found = stillroom.find('beets', pack='hot', jar='pint', altitude=h, canner='weighted')\n"
        "    print(found.options[0].pressure_psi)"
    )
    assert _python(code).stdout.split() == ["10", "10", "10", "15"]


@pytest.mark.parametrize(
    ("missing", "said"),
    [
        ("schedules/vegetables.csv", "schedules/vegetables.csv is missing from the installed package"),
        ("schedules/foods.csv", "schedules/foods.csv is missing from the installed package"),
        ("shared/jars.csv", "shared/jars.csv is missing from the installed package"),
    ],
)
def test_a_file_missing_from_the_installed_package_is_one_clear_line(tmp_path, missing, said):
    shutil.copytree(ROOT / "validator/stillroom", tmp_path / "stillroom")
    for part in ("schedules", "shared"):
        shutil.copytree(ROOT / part, tmp_path / "stillroom/data" / part)
    words = ["find", "beets", "--pack", "hot", "--jar", "pint", "--altitude", "10 ft", "--canner", "dial"]
    code = f"from stillroom.commands.main import main\nsys.exit(main({words}))"
    whole = _python(code, path=str(tmp_path))
    assert whole.returncode == 0, whole.stderr
    (tmp_path / "stillroom/data" / missing).unlink()
    done = _python(code, path=str(tmp_path))
    assert done.returncode == 2
    assert done.stderr.startswith(f"stillroom: {said}")
    assert done.stderr.count("\n") == 1
    assert done.stdout == ""


@pytest.mark.parametrize("words", [["check", str(ROOT)], ["tidy", "--check", str(ROOT)]])
def test_a_command_whose_libraries_are_not_installed_says_what_to_install(words):
    code = (
        "import sys\nfor heavy in ('numpy', 'pandas', 'frictionless'):\n    sys.modules[heavy] = None\n"
        f"from stillroom.commands.main import main\nsys.exit(main({words}))"
    )
    done = _python(code)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("stillroom: this needs ")
    assert done.stderr.endswith('pip install "stillroom[check]"\n')
    assert done.stderr.count("\n") == 1


def test_types_of_results_are_attributes_of_the_package_and_are_loaded_only_when_asked_for():
    code = (
        f"import sys, stillroom\nprint([m for m in {HEAVY} if m in sys.modules])\n"
        "print(all(isinstance(getattr(stillroom, name), object) for name in stillroom.__all__))\n"
        "plan = stillroom.plan('snap beans', jars=7, pack='raw', jar='quart', altitude='0 ft', canner='dial')\n"
        "print(type(plan) is stillroom.Plan, type(plan.loads[0]) is stillroom.Load)\n"
        "print(type(stillroom.recipe('figs')) is stillroom.Recipe)\n"
        "try:\n    stillroom.Judgment\nexcept AttributeError as error:\n    print(error)"
    )
    said = _python(code).stdout.splitlines()
    assert said == ["[]", "True", "True True", "True", "module 'stillroom' has no attribute 'Judgment'"]

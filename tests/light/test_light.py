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


@pytest.mark.parametrize(
    "question",
    [
        "stillroom.find('snap beans', pack='raw', jar='quart', altitude='1650 ft', canner='dial')",
        "stillroom.foods('corn')",
        "main(['find', 'beets', '--pack=hot', '--jar=pint', '--altitude=9 m', '--canner=dial'])",
    ],
)
def test_asking_imports_nothing_heavy(question):
    code = (
        f"import sys, stillroom\nfrom stillroom.commands.main import main\n{question}\n"
        f"print([m for m in {HEAVY} if m in sys.modules])"
    )
    done = _python(code)
    assert done.stdout.splitlines()[-1] == "[]", done.stderr


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
    code = f"import stillroom.commands.main\nsys.exit(stillroom.commands.main.main({words}))"
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
        f"import stillroom.commands.main\nsys.exit(stillroom.commands.main.main({words}))"
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

"""A withdrawn food leaves word why: the command does it in every table, and the gate misses an entry."""

from __future__ import annotations

import csv
import os
from pathlib import Path

import pytest

from stillroom.commands.main import main
from stillroom.desk import prepare
from stillroom.desk.gate import gate
from stillroom.desk.withdrawn import unannounced
from stillroom.findings import checks
from stillroom.findings.opened import CheckedPackage
from stillroom.package.versions import Held, Version
from tests import repository
from tests.conftest import table
from tests.trials import THOROUGH

WHY = ["--source", "psu-fats", "--page", "web", "--reason", "A later publication took its time back."]
ALIASES, FOODS = "schedules/aliases.csv", "schedules/foods.csv"
WITHHELD, NAMES = "schedules/withheld.csv", "schedules/withheld-names.csv"


def everything(root: Path) -> dict[str, bytes]:
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()}


def test_without_write_it_says_what_it_would_do_and_touches_nothing(
    copy: Path, narrow: object, capsys: pytest.CaptureFixture[str]
) -> None:
    before = everything(copy)
    assert main(["withdraw", "figs", *WHY, "--package", str(copy)]) == 0
    told = capsys.readouterr().out
    assert told.startswith("figs: would be withdrawn; nothing is written yet\n")
    assert "  schedules/fruit.csv: 8 rows out\n" in told
    assert "  schedules/recipes/figs.yaml: removed\n" in told
    assert everything(copy) == before


@pytest.mark.parametrize(
    "food", ["figs", "soups", "crab", "tomatoes-crushed", "jelly-without-added-pectin"][: None if THOROUGH else 1]
)
def test_what_it_leaves_has_no_finding_but_hashes_and_none_when_they_are_renewed(
    copy: Path, narrow: object, food: str
) -> None:
    assert main(["withdraw", food, *WHY, "--package", str(copy), "--write"]) == 0
    assert {finding.check for finding in checks.report(CheckedPackage(str(copy))).findings} == {"hash"}
    prepare.renewed(str(copy))
    assert checks.report(CheckedPackage(str(copy))).ok


def test_a_recipe_that_sends_to_its_schedule_is_told(
    copy: Path, narrow: object, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["withdraw", "tomato-juice", *WHY, "--package", str(copy)]) == 1
    told = capsys.readouterr().out
    for food in ("tomato-sauce", "tomato-vegetable-juice"):
        assert f"recipes/{food}.yaml:13: foods: follows: tomato-juice gives it no schedule" in told


def test_all_names_are_withheld_and_nothing_speaks_of_the_food_any_more(copy: Path, narrow: object) -> None:
    names = {row["alias"] for row in table(ALIASES, copy) if row["food"] == "figs"} | {"Figs"}
    assert main(["withdraw", "figs", *WHY, "--instead", "Freeze them.", "--package", str(copy), "--write"]) == 0
    (entry,) = [row for row in table(WITHHELD, copy) if row["id"] == "figs"]
    assert (entry["title"], entry["code"], entry["kind"], entry["instead"]) == (
        "Figs",
        "withheld",
        "food",
        "Freeze them.",
    )
    assert {row["alias"] for row in table(NAMES, copy) if row["withheld"] == "figs"} == names
    assert not (copy / "schedules/recipes/figs.yaml").exists()
    for path in [*copy.glob("schedules/*.csv"), *copy.glob("shared/*.csv")]:
        with path.open(encoding="utf-8", newline="") as file:
            assert "figs" not in {row.get("food") for row in csv.DictReader(file)}, path
    assert not [row for row in table("schedules/readings/pages-second.csv", copy) if row["key"].startswith("figs|")]


def test_a_food_that_others_follow_is_refused_and_these_are_named(
    copy: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = everything(copy)
    assert main(["withdraw", "peaches", *WHY, "--package", str(copy), "--write"]) == 2
    told = capsys.readouterr().err
    assert "followed by apricots (schedules/relations.csv), nectarines (schedules/relations.csv)" in told
    assert told.count("\n") == 1
    assert everything(copy) == before


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (["green beans", *WHY], 2, "one name of snap-beans"),
        (["garlic", *WHY], 3, ""),
        (["xyzzy", *WHY], 3, ""),
        (["figs", *WHY, "--source", "nobody"], 2, "not in shared/sources.csv"),
        (["figs", *WHY, "--page", "page 9"], 2, "no printed page"),
        (["figs", *WHY, "--reason", " "], 2, "one sentence"),
        (["figs", *WHY, "--reason", "a\nb"], 2, "one sentence"),
    ],
)
def test_what_cannot_be_done_is_told_and_nothing_is_written(
    copy: Path, capsys: pytest.CaptureFixture[str], words: list[str], status: int, said: str
) -> None:
    before = everything(copy)
    assert main(["withdraw", *words, "--package", str(copy), "--write"]) == status
    assert said in capsys.readouterr().err
    assert everything(copy) == before


def test_a_page_that_nobody_read_a_second_time_is_a_finding_until_somebody_has(
    copy: Path, narrow: object, capsys: pytest.CaptureFixture[str]
) -> None:
    cited = ["figs", *WHY, "--source", "usda-2015", "--page", "2-12", "--package", str(copy)]
    assert main(["withdraw", *cited]) == 1
    assert 'pages: page "2-12" has no second reading' in capsys.readouterr().out
    assert main(["withdraw", *cited, "--second-page", "2-12"]) == 0
    assert main(["withdraw", *cited, "--second-page", "2-13"]) == 1
    assert 'page "2-12" is 2-13 in the second reading' in capsys.readouterr().out


def test_a_folder_that_is_no_package_is_not_written_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["withdraw", "figs", *WHY, "--write"]) == 2
    assert "no datapackage.json in this folder" in capsys.readouterr().err
    assert os.listdir(tmp_path) == []


def test_a_file_that_leads_out_of_the_package_is_not_written_through(
    copy: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    outside = tmp_path / "foods.csv"
    outside.write_bytes((copy / FOODS).read_bytes())
    (copy / FOODS).unlink()
    (copy / FOODS).symlink_to(outside)
    before = outside.read_bytes()
    assert main(["withdraw", "figs", *WHY, "--package", str(copy), "--write"]) == 2
    assert outside.read_bytes() == before


# the gate


def version(name: str, **edited: str) -> Version:
    files = dict(repository.contents())
    files.update({path: text.encode() for path, text in edited.items()})
    return Version(name, Held(files))


def text(path: str) -> str:
    return repository.contents()[path].decode()


def without(path: str, start: str) -> str:
    kept = [line for line in text(path).splitlines(keepends=True) if not line.startswith(start)]
    assert len(kept) < text(path).count("\n")
    return "".join(kept)


def test_a_food_that_goes_without_a_withheld_entry_is_a_finding_of_the_gate() -> None:
    aliases = "".join(line for line in text(ALIASES).splitlines(keepends=True) if ",figs," not in line)
    gone = version("new", **{FOODS: without(FOODS, "figs,"), ALIASES: aliases})
    (finding,) = unannounced(version("old"), gone)
    assert "figs was in old and is withdrawn without a withheld entry" in str(finding)
    assert str(finding) in map(str, gate(version("old"), gone))


def test_a_near_miss_a_food_that_is_withheld_or_only_called_otherwise_is_none() -> None:
    figs = next(line for line in text(FOODS).splitlines() if line.startswith("figs,"))
    withheld = version(
        "new",
        **{FOODS: without(FOODS, "figs,"), NAMES: f"{text(NAMES)}Figs,garlic\n"},
    )
    assert list(unannounced(version("old"), withheld)) == []
    renamed = version(
        "new",
        **{
            FOODS: text(FOODS).replace(figs, figs.replace("figs,Figs,", "whole-figs,Whole figs,")),
            ALIASES: f"{text(ALIASES)}figs,whole-figs,,\n",
        },
    )
    assert list(unannounced(version("old"), renamed)) == []
    assert list(unannounced(version("old"), version("new"))) == []

"""The shelf of a season: seals told later, jars taken from it, what to eat first; never a load that is not safe."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from stillroom.commands.main import main
from tests.conftest import ROOT

BEANS, CORN = ROOT / "shared/demo/beans.yaml", ROOT / "shared/demo/corn.yaml"


@pytest.fixture
def shelf(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Path:
    for record in (BEANS, CORN):  # 18 pints of beans, 17 sealed; 9 pints of corn, short of their time; both invented
        main(["judge", str(record), "--save", str(tmp_path / "shelf")])
    capsys.readouterr()
    return tmp_path / "shelf"


def entry(shelf: Path, food: str) -> Path:
    (found,) = shelf.glob(f"*{food}*.yaml")
    return found


def said(path: Path) -> dict[str, object]:
    return dict(yaml.safe_load(path.read_text(encoding="utf-8")))


def refused(words: list[str], capsys: pytest.CaptureFixture[str], told: str) -> None:
    assert main(words) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1 and told in err, err


def test_seals_are_told_later_and_again(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = entry(shelf, "beans")
    assert main(["seals", str(path), "--sealed", "16", "--failed", "2"]) == 0
    assert capsys.readouterr().out.endswith("16 of 18 jars on the shelf, best by 2027-08-15\n")
    assert main(["seals", str(path), "--sealed", "15"]) == 0
    assert "15 of 18 jars on the shelf, 3 with seals to check" in capsys.readouterr().out
    before = path.read_bytes()
    refused(["seals", str(path), "--sealed", "17", "--failed", "2"], capsys, "19 jars where the load had 18")
    refused(["seals", str(path), "--sealed", "-1"], capsys, "less than one jar")
    refused(["seals", str(path), "--sealed", "many"], capsys, "not a whole number")
    assert path.read_bytes() == before


def test_jars_are_taken_and_never_more_than_are_there(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = entry(shelf, "beans")
    assert main(["take", str(path)]) == 0
    assert main(["take", str(path), "--jars", "2", "--lost"]) == 0
    assert "14 of 18 jars on the shelf" in capsys.readouterr().out
    assert (said(path)["eaten"], said(path)["lost"]) == (1, 2)
    refused(["take", str(path), "--jars", "15"], capsys, "14 jars on the shelf, fewer than 15")
    refused(["take", str(path), "--jars", "0"], capsys, "less than one jar")
    refused(
        ["seals", str(path), "--sealed", "2"], capsys, "3 jars were taken from the shelf, more than the 2 that sealed"
    )
    assert main(["judge", str(BEANS), "--save", str(shelf)]) == 0  # judged again: what was taken stays taken
    assert (said(path)["eaten"], said(path)["lost"], said(path)["sealed"]) == (1, 2, 17)


def test_nothing_is_taken_from_a_load_that_is_not_safe(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = entry(shelf, "corn")
    assert main(["seals", str(path), "--sealed", "9"]) == 0
    assert "not safe to keep, whatever its seals" in capsys.readouterr().out
    refused(["take", str(path)], capsys, "do not eat from it")
    main(["season", str(shelf)])
    listed = capsys.readouterr().out.split("Eat first")[1]
    assert "Corn" not in listed.split("\n\n")[0] and "Snap" in listed


def test_what_is_best_used_soonest_comes_first_and_what_is_past_says_so(
    shelf: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = entry(shelf, "beans")
    older = said(path) | {"date": "2024-08-15", "best_by": "2025-08-15", "record_sha256": "0" * 64}
    (shelf / "2024-08-15-snap-beans-1.yaml").write_text(yaml.safe_dump(older), encoding="utf-8")
    assert main(["season", str(shelf)]) == 0
    first, second = capsys.readouterr().out.split("Eat first")[1].split("  - ")[1:3]
    assert "2025-08-15" in first and "past" in first and "2027-08-15" in second and "past" not in second


def test_what_is_no_entry_is_left_alone(shelf: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    mine = tmp_path / "mine.yaml"
    mine.write_text("jars: 3\n", encoding="utf-8")
    for words in (["seals", str(mine), "--sealed", "1"], ["take", str(mine)]):
        refused(words, capsys, "mine.yaml")
        assert mine.read_text(encoding="utf-8") == "jars: 3\n"
    refused(["take", str(tmp_path / "nothing.yaml")], capsys, "nothing.yaml")
    refused(["take", str(tmp_path)], capsys, "")


def test_labels_are_for_jars_on_the_shelf_and_for_no_others(
    shelf: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "labels.html"
    main(["take", str(entry(shelf, "beans")), "--jars", "3"])
    assert main(["labels", str(shelf), "--out", str(out)]) == 0
    assert capsys.readouterr().out.startswith("") and out.read_text(encoding="utf-8").count('class="label"') == 14
    text = out.read_text(encoding="utf-8")
    assert "Snap and Italian beans" in text and "best by 2027-08-15" in text and "Corn" not in text
    assert main(["labels", str(shelf), "--out", str(out), "--paper", "a4"]) == 0  # ours: replaced
    assert "size: A4" in out.read_text(encoding="utf-8")
    refused(
        ["labels", str(shelf), "--out", str(out), "--load", entry(shelf, "corn").name], capsys, "no jar is on the shelf"
    )
    refused(["labels", str(shelf), "--out", str(out), "--load", "nothing.yaml"], capsys, "no such load")
    out.write_text("mine", encoding="utf-8")
    refused(["labels", str(shelf), "--out", str(out)], capsys, "was not written by stillroom")


def test_a_title_that_is_code_is_text_on_a_label(shelf: Path, tmp_path: Path) -> None:
    path = entry(shelf, "beans")
    path.write_text(yaml.safe_dump(said(path) | {"title": "<script>alert(1)</script> =1+1"}), encoding="utf-8")
    assert main(["labels", str(shelf), "--out", str(tmp_path / "labels.html")]) == 0
    text = (tmp_path / "labels.html").read_text(encoding="utf-8")
    assert "<script" not in text and "&lt;script&gt;" in text
    assert main(["season", str(shelf), "--csv", str(tmp_path / "s.csv"), "--plot", str(tmp_path / "s.svg")]) == 0
    assert "<script" not in (tmp_path / "s.svg").read_text(encoding="utf-8")


def test_the_year_adds_up(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """18 pints of beans (17 sealed, 1 not; 1 lost); 9 pints of corn that are not safe."""
    import json

    from stillroom.package import schemas

    main(["take", str(entry(shelf, "beans")), "--lost"])
    capsys.readouterr()
    assert main(["season", str(shelf), "--year", "2026", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    schemas.validator(schemas.schema("season")).validate(document)
    year = document["year"]
    assert (year["loads"], year["not_safe_loads"], year["jars"], year["not_safe"]) == (2, 1, 27, 9)
    assert (year["sealed"], year["failed"], year["lost"], year["on_shelf"]) == (17, 1, 1, 16)
    assert year["shares"] == {"failed": 0.037, "not_safe": 0.3333, "lost": 0.037}  # 1, 9 and 1 of 27
    assert {food["title"]: food["wasted"] for food in year["by_food"]} == {
        "Corn, whole kernel": 9, "Snap and Italian beans": 2,
    }  # fmt: skip
    assert main(["season", str(shelf), "--year", "2026"]) == 0
    assert "27  11 (41%)" in capsys.readouterr().out
    assert main(["season", str(shelf), "--year", "2020"]) == 0
    refused(["season", str(shelf), "--year", "last"], capsys, "is no year")

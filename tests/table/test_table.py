"""The table of a food holds every printed cell once and nothing else, and says at any height what find answers."""

from __future__ import annotations

import csv
import io
import json
import re
from collections import Counter

import jsonschema
import pytest

import stillroom
from stillroom.commands.main import main
from tests.conftest import ROOT, table


def _printed(schedules: list[dict[str, str]]) -> Counter[tuple[str, ...]]:
    """Cells of the tables as text, without the library."""
    cells = Counter(
        (
            row["food"], row["form"], row["pack"], row["jar"], row["gauge"] or row["method"], row["altitude_from_ft"],
            row["altitude_to_ft"], row["minutes"], row["pressure_psi"], "tested", row["page"],
        )
        for row in schedules
    )  # fmt: skip
    cells.update(
        (
            row["food"], row["form"], row["pack"], row["jar"], row["gauge"] or row["method"], row["altitude_from_ft"],
            row["altitude_to_ft"], row["minutes"], "", "not recommended", row["page"],
        )
        for row in table("schedules/not-recommended.csv")
    )  # fmt: skip
    return cells


def test_the_tables_of_all_foods_hold_every_printed_cell_once_and_nothing_else(schedules):
    followers = {row["food"] for row in table("schedules/relations.csv")}
    shown: Counter[tuple[str, ...]] = Counter()
    for food in stillroom.foods():
        if food.id in followers:
            continue
        for cell in stillroom.table(food.id).cells:
            values = ["" if value is None else str(value) for value in cell]
            assert (values[7] == "") == (cell.result == "not recommended") == (values[13] != "")
            shown[(*values[:7], values[7] or values[13], *values[8:10], values[12])] += 1
    assert shown == _printed(schedules)
    assert sum(shown.values()) == len(schedules) + 18


def test_a_food_sent_to_another_has_its_cells_and_says_so():
    own, theirs = stillroom.table("nectarines"), stillroom.table("peaches")
    assert own.cells == theirs.cells
    assert (own.follows.page, theirs.follows) == ("2-19", None)
    assert {cell.pack for cell in stillroom.table("tomatillos").cells} == {"hot"}  # page 3-13


@pytest.mark.parametrize("feet", [0, 1_000, 1_001, 2_000, 3_001, 6_000, 8_000, 8_001])
def test_at_a_height_it_shows_what_find_answers(feet: int) -> None:
    for food in stillroom.foods():
        shown: dict[tuple[str, ...], list[tuple[int, int | None]]] = {}
        for cell in stillroom.table(food.id, f"{feet} ft").cells:
            if cell.result == "tested":
                shown.setdefault(cell[1:5], []).append((cell.minutes, cell.pressure_psi))
        for (form, pack, jar, canner), processes in shown.items():
            answer = stillroom.find(
                food.id, form=form or None, pack=pack or None, jar=jar, canner=canner, altitude=f"{feet} ft"
            )
            assert sorted((o.minutes, o.pressure_psi or 0) for o in answer.options) == sorted(
                (minutes, psi or 0) for minutes, psi in processes
            )


def test_above_the_last_band_it_says_where_the_table_ends():
    found = stillroom.table("snap beans", "9000 ft")
    assert found.ends == ("The table for a dial-gauge pressure canner ends at 8,000 ft; 9,000 ft is above it.",)
    assert {cell.canner for cell in found.cells} == {"weighted"}
    assert stillroom.table("snap beans", "8000 ft").ends == ()


def test_what_is_not_recommended_is_never_shown_as_a_time_to_use():
    """Page 3-8: the 10-minute line on a weighted gauge above 1,000 ft."""
    text = str(stillroom.table("tomatoes-crushed", "1001 ft"))
    assert "not recommended" in text
    assert "(10 min)" in text
    assert "10 min," not in text
    assert "10 min, 15 psi" in str(stillroom.table("tomatoes-crushed", "1000 ft"))  # near miss: here it is a process


@pytest.mark.parametrize(
    "name", ["snap beans", "crushed tomatoes", "chicken", "soup", "apple butter", "fish", "peach salsa"]
)
def test_text_stays_within_eighty_columns_and_carries_the_caution(name, capsys):
    assert main(["table", name]) == 0
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 80
    assert out.count("when in doubt, throw it out") == 1


def test_csv_is_one_row_per_cell_and_markdown_one_table_per_canner(capsys):
    assert main(["table", "snap", "beans", "--as", "csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert len(rows) == len(stillroom.table("snap beans").cells) == 24
    assert {row["asked"] for row in rows} == {"snap-beans"}
    assert main(["table", "snap", "beans", "--as", "markdown"]) == 0
    assert capsys.readouterr().out.count("### ") == 2


def test_json_follows_its_schema_for_one_food_and_for_a_name_of_several(capsys):
    validator = jsonschema.Draft202012Validator(json.loads((ROOT / "schema" / "answer.json").read_text()))
    for words, kind in ((["snap", "beans"], "table"), (["corn"], "tables")):
        assert main(["table", *words, "--json"]) == 0
        document = json.loads(capsys.readouterr().out)
        validator.validate(document)
        assert document["kind"] == kind
    assert stillroom.table("snap beans").to_dict()["kind"] == "table"


def test_what_is_withheld_has_no_table(capsys):
    assert main(["table", "pumpkin", "puree"]) == 3
    assert "not recommended" in capsys.readouterr().out
    with pytest.raises(stillroom.SayWhich):
        stillroom.table("corn")


def test_no_cell_touches_the_next_and_each_stands_on_one_line_where_it_can() -> None:
    for food in stillroom.foods():
        text = str(stillroom.table(food.id))
        assert max(map(len, text.splitlines())) <= 80, food.id
        rows = [line for line in text.splitlines() if " min" in line and not line.startswith(("  - ", "    "))]
        assert rows
        assert not any("psi1" in line or "min1" in line or line.endswith(" min,") for line in rows), food.id
    assert "100 min, 11 psi  100 min, 12 psi" in str(stillroom.table("soups"))  # page 4-19, the widest there is


@pytest.mark.parametrize(
    ("food", "said"),
    [
        ("fish", "Pint-and-a-half jars and quarts: Put 3 quarts of water in the canner"),  # page 5-12
        ("fish", "12-ounce jars, half-pints and pints: Do not add liquids"),  # page 5-10
        ("apple-butter", "Half-pints and pints: Fill sterile jars"),  # page 2-6
        ("quick-sweet-pickles", "Hot pack: Fill sterile jars"),  # page 6-12
        ("tomatoes-crushed", "Pressure canner: Acidify"),  # page 3-7
        ("chicken", "Raw pack: do not add liquid"),  # page 5-5: says it itself, and once
    ],
)
def test_a_condition_that_is_not_for_every_row_says_for_which(food: str, said: str) -> None:
    requires = [str(stated) for stated in stillroom.table(food).requires]
    assert sum(stated.startswith(said) for stated in requires) == 1
    assert not any(stated.startswith(said.partition(": ")[2]) for stated in requires)


def test_a_condition_that_stands_on_two_pages_is_said_once_and_for_all() -> None:
    """Pages 5-10 and 5-11: fish in pints and fish in quarts."""
    clean = [str(stated) for stated in stillroom.table("fish").requires if "Bleed and clean" in stated.text]
    assert len(clean) == 1
    assert clean[0].startswith("Bleed") and clean[0].endswith("(page 5-10 and 5-11).")


def test_everything_that_find_requires_stands_with_the_table() -> None:
    for food in stillroom.foods():
        found = stillroom.table(food.id, "0 ft")
        texts = [stated.text for stated in found.requires]
        for at in {cell[1:5] for cell in found.cells}:
            form, pack, jar, canner = at
            asked = {"form": form or None, "pack": pack or None, "jar": jar, "canner": canner}
            for stated in stillroom.find(food.id, **asked, altitude="0 ft").options[0].requires:
                assert any(text.endswith(stated.text) for text in texts), (food.id, at, stated)


def test_the_steam_rule_stands_only_where_a_time_is_short_enough() -> None:
    """45 minutes or less, altitude included; page 3-11 prints 85, page 3-8 prints 45 up to 1,000 ft in quarts."""

    def steam(food: str, at: str | None = None) -> bool:
        return any("steam canner" in stated.text for stated in stillroom.table(food, at).carried)

    assert (steam("tomatoes-in-juice"), steam("tomatoes-crushed"), steam("snap beans")) == (False, True, False)
    assert (steam("tomatoes-crushed", "6000 ft"), steam("tomatoes-crushed", "6001 ft")) == (True, False)


def test_jars_that_are_carried_without_an_amount_of_acid_are_named() -> None:
    """Page 3-5 prints acid for pints and quarts alone."""
    said = "No amount of acid is printed for half-pints and pint-and-a-half jars."
    assert said in [str(stated) for stated in stillroom.table("tomatoes-crushed").carried]
    assert not any("No amount" in stated.text for stated in stillroom.table("peaches").carried)


def test_a_kind_that_is_tested_in_one_pack_says_so() -> None:
    """Page 2-10: hot pack is for other berries."""
    found = stillroom.table("raspberries")
    assert {cell.pack for cell in found.cells} == {"raw"}
    assert str(found.requires[0]) == "Raspberries: only raw pack is tested."
    assert {cell.pack for cell in stillroom.table("blueberries").cells} == {"hot", "raw"}


@pytest.mark.parametrize("feet", [500, 3_001, 6_001])
def test_a_rule_is_told_exactly_where_find_follows_it(feet):
    """Jar rules: pages 1-23 and 5-10. Steam: 45 minutes or less (University of Wisconsin-Madison, 2015)."""
    rules = {rule.jar: rule for rule in stillroom.shelf().package.jar_rules}
    for food in stillroom.foods():
        printed = {cell[1:5] for cell in stillroom.table(food.id).cells}
        told = " ".join(map(str, stillroom.table(food.id, f"{feet} ft").carried)).casefold()
        for jar, rule in rules.items():
            carried = {(form, pack, jar, canner) for form, pack, _, canner in printed} - printed
            assert (rule.statement in told) == any(_answered(food.id, at, feet) for at in carried), (food.id, jar)
        boiled = {at[:3] for at in printed if at[3] == "boiling-water"}
        steamed = any(_answered(food.id, (*at, "steam"), feet) for at in boiled)
        assert ("steam canner" in told) == steamed, food.id


def _answered(food: str, at: tuple[str, ...], feet: float) -> bool:
    form, pack, jar, canner = at
    try:
        stillroom.find(food, form=form or None, pack=pack or None, jar=jar, canner=canner, altitude=f"{feet} ft")
    except stillroom.NoTestedSchedule:
        return False
    return True


def test_what_find_requires_of_a_jar_is_required_of_it_in_the_table():
    """Also of the jars that follow another: no liquid on fish in half-pints either (page 5-10)."""
    shelf = stillroom.shelf()
    for food in stillroom.foods():
        said = [(stated.text.casefold(), stated.page) for stated in stillroom.table(food.id, "500 ft").requires]
        for at in shelf.chart_of(food.id):
            for jar in shelf.jars:
                if not _answered(food.id, (*at[:2], jar, at.canner), 500):
                    continue
                answer = stillroom.find(
                    food.id, form=at.form or None, pack=at.pack or None, jar=jar, canner=at.canner, altitude="500 ft"
                )
                for needed in answer.options[0].requires:
                    mine = [
                        text
                        for text, page in said
                        if needed.page in page.split(" and ") and text.endswith(_end(needed.text))
                    ]
                    names = (shelf.jars[jar].plural.casefold(), shelf.canners[at.canner].title.casefold())
                    assert needed.id == "acid" or any(_is_for(text, needed.text, *names) for text in mine), (at, jar)


def _end(text: str) -> str:
    return text.partition(": ")[2].casefold() or text.casefold()


def _is_for(text: str, whole: str, jar: str, canner: str) -> bool:
    """Whether a sentence has no label, or a label that leaves neither jar nor canner out."""
    label = text.removesuffix(whole.casefold())
    shelf = stillroom.shelf()
    jars = {other.plural.casefold() for other in shelf.jars.values()}
    canners = {other.title.casefold() for other in shelf.canners.values()}
    words = set(re.split(r", | and |: ", label)) if label != text else set()
    return all(mine in words or not words & others for mine, others in ((jar, jars), (canner, canners)))


@pytest.mark.parametrize("written", ["text", "markdown"])
def test_what_must_hold_stands_before_the_times(written, capsys):
    assert main(["table", "crushed", "tomatoes", "--as", written]) == 0
    out = capsys.readouterr().out
    assert out.index("Acid in each pint jar") < out.index("35 min")


def test_at_the_edges_of_each_band_a_row_has_a_time_exactly_where_find_has_one(schedules):
    """Both ways: no time that find refuses, and none left out that it gives; bands as the tables print them."""
    rows: dict[str, dict[tuple[str, ...], set[float]]] = {}
    for row in (*schedules, *table("schedules/not-recommended.csv")):
        low, high = float(row["altitude_from_ft"]), row["altitude_to_ft"]
        edges = {low, low + 0.5, *((float(high), float(high) + 0.5, float(high) + 1) if high else (low + 5_000,))}
        at = (row["form"], row["pack"], row["jar"], row["gauge"] or row["method"])
        rows.setdefault(row["food"], {}).setdefault(at, set()).update(edges)
    for food, combinations in rows.items():
        for feet in set().union(*combinations.values()):
            cells = [cell for cell in stillroom.table(food, f"{feet} ft").cells if cell.result == "tested"]
            shown = Counter(cell[1:5] for cell in cells)
            for at in combinations:
                assert bool(shown[at]) == _answered(food, at, feet), (food, at, feet)

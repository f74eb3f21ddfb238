"""Answers that could hurt someone, each with the page or publication that says otherwise."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

import stillroom
from stillroom import NoTestedSchedule, UnknownFood
from stillroom.commands.main import main
from stillroom.errors import BadInput
from tests.conftest import table

ROOT = Path(__file__).resolve().parents[2]
STEAM = "find peaches --pack hot --jar pint --canner steam"
PINTS = {"jar": "pint", "altitude": "500 ft", "canner": "boiling-water"}


def _refused(food: str, **asked: str) -> NoTestedSchedule:
    with pytest.raises(NoTestedSchedule) as caught:
        stillroom.find(food, **{**PINTS, **asked})
    return caught.value


# altitude


@pytest.mark.parametrize(
    "altitude", ["2.240 m", "1.650 m", "5.280 ft", "-1.650 m", "1,650.500 ft", "0.500 m", ".500 m"]
)
def test_a_dot_before_exactly_three_digits_is_refused_and_says_why(altitude):
    with pytest.raises(BadInput, match="dot before three digits, which may stand for thousands"):
        stillroom.find("snap beans", pack="raw", jar="pint", altitude=altitude, canner="dial")


@pytest.mark.parametrize(
    ("altitude", "feet"), [("2.24 m", 7.35), ("2.2400 m", 7.35), ("1,650 ft", 1650), ("2240 m", 7349)]
)
def test_a_near_miss_an_altitude_with_another_number_of_decimals_is_read(altitude, feet):
    answer = stillroom.find("snap beans", pack="raw", jar="pint", altitude=altitude, canner="dial")
    assert answer.altitude_ft == pytest.approx(feet, abs=0.5)


# steam


def test_a_day_in_a_steam_canner_stands_on_its_owners_figures_and_nobody_is_told_to_cover_its_jars(capsys):
    asked = {"jars": 7, "pack": "hot", "jar": "pint", "altitude": "500 ft", "canner": "steam"}
    with pytest.raises(BadInput, match="no canner capacity is printed for steam canners"):
        stillroom.plan("peaches", heating_min=15, **asked)
    with pytest.raises(BadInput, match="no heating time is printed for a steam canner"):
        stillroom.plan("peaches", holds=8, **asked)
    words = [*STEAM.replace("find", "plan").split(), "--jars", "7", "--altitude", "500 ft"]
    assert main([*words, "--holds", "8", "--heating-min", "15"]) == 0
    text = capsys.readouterr().out
    for wrong in ("over the jars", "Pour in boiling water", "1-17", "lid off", "flat bottom"):
        assert wrong not in text
    for words in ("its manual says", "Derived", "15 min", "Heat until the steam", "as the manual of your steam"):
        assert words in " ".join(text.split()), words


def test_a_steam_answer_has_the_shape_of_its_schema_and_its_canner_the_rule_with_the_limit(capsys):
    assert main([*STEAM.split(), "--json", "--altitude", "500 ft"]) == 0
    schema = json.loads((ROOT / "schema/answer.json").read_text(encoding="utf-8"))
    jsonschema.validate(json.loads(capsys.readouterr().out), schema)
    (steam,) = [row for row in table("shared/canners.csv") if row["id"] == "steam"]
    (rule,) = [row for row in table("shared/rules.csv") if row["id"] == steam["by_rule"]]
    assert steam["method"] == "steam" and (rule["value"], rule["unit"]) == ("45", "min")
    assert all(row["by_rule"] == "" for row in table("shared/canners.csv") if row["id"] != "steam")


# sources


def test_a_refusal_cites_the_source_of_its_own_row_whatever_stands_first_in_the_table(tmp_path):
    """An erratum whose id sorts before the guide must not speak for it."""
    import shutil

    from stillroom.answers.lookup import Lookup
    from stillroom.answers.question import Question
    from stillroom.answers.shelf import Shelf
    from stillroom.package.package import Package

    for name in ("schedules", "shared", "schema"):
        shutil.copytree(ROOT / name, tmp_path / name)
    sources = tmp_path / "shared/sources.csv"
    header, *rows = sources.read_text(encoding="utf-8").splitlines()
    erratum = "a-first,Somebody else,Another sheet,,2030,Another sheet,Somebody else,,public domain,"
    sources.write_text("\n".join([header, erratum, *rows, ""]), encoding="utf-8")
    lookup = Lookup(Shelf(Package(str(tmp_path))))
    questions = [
        ("beets", "hot", "boiling-water", "500 ft", "1-8"),
        ("snap beans", "raw", "dial", "9000 ft", "4-9"),
        ("horseradish", None, "dial", "500 ft", "6-30"),
    ]
    for food, pack, canner, altitude, page in questions:
        with pytest.raises(NoTestedSchedule) as caught:
            lookup.find(Question(food, "pint", altitude, canner, pack))
        source = caught.value.source
        assert source is not None and (source.id, source.page) == ("usda-2015", page)


# names that claim more than the print


@pytest.mark.parametrize(
    "kind", ["raspberries", "raspberry", "blackberries", "dewberries", "loganberries", "mulberries"]
)
def test_hot_pack_of_page_2_10_is_refused_for_the_berries_it_does_not_name(kind):
    refusal = _refused(kind, pack="hot")
    assert refusal.code == "pack-not-tested" and refusal.source.page == "2-10"
    assert refusal.reason.lower().startswith(kind) and "blueberries" in refusal.reason
    assert {tested.pack for tested in refusal.tested} == {"raw"}
    answer = stillroom.find(kind, pack="raw", **PINTS)
    assert answer.asked == kind and answer.title == "Berries, whole"


@pytest.mark.parametrize("kind", ["blueberries", "currants", "gooseberries", "huckleberries"])
def test_a_near_miss_hot_pack_of_page_2_10_is_answered_for_the_berries_it_names(kind):
    answer = stillroom.find(kind, pack="hot", **PINTS)
    assert answer.asked == kind
    assert stillroom.find("Berries, whole", pack="hot", **PINTS).asked is None


def test_the_recipe_of_a_kind_is_held_to_its_pack_too():
    with pytest.raises(NoTestedSchedule, match="hot pack is not tested"):
        stillroom.recipe("raspberries", pack="hot")
    assert stillroom.recipe("raspberries", pack="raw").pack == "raw"


@pytest.mark.parametrize(
    ("name", "page"),
    [
        ("vegetable juice", "3-6"), ("mixed vegetable juice", "3-6"), ("melon pickles", "2-11"),
        ("marinara", "3-13"), ("bolognese", "3-13"), ("pasta sauce", "3-13"), ("meat sauce", "3-13"),
        ("pickled onions", "6-20"), ("mandarin oranges", "2-15"), ("crab apples", "2-9"), ("baby food", "1-31"),
        ("passata", "3-5"), ("fruit syrup", "2-10"), ("crab meat", "5-9"), ("apple rings", "2-8"),
        ("pearl onions", "6-20"), ("watermelon rind pickles", "2-11"), ("tangerines", "2-15"),
    ],
)  # fmt: skip
def test_a_name_wider_than_the_printed_food_has_no_process_and_is_told_what_has(name, page):
    refusal = _refused(name, pack="hot")
    assert (refusal.code, refusal.source.page) == ("no-process", page)
    assert "Instead: ask for" in refusal.reason


@pytest.mark.parametrize(
    "name", ["mexican sauce", "pepper jelly", "fish fillets", "fermented pickles", "citrus sections"]
)
def test_a_name_wider_than_the_printed_food_is_no_answer(name):
    assert isinstance(_refused(name), UnknownFood)


@pytest.mark.parametrize(
    ("name", "food"),
    [
        ("tomato and vegetable juice", "tomato-vegetable-juice"), ("cantaloupe pickles", "cantaloupe-pickles"),
        ("spaghetti sauce with meat", "spaghetti-sauce-with-meat"), ("pickled pearl onions", "pickled-pearl-onions"),
        ("spiced crab apples", "spiced-crab-apples"), ("strawberry syrup", "berry-syrup"), ("king crab", "crab"),
        ("fruit-based baby foods", "fruit-baby-foods"), ("easy hot sauce", "easy-hot-sauce"),
    ],
)  # fmt: skip
def test_a_near_miss_the_printed_name_still_means_its_food(name, food):
    assert stillroom.recipe(name).food == food


@pytest.mark.parametrize("name", ["soup with dry beans", "split pea soup", "dried bean soup"])
def test_soup_with_dried_beans_is_answered_with_the_soaking_that_page_4_18_asks_for(name):
    answer = stillroom.find(name, pack="hot", form="without-seafood", jar="pint", altitude="500 ft", canner="dial")
    assert any("fully rehydrated" in stated.text and stated.page == "4-18" for stated in answer.options[0].requires)


def test_crab_is_said_to_be_king_and_dungeness_crab_only():
    answer = stillroom.find("crab", jar="pint", altitude="500 ft", canner="dial")
    assert "Only for king and Dungeness crab." in [stated.text for stated in answer.options[0].requires]


# later work


@pytest.mark.parametrize("name", ["elderberries", "elderberry jelly", "elderberry syrup", "Elder berries"])
def test_elderberries_are_refused_by_work_of_2020(name):
    """University of Minnesota Extension, October 2020: average pH 4.8; the 2015 guide lists them on page 2-10."""
    refusal = _refused(name, pack="hot")
    assert (refusal.code, refusal.source.id) == ("withheld", "umn-elderberries-2020")
    assert "pH above 4.6" in refusal.reason


@pytest.mark.parametrize(
    "name", ["white peaches", "White-flesh peaches", "peaches, white", "white nectarines", "white peach pie filling"]
)
def test_white_flesh_peaches_and_nectarines_are_refused_by_work_of_2020(name):
    """University of Wisconsin-Madison Extension, 11 June 2020; Kansas State University, 17 July 2023."""
    refusal = _refused(name, pack="hot")
    assert (refusal.code, refusal.source.id) == ("withheld", "uw-white-peaches-2020")


@pytest.mark.parametrize(
    "food", ["peaches", "nectarines", "peach-apple-salsa", "peach-pie-filling", "mixed-fruit-cocktail"]
)
def test_foods_of_peaches_ask_for_yellow_flesh_and_name_who_says_so(food):
    rows = stillroom.recipe(food)
    answer = stillroom.find(food, pack=rows.packs[0], **PINTS)
    (said,) = [stated for stated in answer.options[0].requires if "yellow flesh" in stated.text]
    assert said.source.id == "uw-white-peaches-2020"
    assert str(said).endswith("(University of Wisconsin-Madison Extension, 2020).")


def test_a_near_miss_apricots_take_the_process_of_peaches_and_say_nothing_of_yellow_flesh():
    answer = stillroom.find("apricots", pack="hot", **PINTS)
    assert answer.follows is not None
    assert not any("yellow" in stated.text for stated in answer.options[0].requires)


@pytest.mark.parametrize("food", ["apple-butter", "crab", "tomato-taco-sauce", "mexican-tomato-sauce"])
def test_vinegar_printed_without_its_strength_is_asked_for_at_5_percent(food):
    """University of Maine Cooperative Extension, 18 July 2023: weaker vinegar is on sale."""
    rows = [row for row in table("schedules/acid.csv") if row["food"] == food and "vinegar" in row["acid"]]
    assert rows and not any("5%" in row["acid"] for row in rows)
    conditions = {(row["food"], row["statement"]) for row in table("schedules/conditions.csv")}
    assert (food, "vinegar-5-percent") in conditions


def test_every_vinegar_without_a_strength_is_among_them():
    rows = [row for row in table("schedules/acid.csv") if row["use"] != "option" and "vinegar" in row["acid"]]
    unsaid = {row["food"] for row in rows if "5%" not in row["acid"]}
    asked = {row["food"] for row in table("schedules/conditions.csv") if row["statement"] == "vinegar-5-percent"}
    assert asked == unsaid


def test_the_recipe_says_yellow_flesh_with_its_source_and_that_of_apricots_says_nothing():
    (said,) = [str(stated) for stated in stillroom.recipe("peaches").requires if "yellow" in stated.text]
    assert said.endswith("(University of Wisconsin-Madison Extension, 2020).")
    assert not any("yellow" in stated.text for stated in stillroom.recipe("apricots").requires)

"""Warnings of the publication reach the person who asks, where they are asked for, with their page.

Source of every page named here: USDA, Complete Guide to Home Canning, AIB 539, revised 2015, read page by page.
"""

from __future__ import annotations

from typing import Any

import pytest

import stillroom
from stillroom.commands.main import main
from stillroom.sheets import day_document, day_sheet, run_sheet
from tests.conftest import table

CANNERS = {"": "boiling-water", "dial": "dial", "weighted": "weighted"}

WARNINGS = [
    # tomatoes of dead or frost-killed vines: 3-5, and 3-19 for salsa and any other tomato product
    ("easy-hot-sauce", "dead or frost-killed vines", "3-5"),
    ("cayenne-pepper-sauce", "dead or frost-killed vines", "3-5"),
    ("green-tomato-pie-filling", "dead or frost-killed vines", "3-5"),
    ("pickled-sweet-green-tomatoes", "dead or frost-killed vines", "3-5"),
    ("pickled-green-tomato-relish", "dead or frost-killed vines", "3-5"),
    ("piccalilli", "dead or frost-killed vines", "3-5"),
    ("tangy-tomatillo-relish", "dead or frost-killed vines", "3-5"),
    ("peach-apple-salsa", "dead or frost-killed vines", "3-19"),
    ("chile-con-carne", "dead or frost-killed vines", "3-5"),
    ("soups", "dead or frost-killed vines", "3-5"),
    ("succotash", "dead or frost-killed vines", "3-5"),
    ("mixed-vegetables", "dead or frost-killed vines", "3-5"),
    # proportions of vinegar, food and water: 1-28
    *(
        (food, "proportions of vinegar, food and water", "1-28")
        for food in (
            "cranberry-orange-chutney", "mango-chutney", "spicy-cranberry-salsa", "mango-salsa", "peach-salsa",
            "peach-apple-salsa", "green-tomato-pie-filling", "easy-hot-sauce", "cayenne-pepper-sauce",
            "tomato-ketchup", "country-western-ketchup", "blender-ketchup", "mexican-tomato-sauce", "chile-salsa",
            "chile-salsa-ii", "tomato-green-chile-salsa", "tomato-salsa-slicing-tomatoes", "tomato-taco-sauce",
            "spiced-apple-rings", "spiced-crab-apples",
        )
    ),
    # meat, poultry, fish and seafood: cold and without delay
    ("chicken-or-rabbit", "without delay", "1-11"),
    ("ground-or-chopped-meat", "without delay", "1-11"),
    ("meat-strips-cubes-or-chunks", "without delay", "1-11"),
    ("meat-stock", "without delay", "1-11"),
    ("chile-con-carne", "without delay", "1-11"),
    ("chicken-or-rabbit", "6 to 12 hours", "5-5"),
    ("ground-or-chopped-meat", "kept chilled", "5-6"),
    ("meat-strips-cubes-or-chunks", "kept chilled", "5-6"),
    *((food, "within 2 days", "1-11") for food in ("fish", "tuna", "clams", "crab", "oysters")),
    ("clams", "alive, on ice", "5-9"),
    ("crab", "alive, on ice", "5-9"),
    ("oysters", "alive, on ice", "5-12"),
    ("tuna", "tuna on ice", "5-14"),
    ("smoked-fish", "no ice crystals", "5-13"),
    ("smoked-fish", "No jar larger than a pint", "5-13"),
    # one food each
    ("whole-kernel-corn", "do not scrape the cob", "4-11"),
    ("marinated-whole-mushrooms", "wild mushrooms", "4-13"),
    ("spaghetti-sauce-without-meat", "wild mushrooms", "4-13"),
    ("spaghetti-sauce-with-meat", "wild mushrooms", "4-13"),
    ("sweet-potatoes", "Whole or in pieces", "4-16"),
    ("mango-salsa", "unripe mangoes", "2-24"),
    ("mango-chutney", "unripe mangoes", "2-16"),
    ("peach-salsa", "underripe but yellow peaches", "2-24"),
    ("peach-apple-salsa", "unripe peaches", "2-25"),
    ("apple-pie-filling", "fresh fruit", "2-26"),
    ("peach-pie-filling", "fresh fruit", "2-26"),
    ("dill-pickles", "under the brine", "6-6"),
    ("sauerkraut", "under the brine", "6-6"),
    ("grape-juice", "hot jars or sterile jars", "2-15"),
]  # fmt: skip
"""Food, words of the requirement, page."""

NOTES = [
    ("tomatillos", "husk tomatoes", "3-5"),
    ("mango-salsa", "solids first", "2-24"),
    ("peach-salsa", "solids first", "2-24"),
    ("pickled-jalapeno-rings", "belongs to this recipe", "6-23"),
    ("chile-salsa", "soap and water", "3-21"),
    ("spicy-cranberry-salsa", "soap and water", "2-23"),
    ("mango-chutney", "lips and eyes", "2-17"),
    ("apple-pie-filling", "get it first", "2-25"),
]
"""Food, words of the caution, page."""


def _asked(food: str) -> list[dict[str, Any]]:
    """Every published question about a food, at its lowest altitude; but for half-gallons of juice."""
    follows = {row["food"]: row for row in table("schedules/relations.csv")}
    relation = follows.get(food, {"follows": food, "pack": ""})
    rows = [
        row
        for group in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")
        for row in table(f"schedules/{group}.csv")
        if row["food"] == relation["follows"] and row["jar"] != "half-gallon"
    ]
    return [
        {
            "jar": row["jar"],
            "altitude": f"{row['altitude_from_ft']} ft",
            "canner": CANNERS[row["gauge"]],
            "pack": row["pack"] or None,
            "form": row["form"] or None,
        }
        for row in rows
        if relation["pack"] in ("", row["pack"])
    ]


@pytest.mark.parametrize(("food", "words", "page"), WARNINGS)
def test_a_warning_is_required_in_every_answer(food: str, words: str, page: str) -> None:
    asked = _asked(food)
    assert asked
    for question in asked:
        required = stillroom.find(food, **question).options[0].requires
        assert page in [stated.page for stated in required if words in stated.text], question


@pytest.mark.parametrize(("food", "words", "page"), NOTES)
def test_a_caution_stands_in_every_answer(food: str, words: str, page: str) -> None:
    for question in _asked(food):
        cautions = stillroom.find(food, **question).options[0].cautions
        assert page in [stated.page for stated in cautions if words in stated.text], question


@pytest.mark.parametrize(
    ("food", "words"),
    [
        ("peach-salsa", "mangoes"), ("cream-style-corn", "scrape the cob"), ("sweet-potatoes", "Cubes"),
        ("pickled-jalapeno-rings", "Lime variation"), ("pickled-yellow-pepper-rings", "lime"),
        ("peaches", "frost-killed"), ("apple-butter", "proportions of vinegar"), ("fish", "larger than a pint"),
    ],
)  # fmt: skip
def test_a_warning_does_not_reach_the_food_beside_it(food: str, words: str) -> None:
    """2-24 peaches in place of mango; 4-10 scrapes the cob; 6-24 has no lime."""
    for question in _asked(food):
        option = stillroom.find(food, **question).options[0]
        assert not [stated for stated in (*option.requires, *option.cautions) if words in stated.text]


def test_a_recipe_does_not_inherit_what_does_not_carry() -> None:
    said = " ".join(str(stated) for stated in stillroom.recipe("peach salsa").requires)
    assert "peaches only" in said
    assert "mangoes" not in said


def test_fish_in_quarts_vent_only_once_steam_streams_steadily() -> None:
    """5-12: 20 minutes on high, or longer, until steam flows in a steady stream; only then the 10 minutes."""
    asked: dict[str, Any] = {"jar": "quart", "pack": "raw", "altitude": "500 ft", "canner": "dial"}
    (start,) = [s for s in stillroom.find("fish", **asked).options[0].requires if "3 quarts" in s.text]
    assert "20 minutes or longer, until steam flows in a steady stream; only then vent 10 minutes" in start.text
    plan = stillroom.plan("fish", jars=7, **asked)
    assert plan.loads[0].steps[0].text == "Heat to steady steam, at least"
    assert [s.page for s in plan.cautions if "only once steam leaves the vent in a steady stream" in s.text] == ["5-12"]


def test_cold_water_of_smoked_fish_may_take_longer_than_the_clock() -> None:
    """5-13 prints 4 quarts of cool water and no heating time; 1-17 has 12 to 15 minutes for hot water."""
    plan = stillroom.plan("smoked fish", jars=7, jar="pint", altitude="500 ft", canner="dial")
    assert [s.page for s in plan.cautions if "it may take longer" in s.text] == ["5-13"]
    fish = stillroom.plan("fish", jars=7, jar="pint", pack="raw", altitude="500 ft", canner="dial")
    assert not [s for s in fish.cautions if "longer" in s.text]


@pytest.mark.parametrize(("jar", "told"), [("quart", True), ("12-ounce", False)])
def test_smoked_fish_in_quarts_is_refused_with_the_ban_of_page_5_13(jar: str, told: bool) -> None:
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.find("smoked fish", jar=jar, altitude="500 ft", canner="dial")
    assert refused.value.code == "jar-not-tested"
    assert ("No jar larger than a pint" in refused.value.reason) == told
    assert (refused.value.source is not None and refused.value.source.page == "5-13") == told


@pytest.mark.parametrize(
    ("altitude", "minutes"),
    [
        ("-100 ft", 10), ("0 ft", 10), ("999 ft", 10), ("1000 ft", 11), ("1999 ft", 11), ("2000 ft", 12),
        ("5280 ft", 15), ("9000 ft", 19),
    ],
)  # fmt: skip
def test_jars_are_sterilized_longer_higher_up(altitude: str, minutes: int) -> None:
    """1-15: 10 minutes below 1,000 ft and one more for each additional 1,000 ft."""
    answer = stillroom.find("apple butter", jar="pint", pack="hot", altitude=altitude, canner="boiling-water")
    (how,) = [stated for stated in answer.options[0].requires if "sterilize" in stated.text]
    assert f"boil {minutes} minutes at this altitude" in how.text
    assert how.page == "1-15"


def test_jars_that_need_not_be_sterile_have_no_word_of_sterilizing() -> None:
    """2-6: quarts of apple butter only have to be clean and hot."""
    answer = stillroom.find("apple butter", jar="quart", pack="hot", altitude="0 ft", canner="boiling-water")
    assert not [stated for stated in answer.options[0].requires if "steril" in stated.text]


def test_a_recipe_and_a_run_sheet_say_how_jars_are_sterilized() -> None:
    recipe = stillroom.recipe("apple butter")
    assert [s.page for s in recipe.requires if "1 minute more for each further 1,000 ft" in s.text] == ["1-15"]
    plan = stillroom.plan("apple butter", jars=7, jar="pint", pack="hot", altitude="5280 ft", canner="boiling-water")
    for sheet in (run_sheet.html(plan, stillroom.shelf()), day_sheet.day_sheet(plan, stillroom.shelf())):
        assert "15 minutes at this altitude" in " ".join(sheet.split())


BEFORE = {
    "jars-washed": "1-14", "jar-surface": "1-26", "lids-new": "1-13", "lids-sound": "1-15", "lids-keep": "1-15",
    "air-bubbles": "1-15", "rims-clean": "1-16", "bands-fitted": "1-16",
}  # fmt: skip
AFTER = {
    "lost-liquid": "1-25", "store-away-from-heat": "1-26", "frozen-by-accident": "1-26", "look-before-opening": "1-26",
    "look-while-opening": "1-27", "taste-can-kill": "iii", "suspect-food-boil": "iii", "eat-unboiled": "iii",
}  # fmt: skip
SUSPECT = (
    "suspect-is-poison", "suspect-sealed", "detoxify-gloves", "detoxify-pot", "detoxify-water", "detoxify-boil",
    "bleach-solution", "bleach-first", "bleach-wipe", "bleach-again", "bleach-wash",
)  # fmt: skip
BEANS: dict[str, Any] = {"jar": "pint", "pack": "hot", "altitude": "2500 ft", "canner": "dial"}


def test_general_rules_stand_on_their_pages() -> None:
    pages = {row["id"]: row["page"] for row in table("shared/rules.csv")}
    assert {name: pages[name] for name in (*BEFORE, *AFTER)} == {**BEFORE, **AFTER}
    assert {pages[name] for name in SUSPECT} == {"1-27"}
    assert (pages["canner-bottom"], pages["boiling-water-top-up"], pages["jelly-mold"]) == ("1-18", "1-18", "1-30")


def test_a_plan_has_every_general_rule_in_order() -> None:
    document = day_document.document(stillroom.plan("snap beans", jars=9, **BEANS))
    assert [rule["page"] for rule in document["before"]] == list(BEFORE.values())
    after = [rule["page"] for part in document["after"] for rule in part["rules"]]
    assert after[-5:] == ["1-26", "1-27", "iii", "iii", "iii"]
    steps = [rule["text"] for rule in document["suspect_jar"]]
    assert len(steps) == len(SUSPECT)
    for step, words in zip(
        steps,
        (
            "poison|toxin", "heavy garbage bag", "gloves", "8 quarts", "at least 1 inch", "boil 30 minutes",
            "5 parts of clean water 1 part", "wait 30 minutes", "paper towels", "30 minutes again", "gloves away",
        ),
        strict=True,
    ):  # fmt: skip
        assert any(word in step for word in words.split("|")), step


def test_boiling_before_eating_is_for_low_acid_and_tomato_food_and_longer_higher_up() -> None:
    """Pages i and iii: low-acid and tomato foods, 10 minutes below 1,000 ft, one more for each 1,000 ft."""
    peaches: dict[str, Any] = {"jar": "pint", "pack": "hot", "altitude": "2500 ft", "canner": "boiling-water"}
    for food, asked, told in (
        ("snap beans", BEANS, True),
        ("crushed tomatoes", {**BEANS, "jar": "pint"}, True),
        ("peaches", peaches, False),
    ):
        plan = stillroom.plan(food, jars=9, **asked)
        text = " ".join(day_sheet.day_sheet(plan, stillroom.shelf()).split())
        paper = " ".join(run_sheet.html(plan, stillroom.shelf()).split())
        assert ("in a saucepan 12 minutes (at this altitude) before anybody eats it" in text) == told
        assert ("boil it 12 min in a saucepan before eating (page iii)" in paper) == told
        assert ("A jar that may have spoiled, step by step:" in text) == told
        assert ("treat it as poison" in paper) == told
        assert bool(plan.handling.suspect) == told


def test_a_run_sheet_checks_lids_rims_and_bands_and_says_what_a_jar_that_lost_liquid_needs() -> None:
    plan = stillroom.plan("crushed tomatoes", jars=9, **BEANS)
    for sheet in (run_sheet.html(plan, stillroom.shelf()), run_sheet.markdown(plan, stillroom.shelf())):
        for words in (
            "Lids: new, not dented", "rims wiped with a damp paper towel", "Bands: as the maker",
            "lost liquid: do not open it", "Away from heat, damp and sun", "Required for safety", "Also note",
        ):  # fmt: skip
            assert words in sheet
        assert "First, without which" not in sheet


def test_a_sweet_spread_has_no_air_bubbles_and_a_word_on_mold() -> None:
    """1-15: jams and jellies need no releasing of bubbles; 1-30: mold may leave toxins."""
    plan = stillroom.plan(
        "blueberry-spice jam", jars=5, jar="half-pint", pack="hot", altitude="500 ft", canner="boiling-water", holds=7
    )
    assert not [stated for stated in plan.handling.before if "spatula" in stated.text]
    assert [s.page for _, part in plan.handling.after for s in part if "Mold" in s.text] == ["1-30"]


def test_rules_of_thumb_stand_on_the_sheet_of_a_full_load_alone_and_warnings_on_every_sheet() -> None:
    asked: dict[str, Any] = {"jar": "half-pint", "altitude": "500 ft", "canner": "dial", "holds": 12}
    for jars, full in ((30, True), (12, True), (7, False)):
        plan = stillroom.plan("crab", jars=jars, **asked)
        sheet = run_sheet.html(plan, stillroom.shelf())
        assert ("For comparison" in sheet) == full
        for stated in (*plan.option.requires, *plan.cautions):
            assert stated.text.split(":")[0].removesuffix(".")[:40] in sheet


def test_rules_of_thumb_of_eighteen_pints_are_told_of_eighteen_pints_alone() -> None:
    for jars, holds, told in ((18, 18, True), (20, 18, True), (9, 9, False), (17, 18, False)):
        plan = stillroom.plan("snap beans", jars=jars, holds=holds, **BEANS)
        assert any("18 pints" in row.statement for row in plan.practice) == told


def test_the_command_prints_the_steps_for_a_jar_that_may_have_spoiled(capsys: pytest.CaptureFixture[str]) -> None:
    words = ["--jar", "pint", "--pack", "hot", "--altitude", "500 ft", "--canner", "dial", "--jars", "9"]
    assert main(["plan", "snap beans", *words]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "1 part of unscented household chlorine bleach (liquid, 5 to 6% sodium hypochlorite)" in text

"""What people often ask to can, and nobody has tested or somebody warns against: refused, never a neighbor suggested.

The list was collected before the entries were written. Sources stand with each entry of schedules/withheld.csv.
"""

from __future__ import annotations

import csv

import pytest

import stillroom
from tests.conftest import ROOT

WITHHELD = (
    "butter", "milk", "cream", "cheese", "yogurt", "ghee", "garlic in oil", "herbs in oil", "vegetables in oil",
    "pesto", "flavored oils", "nuts", "bread in jars", "banana bread", "cake in a jar", "chocolate sauce", "bacon",
    "ham", "corned beef", "pickled eggs", "rice", "pasta", "dumplings", "broccoli", "cauliflower", "cabbage",
    "eggplant", "summer squash", "zucchini", "watermelon", "melons", "garlic", "refried beans", "mashed potatoes",
    "pumpkin butter", "pureed soup", "cured sausage", "hummus",
)  # fmt: skip
NO_PROCESS = (
    "eggs", "lard", "avocado", "guacamole", "artichokes", "bananas", "olives", "lettuce", "celery", "hominy",
    "lemon curd", "coconut milk", "caramel sauce", "peanut butter", "tofu", "kimchi", "radishes", "turnips",
    "parsnips", "fiddleheads", "mayonnaise", "gravy", "custard", "meat loaf", "shrimp", "lobster",
    "brussels sprouts", "corn on the cob", "cranberry sauce", "papaya", "persimmons", "tomato soup",
    "vegetable broth", "stuffed peppers", "pet food", "barbecue sauce", "brunswick stew", "green peanuts",
    "kohlrabi", "turkey", "duck", "wild goose", "elk", "moose", "squirrel", "game birds", "walleye", "boysenberries",
    "black-eyed peas", "fava beans", "lentils", "fennel", "shiitake mushrooms", "quince", "mangoes", "pear butter",
    "stewed tomatoes", "tomato paste", "zucchini relish", "ham stock", "squid", "liver pate", "prickly pears",
)  # fmt: skip
PRACTICES = (
    "oven canning", "dry canning", "dishwasher canning", "microwave canning", "open kettle", "sun canning",
    "inversion", "slow cooker canning", "reused lids", "paraffin", "aspirin", "vacuum sealing", "canning powders",
    "wire bail jars", "recanning", "electric multicooker", "water bath green beans", "pressure saucepan",
    "one-piece lids", "thickening before canning", "guessing the time", "time from a similar food", "air fryer",
)  # fmt: skip


def _table(path: str) -> list[dict[str, str]]:
    with (ROOT / path).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _code(name: str) -> str:
    """Code of the refusal; blank where the name means one food."""
    try:
        stillroom.shelf().names.meaning(name)
    except stillroom.NoTestedSchedule as refused:
        return refused.code
    except stillroom.SayWhich:
        return "say-which"
    return ""


def _refused(name: str) -> stillroom.NoTestedSchedule:
    with pytest.raises(stillroom.NoTestedSchedule) as caught:
        stillroom.find(name, jar="pint", altitude="0 ft", canner="dial")
    return caught.value


@pytest.mark.parametrize("name", [*WITHHELD, *PRACTICES])
def test_what_is_warned_against_is_withheld_with_its_source(name: str) -> None:
    refused = _refused(name)
    assert refused.code == "withheld"
    assert refused.source is not None and refused.tested == ()


@pytest.mark.parametrize("name", NO_PROCESS)
def test_what_nobody_gives_a_process_for_says_so(name: str) -> None:
    refused = _refused(name)
    assert refused.code == "no-process"
    assert "no tested process" in refused.reason and refused.source is not None


def test_the_table_answers_at_least_sixty_foods_and_fifteen_practices() -> None:
    kinds = [row["kind"] for row in _table("schedules/withheld.csv")]
    assert kinds.count("food") + kinds.count("form") >= 60 and kinds.count("practice") >= 15


def test_what_words_of_canners_and_jars_lead_to_is_a_practice() -> None:
    rows = {row["id"]: row["kind"] for row in _table("schedules/withheld.csv")}
    asked = {
        "dry-canning", "slow-cookers", "sun-canning", "vacuum-sealing", "reused-lids", "inversion",
        "electric-multicookers", "oven-canning", "dishwasher-canning", "microwave-canning", "open-kettle",
        "canning-powders", "other-commercial-jars", "pressure-saucepans",
    }  # fmt: skip
    assert {rows.get(which) for which in asked} == {"practice"}
    led = {row["withheld"] for path in ("canner", "jar") for row in _table(f"shared/{path}-words.csv")} - {""}
    assert {rows.get(which) for which in led} == {"practice"}


def test_every_name_is_refused_with_the_reason_the_way_out_and_the_page_of_its_entry() -> None:
    entries = {row["id"]: row for row in _table("schedules/withheld.csv")}
    for row in _table("schedules/withheld-names.csv"):
        refused, entry = _refused(row["alias"]), entries[row["withheld"]]
        assert entry["reason"] in refused.reason, row
        assert entry["instead"][1:] in refused.reason, row
        assert refused.source is not None and refused.source.page == entry["page"], row


def test_no_name_of_something_tested_is_refused() -> None:
    names = {name for row in _table("schedules/foods.csv") for name in (row["id"], row["title"])}
    names |= {row["alias"] for row in _table("schedules/aliases.csv")}
    names |= {row["caption"] for row in _table("schedules/readings/captions.csv")}
    assert len(names) > 700
    assert {name for name in names if _code(name) in {"withheld", "no-process"}} == set()


@pytest.mark.parametrize(
    "name",
    [
        "peaches in syrup", "pickled beets with onions", "tomato juice with vegetables", "pineapple in its own juice",
        "halibut with olive oil", "mango salsa", "meatballs in tomato juice", "strawberry jam", "venison mincemeat",
        "baked beans with bacon", "tomatoes with lemon juice", "peaches in white grape juice", "paste tomatoes",
        "king crab meat", "peach baby food", "cinnamon apple rings", "crab apple jelly", "strained tomato juice",
    ],
)  # fmt: skip
def test_words_beside_something_tested_do_not_turn_it_into_what_is_withheld(name: str) -> None:
    assert _code(name) in {"", "say-which", "unknown-food"}


def test_dry_and_dried_mean_the_same_of_every_bean_and_pea() -> None:
    """Page 4-5: beans or peas, shelled and dried, all varieties; fresh, several of them have no process."""
    names = {row["alias"] for row in _table("schedules/aliases.csv") if row["food"] == "dried-beans-or-peas"}
    dried = {name.partition(" ")[2] for name in names if name.startswith(("dry ", "dried "))}
    assert len(dried) > 25
    for bean in dried:
        for word in ("dry", "dried"):
            assert stillroom.shelf().names.meaning(f"{word} {bean}").food == "dried-beans-or-peas", (word, bean)
    assert {_code(bean) for bean in ("cranberry beans", "fava beans", "field peas")} == {"no-process"}


def test_fish_that_the_guide_names_are_answered_and_said_beside_those_it_does_not() -> None:
    """Pages 5-10 and 5-11 name halibut, page 5-13 smoked rockfish, sole, cod and flounder."""
    assert stillroom.shelf().names.meaning("halibut").food == "fish"
    for fish in ("rockfish", "sole", "cod", "flounder"):
        assert stillroom.shelf().names.meaning(f"smoked {fish}").food == "smoked-fish", fish
    refused = _refused("cod")
    assert refused.code == "no-process" and "halibut" in refused.reason and "smoked fish" in refused.reason


@pytest.mark.parametrize(
    ("name", "food"),
    [
        ("pickled cauliflower", "pickled-cauliflower-or-brussels-sprouts"),
        ("sauerkraut", "sauerkraut"),
        ("cantaloupe pickles", "cantaloupe-pickles"),
        ("three bean salad", "pickled-three-bean-salad"),
        ("white potatoes", "white-potatoes"),
        ("apple butter", "apple-butter"),
        ("sausage", "ground-or-chopped-meat"),
        ("meat stock", "meat-stock"),
    ],
)
def test_near_misses_that_are_tested_stay_answered(name: str, food: str) -> None:
    assert stillroom.shelf().names.meaning(name).food == food

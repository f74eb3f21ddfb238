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
    "kohlrabi",
)  # fmt: skip
PRACTICES = (
    "oven canning", "dry canning", "dishwasher canning", "microwave canning", "open kettle", "sun canning",
    "inversion", "slow cooker canning", "reused lids", "paraffin", "aspirin", "vacuum sealing", "canning powders",
    "wire bail jars", "recanning", "electric multicooker", "water bath green beans",
)  # fmt: skip


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
    with (ROOT / "schedules/withheld.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    kinds = [row["kind"] for row in rows]
    assert kinds.count("food") + kinds.count("form") >= 60 and kinds.count("practice") >= 15


@pytest.mark.parametrize(
    ("name", "food"),
    [
        ("pickled cauliflower", "pickled-cauliflower-or-brussels-sprouts"),
        ("sauerkraut", "sauerkraut"),
        ("cantaloupe pickles", "cantaloupe-pickles"),
        ("pickled zucchini", "pickled-bread-and-butter-zucchini"),
        ("three bean salad", "pickled-three-bean-salad"),
        ("white potatoes", "white-potatoes"),
        ("apple butter", "apple-butter"),
        ("sausage", "ground-or-chopped-meat"),
        ("meat stock", "meat-stock"),
    ],
)
def test_near_misses_that_are_tested_stay_answered(name: str, food: str) -> None:
    assert stillroom.shelf().names.meaning(name).food == food

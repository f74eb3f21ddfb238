from __future__ import annotations

import pytest

import stillroom

SLIPS = {
    "tomatos": "tomato-juice", "tomatoe juice": "tomato-juice", "sourkraut": "sauerkraut", "saurkraut": "sauerkraut",
    "sour kraut": "sauerkraut", "saurcraut": "sauerkraut", "asparagas": "asparagus", "asparugus": "asparagus",
    "rubarb": "rhubarb", "rhubard": "rhubarb", "rhurbarb": "rhubarb", "pinapple": "pineapple",
    "pineaple": "pineapple", "nectarenes": "nectarines", "apricott": "apricots", "appricots": "apricots",
    "peech": "peaches", "peeches": "peaches", "pares": "pears", "cherrys": "cherries", "cheries": "cherries",
    "rasberry": "berries", "rasberries": "berries", "blue berry": "berries", "bluberries": "berries",
    "piccalilly": "piccalilli", "picalily": "piccalilli", "kethcup": "tomato-ketchup", "catchup": "tomato-ketchup",
    "spagetti sauce": "spaghetti-sauce-with-meat", "jalepenos": "peppers", "jalapinos": "peppers",
    "cantalope": "cantaloupe-pickles", "canteloupe": "cantaloupe-pickles", "mushroms": "mushrooms",
    "sweet potatos": "sweet-potatoes", "swete potato": "sweet-potatoes", "carots": "carrots", "carrotts": "carrots",
    "spinich": "spinach-and-other-greens", "spinnach": "spinach-and-other-greens", "okre": "okra",
    "sucotash": "succotash", "succatash": "succotash", "brussel sprouts": "pickled-cauliflower-or-brussels-sprouts",
    "greenbeans": "snap-beans", "string beens": "snap-beans", "lima beens": "lima-beans", "tunafish": "tuna",
    "salmin": "fish", "oisters": "oysters", "clamms": "clams", "chiken": "chicken-or-rabbit",
    "tomatillas": "tomatillos", "apple sawce": "applesauce", "aplesauce": "applesauce", "apple buter": "apple-butter",
    "zuchini pineapple": "zucchini-pineapple", "bread and buter pickles": "bread-and-butter-pickles",
    "dil pickles": "dill-pickles", "gerkins": "sweet-gherkin-pickles", "corn relesh": "pickled-corn-relish",
    "beats": "beets", "pickeled beets": "pickled-beets", "pumkin": "pumpkin-and-winter-squash",
    "mincmeat": "festive-mincemeat-pie-filling", "marinaded peppers": "marinated-peppers",
}  # fmt: skip
"""Misspellings people write, and the food that must be among the candidates."""


def _candidates(text: str) -> list[str]:
    return [food.id for food in stillroom.foods(text)]


@pytest.mark.parametrize(("slip", "food"), SLIPS.items())
def test_a_slip_finds_the_food_among_the_first_candidates(slip: str, food: str) -> None:
    assert food in _candidates(slip)[:4]


NO_SLIPS = (
    "tomatoe juice", "tomatos", "sweet potatos", "cherrys", "piccalilly", "beats", "sour kraut", "tunafish",
    "brussel sprouts",
)  # fmt: skip
"""Answered: another spelling of the plural, or a name that is listed. Brussels sprouts not pickled are withheld."""


@pytest.mark.parametrize("slip", [slip for slip in SLIPS if slip not in NO_SLIPS])
def test_a_slip_is_never_answered_in_silence(slip: str) -> None:
    with pytest.raises(stillroom.UnknownFood) as unknown:
        stillroom.find(slip, jar="pint", altitude="0 ft", canner="dial")
    assert unknown.value.suggestions
    assert "\n" not in str(unknown.value)


def test_suggestions_name_the_food_meant_among_the_first() -> None:
    titles = {food.id: food.title for food in stillroom.foods()}
    found = 0
    for slip, food in SLIPS.items():
        try:
            found += stillroom.find(slip, jar="pint", altitude="0 ft", canner="dial").food == food
        except stillroom.UnknownFood as unknown:
            found += titles[food] in unknown.suggestions
        except stillroom.StillroomError:
            found += 1
    assert found >= len(SLIPS) - 2


def test_part_of_a_name_lists_all_that_hold_it_closest_first() -> None:
    beets = _candidates("beet")
    assert beets[0] == "beets"
    assert {"pickled-beets", "no-sugar-added-pickled-beets", "pickled-whole-baby-beets"} <= set(beets)
    assert "carrots" not in beets


def test_a_whole_name_outranks_a_part_and_a_part_a_slip() -> None:
    assert _candidates("okra")[0] == "okra"
    assert _candidates("pineaple")[0] == "pineapple"


@pytest.mark.parametrize("text", ["xyzzy", "qqqq", "motor oil", "1234"])
def test_what_comes_near_nothing_suggests_nothing(text: str) -> None:
    with pytest.raises(stillroom.UnknownFood) as unknown:
        stillroom.find(text, jar="pint", altitude="0 ft", canner="dial")
    assert unknown.value.suggestions == ()


def test_the_same_words_always_give_the_same_order() -> None:
    from stillroom.answers.names import Names

    for text in ("tomto", "sweet potatos", "relish"):
        assert len({tuple(Names(stillroom.shelf().package).nearness.near(text)) for _ in range(3)}) == 1

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import stillroom
from stillroom.answers.stems import ordered, plain

ROOT = Path(__file__).resolve().parents[2]


def _rows(path: str) -> list[dict[str, str]]:
    with (ROOT / path).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _refused(text: str) -> stillroom.NoTestedSchedule:
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.find(text, jar="pint", altitude="0 ft", canner="dial")
    return refused.value


def _one(word: str) -> str:
    """Singular of a word, roughly."""
    return word if word.endswith("ss") or word == "s" else word.removesuffix("s")


def _code(text: str) -> str:
    """Code of the refusal; blank where the name means one food."""
    try:
        stillroom.shelf().names.meaning(text)
    except stillroom.NoTestedSchedule as refused:
        return refused.code
    return ""


ASKED = {
    "mashed pumpkin": "4-18", "pumpkin puree": "4-18", "pureed pumpkins": "4-18", "puree of pumpkin": "4-18",
    "mashed winter squash": "4-18", "butternut squash puree": "4-18",
    "mashed sweet potato": "4-16", "sweet potatoes mashed": "4-16", "dry pack sweet potatoes": "4-16",
    "pureed carrots": "1-31", "carrot puree": "1-31", "mashed potatoes": "1-31", "pureed peas": "1-31",
    "vegetable baby food": "1-31", "refried beans": "1-31", "pureed beef": "1-31", "chicken baby food": "1-31",
    "banana puree": "2-14", "mashed bananas": "2-14", "fig puree": "2-14", "papaya puree": "2-14",
    "watermelon puree": "2-14", "coconut puree": "2-14", "asian pear puree": "2-14", "mango puree": "2-14",
    "cream of mushroom soup": "4-18", "cream of tomato soup": "4-18", "cream soups": "4-18",
    "lobster bisque": "4-18", "chicken noodle soup": "4-18", "homemade chicken noodle soup": "4-18",
    "chicken & noodle soup": "4-18", "turkey rice soup": "4-18", "soup with pasta": "4-18",
    "soup thickened with flour": "4-18", "thickened chili": "5-8", "salsa with cornstarch": "3-21",
    "wild mushroom": "4-13", "morels": "4-13", "foraged mushrooms": "4-13",
    "smoked oysters": "5-13", "smoked shrimp": "5-13", "smoked clams": "5-13", "blue crabs": "5-9",
    "snow peas": "4-14", "sugar snap peas": "4-14", "horseradish": "6-30",
    "open kettle": "1-35", "open-kettle canning": "1-35", "oven canning": "1-10", "oven canned peaches": "1-10",
    "dishwasher canning": "1-10", "microwave canning": "1-10", "canning powder": "1-10", "paraffin": "1-30",
    "steam canners": "1-10", "water bath green beans": "1-8", "tomatoes without acid": "3-5",
    "figs without lemon juice": "2-14", "low-salt sauerkraut": "1-28", "frost-killed tomatoes": "3-5",
}  # fmt: skip
"""Usual names of what the publication withholds, and the page it says so on."""


@pytest.mark.parametrize(("name", "page"), ASKED.items())
def test_what_is_withheld_is_refused_by_its_usual_names_with_the_page(name: str, page: str) -> None:
    refused = _refused(name)
    assert refused.code == "withheld"
    assert refused.source is not None and refused.source.page == page
    assert "\n" not in refused.reason


@pytest.mark.parametrize(
    "name",
    [
        "pumpkin", "pumpkin cubes", "carrots", "green peas", "figs", "fruit puree", "pureed fruit", "peach puree",
        "mushrooms", "soup", "chicken soup", "smoked fish", "smoked salmon", "crab", "sauerkraut", "chili",
        "salsa verde", "sweet potatoes", "mango sauce", "apple butter", "applesauce", "tomato sauce", "oysters",
    ],
)  # fmt: skip
def test_near_misses_are_not_withheld(name: str) -> None:
    assert _code(name) == ""


def test_every_name_of_the_table_is_refused_as_its_own_entry() -> None:
    entries = {row["id"]: row for row in _rows("schedules/withheld.csv")}
    for row in _rows("schedules/withheld-names.csv"):
        refused, entry = _refused(row["alias"]), entries[row["withheld"]]
        assert refused.code == entry["code"], row
        assert refused.reason.startswith(entry["title"]), row
        assert refused.source is not None and (refused.source.id, refused.source.page) == (
            entry["source"],
            entry["page"],
        )


PASTE = "paste tomato"
"""A kind of tomato, and no tomato paste turned round."""


def test_singular_and_plural_and_word_order_do_not_matter() -> None:
    codes = {row["id"]: row["code"] for row in _rows("schedules/withheld.csv")}
    for row in _rows("schedules/withheld-names.csv"):
        words = plain(row["alias"]).split()
        for changed in {" ".join(reversed(words)), " ".join([*words[:-1], _one(words[-1])])} - {PASTE}:
            assert _code(changed) == codes[row["withheld"]], changed


def test_no_withheld_name_is_the_name_of_a_food() -> None:
    foods = [row["title"] for row in _rows("schedules/foods.csv")] + [row["id"] for row in _rows("schedules/foods.csv")]
    foods += [row["alias"] for row in _rows("schedules/aliases.csv")]
    withheld = {frozenset(ordered(plain(row["alias"]))) for row in _rows("schedules/withheld-names.csv")}
    assert {name for name in foods if frozenset(ordered(plain(name))) in withheld} == set()


def test_one_name_means_one_thing_and_every_entry_has_a_name() -> None:
    rows = _rows("schedules/withheld-names.csv")
    names = [plain(row["alias"]) for row in rows]
    assert len(names) == len(set(names))
    meant: dict[frozenset[str], set[str]] = {}
    for row in rows:
        meant.setdefault(frozenset(ordered(plain(row["alias"]))), set()).add(row["withheld"])
    assert {stems: ids for stems, ids in meant.items() if len(ids) > 1} == {}
    assert {row["withheld"] for row in rows} == {row["id"] for row in _rows("schedules/withheld.csv")}


@pytest.mark.parametrize("name", ["pumkin puree", "crem of mushroom soup", "smoked oystrs", "chiken noodle soop"])
def test_a_misspelled_name_suggests_what_is_withheld_first_and_says_so(name: str) -> None:
    refused = _refused(name)
    assert isinstance(refused, stillroom.UnknownFood)
    assert refused.suggestions[0].endswith("(not recommended)")


def test_a_misspelled_food_does_not_suggest_what_is_withheld() -> None:
    refused = _refused("mushroms")
    assert isinstance(refused, stillroom.UnknownFood)
    assert not any("not recommended" in name for name in refused.suggestions)

"""Each name leads to its food in any spelling of it, and each printed caption is understood, either way round."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import stillroom
from stillroom.answers.stems import ordered, plain

SCHEDULES = Path(__file__).resolve().parents[2] / "schedules"
GUIDES = ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads", "not-recommended")


def _rows(name: str) -> list[dict[str, str]]:
    with (SCHEDULES / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _foods(name: str) -> set[str]:
    return {meaning.food for meaning in stillroom.shelf().names.meanings(name)}


def _captions() -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for guide in GUIDES:
        for row in _rows(guide):
            found.setdefault(row["caption"], set()).add(row["food"])
    return found


def test_each_alias_leads_to_its_food_in_capitals_and_with_doubled_spaces():
    for row in _rows("aliases"):
        for said in (row["alias"], row["alias"].upper(), row["alias"].replace(" ", "  ")):
            assert _foods(said) == {row["food"]}, said


def test_each_open_name_leads_to_all_its_foods():
    wanted: dict[str, set[str]] = {}
    for row in _rows("open-names"):
        wanted.setdefault(row["name"], set()).add(row["food"])
    for name, foods in wanted.items():
        assert len(foods) > 1 and _foods(name) == foods, name


def test_each_caption_of_the_schedules_is_understood_in_both_orders_or_left_open_with_its_food():
    left_open = {plain(row["name"]) for row in _rows("open-names")}
    for caption, foods in _captions().items():
        first, _, rest = caption.partition(",")
        for said in (caption, f"{rest} {first}"):
            assert _foods(said) & foods if plain(said) in left_open else _foods(said) <= foods, said


def test_an_id_is_its_food_even_where_the_same_words_leave_it_open():
    assert _foods("lima-beans") == {"lima-beans"}
    assert _foods("lima beans") == _foods("Lima Beans") == {"dried-beans-or-peas", "lima-beans"}


def test_no_name_equals_by_stems_a_withheld_one_or_a_name_of_another_food():
    withheld = {ordered(plain(row["alias"])) for row in _rows("withheld-names")}
    seen: dict[tuple[str, ...], str] = {}
    for row in _rows("aliases"):
        key = ordered(plain(row["alias"]))
        assert key not in withheld, row["alias"]
        if key != ordered("chili"):  # chili the dish and chilies the peppers: told apart word for word
            assert seen.setdefault(key, row["food"]) == row["food"], row["alias"]


@pytest.mark.parametrize(
    ("name", "near"),
    [("ahi", "mahi mahi"), ("capon", "turkey"), ("steelhead", "herring"), ("golden beets", "golden radishes")],
)
def test_near_misses_a_kind_is_known_and_the_next_kind_is_not(name, near):
    assert len(_foods(name)) == 1
    with pytest.raises((stillroom.UnknownFood, stillroom.NoTestedSchedule)):
        _foods(near)

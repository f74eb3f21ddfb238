"""A refusal of what an old leaflet had says so, forbids it first, and gives no figure of it.

Sources: USDA Home and Garden Bulletin 8, 1965, pages 21, 23 and 26; USDA Home and Garden Bulletin 106, 1972, page 19.
"""

from __future__ import annotations

import json
import pickle
import re

import jsonschema
import pytest

import stillroom
from tests.conftest import ROOT

ASKED = {"jar": "pint", "altitude": "0 ft", "canner": "dial"}


def _refused(food: str, **more: str) -> stillroom.NoTestedSchedule:
    with pytest.raises(stillroom.NoTestedSchedule) as caught:
        stillroom.find(food, **{**ASKED, **more})
    return caught.value


@pytest.mark.parametrize(
    ("food", "year", "page"),
    [("summer squash", 1965, "p. 26"), ("hominy", 1965, "p. 23"), ("corned beef", 1972, "p. 19")],
)
def test_a_food_that_a_leaflet_had_is_told_with_its_year_and_page(food: str, year: int, page: str) -> None:
    said = _refused(food).earlier
    assert said is not None
    assert f"a {year} leaflet" in said.text
    assert said.page == page


@pytest.mark.parametrize("food", ["summer squash", "hominy", "corned beef", "turkey", "liver", "winter squash puree"])
def test_the_sentence_forbids_first_and_gives_no_figure(food: str) -> None:
    said = _refused(food).earlier
    assert said is not None
    assert said.text.startswith("Do not use an old process")
    assert not re.search(r"\d+ (min|psi)", said.text)


@pytest.mark.parametrize("food", ["garlic", "eggplant", "oven canning"])
def test_a_food_that_no_leaflet_had_gets_no_such_sentence(food: str) -> None:
    assert _refused(food).earlier is None


def test_a_way_that_is_untested_today_is_told_and_a_tested_food_in_another_way_is_not() -> None:
    raw = _refused("cream style corn", pack="raw").earlier
    assert raw is not None
    assert raw.page == "p. 21"
    assert _refused("cream style corn", pack="raw", jar="quart").earlier is None  # the leaflet has pints only
    assert _refused("snap beans", canner="boiling-water").earlier is None


def test_it_is_a_key_of_the_document_and_survives_pickling() -> None:
    refusal = _refused("hominy")
    document = refusal.to_dict()
    jsonschema.validate(document, json.loads((ROOT / "schema/answer.json").read_text(encoding="utf-8")))
    assert document["earlier"]["page"] == "p. 23"
    assert pickle.loads(pickle.dumps(refusal)).earlier == refusal.earlier
    assert _refused("garlic").to_dict()["earlier"] is None

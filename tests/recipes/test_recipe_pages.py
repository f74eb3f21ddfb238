"""Pages of single sentences of the recipes, where the second reading found another page than the first."""

from __future__ import annotations

from typing import Any

import pytest


@pytest.mark.parametrize(
    ("food", "part", "words", "page"),
    [
        ("grapefruit-and-orange-sections", "doubtful", "describes a raw pack only", "2-15"),
        ("baked-beans", "doubtful", "has no table of its own", "4-6"),
        ("dried-beans-or-peas", "may_change", "Either soak", "4-6"),
        ("green-peas", "steps", "air bubbles", "4-15"),
        ("green-peas", "steps", "Hot pack: put hot peas", "4-14"),
        ("fish", "doubtful", "in the procedure only", "5-10"),
        ("smoked-fish", "doubtful", "named in the text only", "5-13"),
        ("bread-and-butter-pickles", "never_change", "three rounds", "1-29"),
        ("pickled-jalapeno-rings", "never_change", "three rounds", "1-29"),
        ("quick-sweet-pickles", "never_change", "three rounds", "1-29"),
        ("tomato-ketchup", "steps", "2-quart pan", "3-18"),
        ("country-western-ketchup", "steps", "2-quart pan", "3-18"),
        ("chile-salsa", "steps", "Throw away the seeds", "3-20"),
        ("chile-salsa-ii", "steps", "throw away the seeds", "3-22"),
        ("tomatillo-green-salsa", "steps", "throw away the seeds", "3-22"),
        ("tomato-salsa-paste-tomatoes", "steps", "throw away the seeds", "3-23"),
        ("tomato-salsa-slicing-tomatoes", "steps", "throw away the seeds", "3-24"),
        ("tomato-green-chile-salsa", "steps", "throw away the seeds", "3-24"),
        ("tomato-paste-salsa", "steps", "throw away the seeds", "3-25"),
        ("tomato-taco-sauce", "steps", "throw away the seeds", "3-26"),
        ("jellies-and-jams-with-added-pectin", "steps", "directions in the pectin package", "7-8"),
    ],
)
def test_a_sentence_cites_the_page_on_which_the_second_reading_found_it(
    recipes: Any, food: str, part: str, words: str, page: str
) -> None:
    assert [row["page"] for row in recipes[food][part] if words in row["text"]] == [page]

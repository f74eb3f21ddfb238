from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import stillroom
from stillroom.recipes import printed as library
from tests.trials import trials

FOODS = [food.id for food in stillroom.foods()]
VOLUME = {jar.id: jar.volume_fl_oz for jar in stillroom.shelf().package.jars}
CUPS = {"teaspoon": Fraction(1, 48), "tablespoon": Fraction(1, 16), "cup": 1, "pint": 2, "quart": 4, "gallon": 16}


def _varieties(food: str) -> list[str | None]:
    found = {line.variety for line in stillroom.recipe(food).ingredients} - {None}
    columns = {"one-quart", "seven-quarts", "six-pints", "seven-12-ounce", "nine-pints"}
    return sorted(v for v in found if v not in columns) or [None]


asked = st.builds(
    lambda food, pick, choose, jars: (food, pick, choose, jars),
    st.sampled_from(FOODS),
    st.integers(0, 10),
    st.integers(0, 10),
    st.integers(1, 300),
)


def _ask(question: tuple[str, int, int, int]) -> tuple[Any, Any]:
    food, pick, choose, jars = question
    printed = stillroom.recipe(food)
    jar = printed.jars[pick % len(printed.jars)]
    varieties = _varieties(food)
    variety = varieties[choose % len(varieties)]
    return printed, stillroom.recipe(food, jars, jar, variety=variety)


def _exact(number: float) -> Fraction:
    return Fraction(number).limit_denominator(10_000)


@settings(max_examples=trials(150), deadline=None)
@given(asked)
def test_every_amount_is_a_whole_multiple_of_the_printed_one(question: Any) -> None:
    _, found = _ask(question)
    column = found.batches.column if found.batches else None
    times = 1 if found.batches is None or found.batches.one_at_a_time else found.batches.times
    entry = library.read(stillroom.shelf().package.root, found.food)
    printed = [
        (line["name"], "per" not in line, library.amount(line, name))
        for line in entry.get("ingredients", ())
        for name in ([column] if column else [batch["id"] for batch in entry.get("batches", ())] or [None])
    ]
    for line in found.ingredients:
        if line.amount is None or line.per is not None:
            continue
        same = [of for name, whole, of in printed if name == line.name and whole and of and of.unit == line.amount.unit]
        assert any(
            math.isclose(line.amount.low, library.exact(of.low, times))
            and math.isclose(line.amount.high, library.exact(of.high, times))
            for of in same
        ), line


@settings(max_examples=trials(150), deadline=None)
@given(asked)
def test_the_batches_fill_the_jars_and_one_batch_fewer_would_not(question: Any) -> None:
    _, found = _ask(question)
    if found.batches is None:
        return
    each = found.batches.fills_from // found.batches.times
    assert found.batches.fills_from >= found.jars_asked
    assert found.batches.fills_from - each < found.jars_asked


@settings(max_examples=trials(150), deadline=None)
@given(asked)
def test_acid_for_each_jar_is_never_below_its_rule(question: Any) -> None:
    printed, found = _ask(question)
    rule = {row.jar: row for row in printed.acid}
    for row in found.acid:
        assert rule[row.jar].any_of == tuple(line._replace(total=None) for line in row.any_of)
        for line in row.any_of:
            assert line.total is not None and line.amount is not None
            assert math.isclose(line.total.low, line.amount.low * found.jars_asked)
    if printed.acid and found.jar in rule:
        assert [row.jar for row in found.acid] == [found.jar]


@settings(max_examples=trials(150), deadline=None)
@given(asked, st.integers(1, 300))
def test_acid_keeps_its_ratio_to_low_acid_food_however_many_jars(question: Any, others: int) -> None:
    def ratios(recipe: Any) -> list[Fraction]:
        acid = [line for line in recipe.ingredients if line.role == "acid" and line.amount and not line.per]
        low = [
            line for line in recipe.ingredients if line.role in ("low-acid", "main") and line.amount and not line.per
        ]
        return [_exact(a.amount.low) / _exact(b.amount.high) for a in acid for b in low]

    food, pick, choose, _ = question
    printed, one = _ask(question)
    _, two = _ask((food, pick, choose, others))
    column = one.batches.column if one.batches else None
    if (two.batches.column if two.batches else None) == column:
        assert [round(float(r), 6) for r in ratios(one)] == [round(float(r), 6) for r in ratios(two)]
    assert printed.food == one.food


@settings(max_examples=trials(100), deadline=None)
@given(asked)
def test_amounts_per_jar_or_per_measure_are_not_multiplied(question: Any) -> None:
    printed, found = _ask(question)
    before = {(line.name, line.per, line.variety, line.note): line.amount for line in printed.ingredients if line.per}
    for line in found.ingredients:
        if line.per:
            assert before[(line.name, line.per, line.variety, line.note)] == line.amount


@pytest.mark.parametrize("food", [f.id for f in stillroom.foods(group="spreads")])
def test_jams_and_jellies_are_never_made_in_larger_batches(food: str) -> None:
    """Page 1-30: one batch at a time."""
    printed = stillroom.recipe(food)
    for variety in _varieties(food):
        found = stillroom.recipe(food, 40, "half-pint", variety=variety)
        plain = [line.amount for line in printed.ingredients if line.variety in (None, variety)]
        assert [line.amount for line in found.ingredients] == plain
        if found.batches:
            assert found.batches.one_at_a_time
            assert any("one at a time" in note for note in found.notes)


def test_single_batches_are_counted() -> None:
    """Peach jam, page 7-6: 6 to 7 half-pints a batch."""
    found = stillroom.recipe("jam without added pectin", 14, "half-pint", variety="peaches")
    assert (found.batches.times, found.batches.fills_from, found.batches.fills_to) == (3, 18, 21)  # type: ignore[union-attr]


def _acid(found: Any) -> tuple[float, str]:
    line = next(line for line in found.ingredients if line.role == "acid" and not line.optional)
    return line.amount.low, line.amount.unit


def test_of_columns_with_as_much_acid_the_one_that_divides_the_jars_is_taken_whole() -> None:
    """Peach pie filling, page 2-30: 1/4 cup of lemon juice for 1 quart, 1-3/4 cups for 7: as much in each jar."""
    for jars, jar in ((14, "quart"), (28, "pint")):
        found = stillroom.recipe("peach pie filling", jars, jar)
        assert (found.batches.column, found.batches.times) == ("seven-quarts", 2)  # type: ignore[union-attr]
        assert _acid(found) == (3.5, "cup")
    assert stillroom.recipe("peach pie filling", 3, "quart").batches.column == "one-quart"  # type: ignore[union-attr]


@pytest.mark.parametrize("jars", [7, 10, 14])
def test_of_columns_that_differ_the_one_with_more_acid_is_taken(jars: int) -> None:
    """Blueberry pie filling, page 2-27: 3 tablespoons for one quart, but 1/2 cup (8 tablespoons) for seven."""
    found = stillroom.recipe("blueberry pie filling", jars, "quart")
    assert (found.batches.column, found.batches.times) == ("one-quart", jars)  # type: ignore[union-attr]
    assert _acid(found) == (3 * jars, "tablespoon")
    assert not any("less acid" in note for note in found.notes)


def test_a_column_with_less_acid_can_be_chosen_and_says_so() -> None:
    found = stillroom.recipe("blueberry pie filling", 7, "quart", column="seven-quarts")
    assert _acid(found) == (0.5, "cup")
    assert any("less acid in each jar than one-quart (38 percent)" in note for note in found.notes)
    chosen = stillroom.recipe("peach pie filling", 7, "quart", column="seven-quarts")
    assert not any("less acid" in note for note in chosen.notes)


def test_columns_for_different_jars_are_taken_by_the_jar() -> None:
    """Pickled asparagus, page 6-13: six pints, or seven 12-ounce jars."""
    assert stillroom.recipe("pickled asparagus", 12, "pint").batches.column == "six-pints"  # type: ignore[union-attr]
    assert stillroom.recipe("pickled asparagus", 12, "12-ounce").batches.column == "seven-12-ounce"  # type: ignore[union-attr]


def test_without_jars_each_printed_column_is_shown_whole() -> None:
    found = stillroom.recipe("pickled asparagus")
    vinegar = {line.variety: line.amount.low for line in found.ingredients if line.role == "acid" and line.amount}
    assert vinegar == {"six-pints": 4.5, "seven-12-ounce": 3}


def test_a_jar_carried_by_a_rule_takes_the_acid_of_the_larger_jar() -> None:
    found = stillroom.recipe("figs", 4, "half-pint")
    assert found.by_rule is not None and found.by_rule.page == "1-23"
    assert [row.jar for row in found.acid] == ["pint"]
    assert any("never use less" in note for note in found.notes)
    assert stillroom.recipe("figs", 4, "pint").by_rule is None


def test_thirds_come_out_even() -> None:
    """Cherry pie filling, page 2-28: 1-1/3 cups of water for one quart; three of them are 4 cups."""
    found = stillroom.recipe("cherry pie filling", 3, "quart")
    water = next(line for line in found.ingredients if line.name == "cold water")
    assert water.amount is not None and water.amount.low == 4


def test_raw_food_is_the_printed_canner_load() -> None:
    """Snap beans, page 4-8: 14 pounds for 7 quarts, 9 pounds for 9 pints."""
    assert stillroom.recipe("snap beans", 14, "quart").raw_food[0].pounds_to == 28
    assert stillroom.recipe("snap beans", 9, "pint").raw_food[0].pounds_to == 9
    assert stillroom.recipe("snap beans").raw_food == ()


def test_a_recipe_without_a_yield_is_not_multiplied() -> None:
    found = stillroom.recipe("baked beans", 14, "quart")
    assert found.batches is None
    assert any("not multiplied" in note for note in found.notes)


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        ({"jar": "half-gallon"}, "jar-not-tested"),
        ({"pack": "raw"}, "pack-not-tested"),
        ({"without": "bottled lemon juice"}, "not-recommended"),
        ({"without": ["acid"]}, "not-recommended"),
    ],
)
def test_what_the_publication_does_not_allow_is_refused(ask: dict[str, Any], code: str) -> None:
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.recipe("figs", **ask)
    assert refused.value.code == code
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize(
    ("food", "name"),
    [
        ("chile salsa", "vinegar"),
        ("chile salsa", "onions"),
        ("apple pie filling", "chemically modified cornstarch"),
        ("dill pickles", "salt"),
        ("sauerkraut", "salt"),
        ("blueberry-spice jam", "sugar"),
        ("blueberry-spice jam", "powdered pectin"),
        ("pickled jalapeno rings", "pickling lime"),
    ],
)
def test_acid_salt_of_ferments_thickener_sugar_and_vegetables_stay(food: str, name: str) -> None:
    with pytest.raises(stillroom.NoTestedSchedule, match="as tested"):
        stillroom.recipe(food, without=name)


@pytest.mark.parametrize(
    ("food", "name"),
    [
        ("chile salsa", "salt"),  # page 3-20
        ("reduced-sodium sliced dill pickles", "canning or pickling salt"),  # page 1-28
        ("pickled dilled beans", "garlic"),
        ("snap beans", "canning salt"),
        ("oysters", "salt"),  # in the jar; the washing water keeps its own
    ],
)
def test_what_the_print_lets_one_leave_out_may_go(food: str, name: str) -> None:
    before = stillroom.recipe(food)
    after = stillroom.recipe(food, without=name)
    kept = [line for line in before.ingredients if line.name != name or not (line.optional or line.adjustable)]
    assert list(after.ingredients) == kept
    assert len(kept) == len(before.ingredients) - 1


@pytest.mark.parametrize(
    "ask",
    [
        {"jars": 0, "jar": "pint"},
        {"jars": -7, "jar": "pint"},
        {"jars": 2.5, "jar": "pint"},
        {"jars": True, "jar": "pint"},
        {"jars": "14 pints", "jar": "pint"},
        {"jars": 10**9, "jar": "pint"},
        {"jars": 14},
        {"jar": "bucket"},
        {"pack": "frozen"},
        {"variety": "brown"},
        {"column": "one-quart"},
        {"without": "chocolate"},
        {"without": ""},
    ],
)
def test_a_question_that_cannot_be_understood_is_one_line(ask: dict[str, Any]) -> None:
    with pytest.raises(stillroom.BadInput) as wrong:
        stillroom.recipe("figs", **ask)
    assert "\n" not in str(wrong.value)


def test_varieties_must_be_named_where_their_amounts_differ() -> None:
    with pytest.raises(stillroom.BadInput, match="apricots, berries or peaches"):
        stillroom.recipe("jam without added pectin", 10, "half-pint")
    assert len(stillroom.recipe("jam without added pectin").ingredients) == 8


def test_what_is_withheld_has_no_recipe() -> None:
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.recipe("mashed pumpkin")
    assert refused.value.code == "withheld"


def test_every_food_gives_a_recipe_for_every_jar_it_names() -> None:
    for food in FOODS:
        printed = stillroom.recipe(food)
        for jar in printed.jars:
            found = stillroom.recipe(food, 7, jar, variety=_varieties(food)[0])
            assert found.steps and found.source.page
            if printed.headspace:
                assert found.headspace, (food, jar)


def test_a_section_that_sends_to_the_syrup_table_brings_its_rows() -> None:
    """Figs, page 2-14: light syrup; page 2-5: 9 cups of water and 2-1/4 of sugar for 7 quarts."""
    rows = stillroom.recipe("figs", 7, "quart").syrups
    assert [(row.title, row.load, row.water_cup, row.sugar_cup) for row in rows] == [("light", "seven-quarts", 9, 2.25)]
    assert {row.title for row in stillroom.recipe("peaches").syrups} == {"very light", "light", "medium"}
    assert stillroom.recipe("snap beans").syrups == ()
    assert stillroom.recipe("spiced apple rings").syrups == ()

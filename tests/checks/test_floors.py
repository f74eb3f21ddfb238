from __future__ import annotations

import pytest

ACID, RULES, HEADSPACE = "schedules/acid.csv", "shared/rules.csv", "schedules/headspace.csv"
SECOND, CONDITIONS, EXCEPTIONS = (
    "schedules/readings/acid-second.csv", "schedules/conditions.csv", "shared/exceptions.csv"
)  # fmt: skip
CAUTIONS = "shared/cautions.csv"


def test_the_published_amounts_stand_on_the_floors(published):
    assert published.found("floors") == ()


@pytest.mark.parametrize(
    ("food", "jar", "acid", "quantity"),
    [
        ("figs", "quart", "bottled lemon juice", "1.75"),
        ("figs", "pint", "citric acid", "0.125"),
        ("asian-pears", "pint", "bottled lemon juice", "0.5"),
        ("tomato-sauce", "quart", "vinegar (5%)", "3"),
    ],
)
def test_acid_of_a_jar_under_the_least_is_found(package, food, jar, acid, quantity):
    """Pages 3-5 and 2-14, in a quart: 2 tablespoons of lemon juice, 1/2 teaspoon of citric acid, 4 of vinegar."""
    line = package.line(ACID, food=food, jar=jar, acid=acid)
    package.edit(ACID, line, quantity=quantity)
    assert [(f.line, f.column) for f in package.found("floors") if "the least for a" in f.wrong] == [(line, "quantity")]


def test_less_in_a_pint_than_in_a_half_pint_is_found_although_it_is_no_least(package):
    line = package.line(ACID, food="crab", jar="pint", acid="lemon juice")
    package.edit(ACID, line, quantity="3")
    assert any("less for its volume" in f.wrong for f in package.found("floors") if f.line == line)


def test_a_weaker_choice_of_the_same_jar_is_found(package):
    line = package.line(ACID, food="crab", jar="half-pint", acid="citric acid")
    package.edit(ACID, line, quantity="0.25")
    assert any("weaker than the lemon juice" in f.wrong for f in package.found("floors") if f.line == line)


def test_a_rule_that_nothing_reaches_is_no_floor(package):
    for name, value in (("acid-citric", "0.25"), ("headspace-low-acid", "0.5-1.25"), ("headspace-acid", "0.25")):
        package.edit(RULES, package.line(RULES, id=name), value=value)
    found = {f.line for f in package.found("floors") if "is no floor" in f.wrong}
    assert {package.line(RULES, id=name) for name in ("acid-citric", "headspace-low-acid")} <= found


def test_a_rule_without_an_amount_leaves_the_check_out_and_says_so(package):
    from stillroom.findings import checks

    package.edit(RULES, package.line(RULES, id="acid-citric"), value="0")
    floors = next(check for check in checks.every() if check.name == "floors")
    assert "acid-citric" in checks.report(package.opened, [floors]).left_out[0]


@pytest.mark.parametrize("acid", ["white vinegar (4%)", "white vinegar", "white vinegar (0.5%)"])
def test_vinegar_that_is_weak_or_lost_its_strength_is_found(package, acid):
    line = package.line(ACID, food="pickle-relish")
    package.edit(ACID, line, acid=acid)
    assert package.places("floors") == [(ACID, line, "acid")]


def test_vinegar_without_a_strength_needs_the_statement(package):
    package.drop(CONDITIONS, package.line(CONDITIONS, food="crab", statement="vinegar-5-percent"))
    assert {(f.file, f.value) for f in package.found("floors")} == {
        (file, "white vinegar") for file in (ACID, SECOND, "schedules/readings/acid-first.csv")
    }


@pytest.mark.parametrize("text", ["Use vinegar of at least 3 percent.", "Use vinegar of a good strength."])
def test_a_statement_that_asks_for_less_is_found(package, text):
    line = package.line(CAUTIONS, id="vinegar-5-percent")
    package.edit(CAUTIONS, line, text=text)
    assert set(package.places("floors")) == {(CAUTIONS, line, "text")}


def test_weak_vinegar_in_a_sentence_of_a_recipe_is_found(package):
    path = "schedules/recipes/figs.yaml"
    text = package.bytes(path).decode().replace("leave skins and stems on.", "rinse them in 4% vinegar.")
    package.put(path, text)
    assert [(f.file, f.line) for f in package.found("floors")] == [
        (path, text[: text.index("4% vinegar")].count("\n") + 1)
    ]


@pytest.mark.parametrize(
    ("food", "inches"),
    [("snap-beans", "0.75"), ("peaches", "0.25"), ("pear-apple-jam", "0.125"), ("tomato-sauce", "0.125")],
)
def test_headspace_under_the_least_of_its_kind_is_found(package, food, inches):
    line = package.line(HEADSPACE, food=food)
    package.edit(HEADSPACE, line, headspace_in=inches)
    assert (HEADSPACE, line, "") in package.places("floors")


def test_an_exception_that_excuses_nothing_or_cites_another_page_is_found(package):
    needless = package.add(EXCEPTIONS, check="floors", food="pears", headspace_in="0.25", page="2-19")
    line = package.line(EXCEPTIONS, food="mango-sauce")
    package.edit(EXCEPTIONS, line, page="2-17")
    assert package.places("floors") == [(EXCEPTIONS, line, "page"), (EXCEPTIONS, needless, "")]


def test_near_misses_more_headspace_more_acid_and_stronger_vinegar_pass(package):
    package.edit(HEADSPACE, package.line(HEADSPACE, food="snap-beans"), headspace_in="1.25")
    package.edit(ACID, package.line(ACID, food="asian-pears", jar="quart"), quantity="3")
    package.edit(ACID, package.line(ACID, food="pickle-relish"), acid="white vinegar (6%)")
    assert package.found("floors") == ()

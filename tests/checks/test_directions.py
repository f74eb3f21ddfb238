from __future__ import annotations

import pytest

CONDITIONS, FOODS, CAUTIONS = "schedules/conditions.csv", "schedules/foods.csv", "shared/cautions.csv"
FIGS = "schedules/recipes/figs.yaml"


def says(package, file, old, new):
    text = package.bytes(file).decode()
    assert old in text
    package.put(file, text.replace(old, new))


def test_the_published_directions_stand_on_both_sides(published):
    assert published.found("directions") == ()


@pytest.mark.parametrize(
    ("key", "wrong"),
    [
        ('low_temperature_pasteurization: "6-5"', "does not state pasteurization-allowed"),
        ('single_batch: "1-30"', "does not state one-batch-at-a-time"),
        ("sterile_jars: [pint]", "does not ask for a sterile pint"),
        ('canner:\n  - {text: Pour, water_quarts: 3, page: "4-18"}', "puts 3 quarts in the canner"),
    ],
)
def test_a_direction_that_only_the_recipe_has_is_found(package, key, wrong):
    says(package, FIGS, "title: Figs\n", f"title: Figs\n{key}\n")
    assert [(f.file, f.line) for f in package.found("directions") if wrong in f.wrong]


def test_what_must_never_change_and_has_no_condition_on_its_page_is_found(package):
    says(package, FIGS, 'botulism."\n    page: "2-14"', 'botulism."\n    page: "2-17"')
    assert [f.wrong for f in package.found("directions")] == [
        "never_change: no condition or acid of figs cites page 2-17"
    ]


@pytest.mark.parametrize(("food", "statement"), [("soups", "pasteurization-allowed"), ("figs", "one-batch-at-a-time")])
def test_a_condition_that_the_recipe_leaves_out_is_found(package, food, statement):
    line = package.add(CONDITIONS, food=food, statement=statement, source="usda-2015", page="2-14")
    assert package.places("directions") == [(CONDITIONS, line, "statement")]


def test_sterile_jars_that_the_recipe_leaves_out_are_found(package):
    package.add(CONDITIONS, food="figs", jar="pint", statement="sterile-jars", source="usda-2015", page="2-14")
    assert [(f.file, f.wrong) for f in package.found("directions")] == [
        (FIGS, "sterile_jars: conditions.csv asks for a sterile pint, the recipe does not")
    ]


@pytest.mark.parametrize("words", ["rubber gloves", "wild mushrooms", "dead or frost-killed vines"])
def test_a_caution_that_no_statement_says_is_found(package, words):
    says(package, FIGS, "Do not use overripe figs", f"Mind {words}")
    assert [(f.file, words.split()[-1] in f.wrong) for f in package.found("directions")] == [(FIGS, True)]


def test_a_food_that_lacks_what_its_kind_demands_is_found(package):
    package.drop(CONDITIONS, package.line(CONDITIONS, food="pickled-beets", statement="pickle-proportions-fixed"))
    package.drop(CONDITIONS, package.line(CONDITIONS, food="tomato-juice", canner="dial"))
    places = [(FOODS, package.line(FOODS, id=food), "id") for food in ("pickled-beets", "tomato-juice")]
    assert sorted(package.places("directions")) == sorted(places)


def test_a_near_miss_what_carries_from_the_food_that_is_followed_is_stated(package):
    """Squash pickles have no row of their own for pasteurization; it carries from bread-and-butter pickles."""
    assert "squash" not in {row[0] for row in package.read(CONDITIONS) if row[5] == "pasteurization-allowed"}
    assert package.found("directions") == ()
    line = package.line(CAUTIONS, id="pasteurization-allowed")
    package.edit(CAUTIONS, line, carries="no")
    assert [f.file for f in package.found("directions")] == [
        "schedules/recipes/squash-bread-and-butter-pickles.yaml"
    ]  # fmt: skip


def test_a_near_miss_vinegar_that_only_seasons_demands_nothing(package):
    package.edit(FOODS, package.line(FOODS, id="apple-butter"), title="Butter of apples")
    assert package.found("directions") == ()

from __future__ import annotations

import pytest

FOODS, HEADSPACE, RELATIONS = "schedules/foods.csv", "schedules/headspace.csv", "schedules/relations.csv"
FIGS, SOUPS, TOMATILLOS = (f"schedules/recipes/{name}.yaml" for name in ("figs", "soups", "tomatillos"))


def says(package, file, old, new):
    text = package.bytes(file).decode()
    assert old in text
    package.put(file, text.replace(old, new))


def test_the_published_recipes_are_those_of_the_tables(published):
    assert published.found("foods") == ()


def test_a_food_without_a_recipe_and_a_recipe_without_a_food_are_found(package):
    (package.root / FIGS).rename(package.root / "schedules/recipes/dates.yaml")
    says(package, "schedules/recipes/dates.yaml", "food: figs", "food: dates")
    line = package.line(FOODS, id="figs")
    assert {(f.file, f.line, f.column) for f in package.found("foods")} == {
        (FOODS, line, "id"), ("schedules/recipes/dates.yaml", 1, ""),
    }  # fmt: skip


def test_a_second_recipe_of_a_food_is_found(package):
    package.put("schedules/recipes/more-figs.yaml", package.bytes(FIGS))
    assert package.places("foods") == [("schedules/recipes/more-figs.yaml", 1, "")]


@pytest.mark.parametrize(
    ("old", "new", "line", "wrong"),
    [
        ("title: Figs", "title: Dates", 2, "title: is Figs in foods.csv"),
        ("source: usda-2015", "source: osu-mangoes-2020", 3, "source: is usda-2015 in foods.csv"),
        ("packs: [hot]", "packs: [hot, raw]", 5, "packs: raw has no schedule"),
        ("packs: [hot]", "packs: []", 5, "packs: hot has a schedule and is left out"),
        ("jars: [pint, quart]", "jars: [quart]", 6, "jars: pint has a schedule and is left out"),
        ("jars: [pint, quart]", "jars: [quart, pint]", 6, "jars: are not in the order of their size"),
        (
            "jars: [pint, quart]", "jars: [pint, quart, half-gallon]", 6,
            "jars: half-gallon has no schedule, and no rule carries one to it",
        ),
        ("quart]\nacid", "quart]\nfollows: plum\nacid", 7, "follows: plum gives it no schedule"),
        ("inches: 0.5", "inches: 0.25", 37, "headspace: is 0.5 inch in headspace.csv"),
    ],
)  # fmt: skip
def test_what_a_recipe_says_otherwise_is_told_at_its_line(package, old, new, line, wrong):
    says(package, FIGS, old, new)
    assert (FIGS, line, wrong) in [(f.file, f.line, f.wrong) for f in package.found("foods")]


def test_another_headspace_in_a_step_is_found_at_the_step(package):
    says(package, FIGS, "leave 1/2 inch of headspace", "leave 1-1/4 inches of headspace")
    assert [f.wrong for f in package.found("foods")] == [
        "steps: leaves 1.25 inch of headspace, not that of the recipe", "headspace: no step leaves 0.5 inch",
    ]  # fmt: skip


def test_a_recipe_that_follows_another_food_than_its_relation_is_found(package):
    package.edit(RELATIONS, package.line(RELATIONS, food="tomatillos"), follows="tomatoes-in-juice")
    assert [(f.file, f.wrong) for f in package.found("foods")] == [
        (TOMATILLOS, "follows: is tomatoes-in-juice in relations.csv")
    ]


def test_a_near_miss_jars_that_a_rule_carries_and_a_procedure_that_is_followed_pass(package):
    says(package, FIGS, "jars: [pint, quart]", "jars: [half-pint, pint, pint-and-half, quart]")
    says(package, FIGS, "quart]\nacid", "quart]\nfollows: plums\nacid")
    says(package, FIGS, "Choose firm, ripe figs", "Take firm, ripe figs of 2 inches")
    assert package.found("foods") == ()


HOSTILE = "food: figs\ntitle: [1]\njars: {a: b}\npacks: x\nsteps: [1, {text: 2}]\nheadspace: [{inches: x}, 3]\n"


@pytest.mark.parametrize("check", ["foods", "acid", "floors", "directions"])
@pytest.mark.parametrize(
    "more",
    [
        "acid: [1, {any_of: 2}, {any_of: [3, {name: 4, quantity: x}]}]\n",
        "ingredients: [{role: acid, quantity: {a: [], b: 2}, unit: 5}, {role: acid, quantity: 1, per: []}]\n",
        "ingredients: [{role: acid, name: v, quantity: 1, unit: cup, per: {quantity: 6}}]\nbatches: x\n",
        "canner: [{water_quarts: []}]\nnever_change: [{page: 3}]\ncautions: [{text: []}]\nsterile_jars: {}\n",
    ],
)
def test_what_is_no_recipe_breaks_no_check(package, check, more):
    package.put(FIGS, HOSTILE + more)
    assert isinstance(package.found(check), tuple)


def test_a_recipe_that_cannot_be_read_is_left_to_the_check_of_recipes(package):
    package.put(FIGS, "food: &a figs\n")
    assert package.found("foods") == () != package.found("recipes")

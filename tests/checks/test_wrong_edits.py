"""Wrong edits as somebody would make them who means harm, or means well: in every place at once, hashes renewed.

Each edit names the check that finds it. None of them is found by a hash: the check of hashes is not asked.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.checks.conftest import Spoiled

Act = Callable[[Spoiled], None]

ACIDS = ("schedules/acid.csv", "schedules/readings/acid-first.csv", "schedules/readings/acid-second.csv")
SECTIONS = ("schedules/readings/foods-first.csv", "schedules/readings/foods-second.csv")
PAGES, CONDITIONS, RELATIONS = (
    "schedules/readings/pages-second.csv", "schedules/conditions.csv", "schedules/relations.csv"
)  # fmt: skip
FOODS, HEADSPACE, JAR_RULES = "schedules/foods.csv", "schedules/headspace.csv", "shared/jar-rules.csv"
CAUTIONS, WITHHELD, RULES, EXCEPTIONS = (
    "shared/cautions.csv", "schedules/withheld.csv", "shared/rules.csv", "shared/exceptions.csv"
)  # fmt: skip


def change(file: str, where: dict[str, str], **cells: str) -> Act:
    """Change every row that has the cells of ``where``; one that stands there must be changed."""

    def act(package: Spoiled) -> None:
        rows = package.read(file)
        head = rows[0]
        for row in rows[1:]:
            if all(row[head.index(name)] == value for name, value in where.items()):
                for name, value in cells.items():
                    row[head.index(name)] = value
        package.write(file, rows)

    return act


def drop(file: str, **where: str) -> Act:
    """Leave out every row that has these cells."""

    def act(package: Spoiled) -> None:
        head, *rows = package.read(file)
        kept = [row for row in rows if any(row[head.index(name)] != value for name, value in where.items())]
        package.write(file, [head, *kept])

    return act


def drop_pages(begins: str) -> Act:
    """Leave out what was read a second time of rows or parts whose key begins so."""

    def act(package: Spoiled) -> None:
        rows = package.read(PAGES)
        package.write(PAGES, [row for row in rows if not f"{row[0]},{row[1]}".startswith(begins)])

    return act


def add(file: str, **cells: str) -> Act:
    return lambda package: (package.add(file, **cells), None)[1]


def words(file: str, old: str, new: str) -> Act:
    """Replace words of a file, each time they stand there."""

    def act(package: Spoiled) -> None:
        text = package.bytes(file).decode()
        assert old in text, f"{file} does not say {old}"
        package.put(file, text.replace(old, new))

    return act


def recipe(food: str, old: str, new: str) -> Act:
    return words(f"schedules/recipes/{food}.yaml", old, new)


def acid(food: str, where: dict[str, str], **cells: str) -> tuple[Act, ...]:
    """Change an amount in acid.csv and in both of its readings."""
    return tuple(change(file, {"food": food, **where}, **cells) for file in ACIDS)


def no_acid(food: str, **where: str) -> tuple[Act, ...]:
    """Leave amounts out in acid.csv and in both of its readings."""
    return tuple(drop(file, food=food, **where) for file in ACIDS)


def sections(names: tuple[str, str], **cells: str) -> tuple[Act, ...]:
    """Change a food in both readings of the food sections, each by its own name for it."""
    return tuple(change(file, {"food": name}, **cells) for file, name in zip(SECTIONS, names, strict=True))


def gone(food: str) -> Act:
    return lambda package: (package.root / f"schedules/recipes/{food}.yaml").unlink()


LEMON, CITRIC, VINEGAR = {"acid": "bottled lemon juice"}, {"acid": "citric acid"}, {"acid": "vinegar (5%)"}
QUART, PINT = {"jar": "quart"}, {"jar": "pint"}
IN_FIGS = "{name: bottled lemon juice, quantity: 2, unit: tablespoon}"
PUT_IN_FIGS = (
    "Put the acid in every jar: per pint 1 tbsp bottled lemon juice or 1/4 tsp citric acid; per quart, twice that."
)
IN_PEARS = '"quantity": 2,\n     "unit": "tablespoon"'

EDITS: tuple[tuple[str, str, tuple[Act, ...]], ...] = (
    # acid of a jar
    (
        "figs: half the lemon juice in acid.csv",
        "acid",
        (change(ACIDS[0], {"food": "figs", **QUART, **LEMON}, quantity="1"),),
    ),
    ("figs: half of it in the readings of acid too", "acid", acid("figs", {**QUART, **LEMON}, quantity="1")),
    (
        "figs: and in the recipe",
        "floors",
        (*acid("figs", {**QUART, **LEMON}, quantity="1"), recipe("figs", IN_FIGS, IN_FIGS.replace("2", "1"))),
    ),
    (
        "figs: and in the readings of the sections",
        "floors",
        (
            *acid("figs", {**QUART, **LEMON}, quantity="1"),
            recipe("figs", IN_FIGS, IN_FIGS.replace("2", "1")),
            words(SECTIONS[0], "2 tbsp bottled lemon juice", "1 tbsp bottled lemon juice"),
            words(SECTIONS[1], "2 tbsp bottled lemon juice", "1 tbsp bottled lemon juice"),
        ),
    ),
    (
        "figs: and in the rule of the least",
        "floors",
        (*acid("figs", {**QUART, **LEMON}, quantity="1"), change(RULES, {"id": "acid-lemon-juice"}, value="1")),
    ),
    ("the rule of the least alone", "floors", (change(RULES, {"id": "acid-citric"}, value="0.25"),)),
    ("figs: citric acid of a pint halved", "floors", acid("figs", {**PINT, **CITRIC}, quantity="0.125")),
    (
        "figs: citric acid in teaspoons of another kind",
        "acid",
        (change(ACIDS[0], {"food": "figs", **CITRIC}, quantity="0.125"),),
    ),
    (
        "Asian pears: half in all lists",
        "floors",
        (*acid("asian-pears", QUART, quantity="1"), recipe("asian-pears", IN_PEARS, IN_PEARS.replace("2", "1"))),
    ),
    (
        "Asian pears: teaspoons for tablespoons",
        "floors",
        (*acid("asian-pears", {}, unit="teaspoon"), recipe("asian-pears", "tablespoon", "teaspoon")),
    ),
    ("tomatoes: half the vinegar of a quart", "floors", acid("tomatoes-crushed", {**QUART, **VINEGAR}, quantity="2")),
    ("tomato juice: lemon juice of a pint", "floors", acid("tomato-juice", {**PINT, **LEMON}, quantity="0.5")),
    (
        "crab: no more in a pint than in a half-pint",
        "floors",
        acid("crab", {**PINT, "acid": "lemon juice"}, quantity="2"),
    ),
    (
        "crab: half the citric acid of a half-pint",
        "floors",
        acid("crab", {"jar": "half-pint", **CITRIC}, quantity="0.25"),
    ),
    ("figs: orange juice for lemon juice", "floors", acid("figs", LEMON, acid="bottled orange juice")),
    ("figs: no acid for pints", "acidity", no_acid("figs", jar="pint")),
    (
        "figs: no acid at all, and called acid",
        "acidity",
        (*no_acid("figs"), change(FOODS, {"id": "figs"}, acidity="acid")),
    ),
    (
        "Asian pears: no acid at all, and called acid",
        "acidity",
        (*no_acid("asian-pears"), change(FOODS, {"id": "asian-pears"}, acidity="acid")),
    ),
    (
        "tomatoes in water: no acid at all, and called acid",
        "acidity",
        (*no_acid("tomatoes-in-water"), change(FOODS, {"id": "tomatoes-in-water"}, acidity="acid")),
    ),
    ("figs: called acid", "acidity", (change(FOODS, {"id": "figs"}, acidity="acid"),)),
    ("snap beans: called acidified", "acidity", (change(FOODS, {"id": "snap-beans"}, acidity="acidified"),)),
    ("figs: no longer withheld without acid", "acidity", (drop(WITHHELD, id="unacidified-figs"),)),
    # acid of a recipe
    (
        "figs: no step that adds the acid",
        "acid",
        (
            recipe(
                "figs",
                PUT_IN_FIGS,
                "Go on.",
            ),
        ),
    ),
    ("figs: a quarter in the recipe alone", "acid", (recipe("figs", IN_FIGS, IN_FIGS.replace("2", "0.5")),)),
    (
        "figs: one choice left out of the recipe",
        "acid",
        (recipe("figs", "      - {name: citric acid, quantity: 0.25, unit: teaspoon}\n", ""),),
    ),
    (
        "figs: another amount in a step",
        "acid",
        (recipe("figs", "per pint 1 tbsp bottled", "per pint 1/2 tbsp bottled"),),
    ),
    ("pie filling: lemon juice that is no acid", "acid", (recipe("apple-pie-filling", "role: acid", "role: liquid"),)),
    (
        "pie filling: lemon juice that is not bottled",
        "acid",
        (recipe("apple-pie-filling", "name: bottled lemon juice", "name: lemon juice"),),
    ),
    ("pie filling: half in the recipe", "acid", (recipe("apple-pie-filling", "one-quart: 2", "one-quart: 1"),)),
    (
        "pie filling: half in acid.csv and its readings",
        "acid",
        acid("apple-pie-filling", {"per": "one-quart"}, quantity="1"),
    ),
    (
        "pie filling: half in the recipe too",
        "acid",
        (
            *acid("apple-pie-filling", {"per": "one-quart"}, quantity="1"),
            recipe("apple-pie-filling", "one-quart: 2", "one-quart: 1"),
        ),
    ),
    (
        "beets: half the vinegar in every list",
        "acid",
        (*acid("pickled-beets", {}, quantity="2"), recipe("pickled-beets", '"quantity": 4', '"quantity": 2')),
    ),
    ("ketchup: vinegar as an option", "acid", (change(ACIDS[0], {"food": "tomato-ketchup"}, use="option"),)),
    (
        "ketchup: and an option in the second reading",
        "acidity",
        (
            change(ACIDS[0], {"food": "tomato-ketchup"}, use="option"),
            change(ACIDS[2], {"food": "tomato-ketchup"}, note="optional"),
        ),
    ),
    (
        "peppers: lemon juice or vinegar for both",
        "acid",
        (
            change(ACIDS[0], {"food": "marinated-peppers"}, any_of="a"),
            change(ACIDS[2], {"food": "marinated-peppers"}, note="either this or the other"),
        ),
    ),
    # the strength of vinegar
    ("beets: vinegar of 4 percent in the lists", "floors", acid("pickled-beets", {}, acid="vinegar (4%)")),
    (
        "beets: vinegar of 4 percent everywhere",
        "floors",
        (
            *acid("pickled-beets", {}, acid="vinegar (4%)"),
            recipe("pickled-beets", "vinegar (5%)", "vinegar (4%)"),
            words(SECTIONS[0], "4 cups vinegar (5%)", "4 cups vinegar (4%)"),
            words(SECTIONS[1], "4 cups vinegar (5%)", "4 cups vinegar (4%)"),
        ),
    ),
    ("relish: strength lost in the lists", "floors", acid("pickle-relish", {}, acid="white vinegar")),
    (
        "relish: strength lost, with a reason",
        "floors",
        (
            *acid("pickle-relish", {}, acid="white vinegar"),
            change(ACIDS[2], {"food": "pickle-relish"}, note="no strength printed"),
        ),
    ),
    ("relish: strength lost in the recipe", "acid", (recipe("pickle-relish", "white vinegar (5%)", "white vinegar"),)),
    (
        "apple butter: no vinegar of 5 percent asked for",
        "floors",
        (drop(CONDITIONS, food="apple-butter", statement="vinegar-5-percent"),),
    ),
    (
        "a statement that asks for 3 percent",
        "floors",
        (words(CAUTIONS, "at least 5 percent acidity", "at least 3 percent acidity"),),
    ),
    (
        "a salsa statement that asks for 4 percent",
        "floors",
        (words(CAUTIONS, "vinegar of at least 5 percent", "vinegar of at least 4 percent"),),
    ),
    (
        "a statement that lost its percent",
        "floors",
        (words(CAUTIONS, "vinegar of at least 5 percent acidity", "vinegar of some acidity"),),
    ),
    ("withheld tomatoes: 3 percent will do", "floors", (words(WITHHELD, "5 percent vinegar", "3 percent vinegar"),)),
    # headspace
    (
        "snap beans: half an inch",
        "floors",
        (
            change(HEADSPACE, {"food": "snap-beans"}, headspace_in="0.5"),
            *sections(("Snap and Italian Beans",) * 2, headspace_in="0.5"),
        ),
    ),
    (
        "asparagus: half an inch",
        "floors",
        (
            change(HEADSPACE, {"food": "asparagus"}, headspace_in="0.5"),
            *sections(("Asparagus",) * 2, headspace_in="0.5"),
        ),
    ),
    (
        "peaches: a quarter inch",
        "floors",
        (
            change(HEADSPACE, {"food": "peaches"}, headspace_in="0.25"),
            *sections(("Peaches, halved or sliced",) * 2, headspace_in="0.25"),
        ),
    ),
    (
        "jam: an eighth inch",
        "floors",
        (
            change(HEADSPACE, {"food": "pear-apple-jam"}, headspace_in="0.125"),
            *sections(("Pear-Apple Jam",) * 2, headspace_in="0.125"),
        ),
    ),
    (
        "tomato sauce: less than its exception",
        "floors",
        (change(HEADSPACE, {"food": "tomato-sauce"}, headspace_in="0.125"),),
    ),
    (
        "an exception for more food",
        "floors",
        (
            add(
                EXCEPTIONS,
                check="floors",
                food="pears",
                headspace_in="0.25",
                statement="none",
                source="usda-2015",
                page="2-20",
            ),
        ),
    ),
    ("an exception of another page", "floors", (change(EXCEPTIONS, {"food": "mango-sauce"}, page="2-17"),)),
    (
        "figs: headspace everywhere but in the recipe",
        "foods",
        (change(HEADSPACE, {"food": "figs"}, headspace_in="1"), *sections(("Figs",) * 2, headspace_in="1")),
    ),
    ("figs: headspace of the recipe", "foods", (recipe("figs", "inches: 0.5", "inches: 0.25"),)),
    (
        "figs: headspace of a step",
        "foods",
        (recipe("figs", "leave 1/2 inch of headspace", "leave 1/4 inch of headspace"),),
    ),
    (
        "soups: headspace of the recipe and its table",
        "foods",
        (change(HEADSPACE, {"food": "soups"}, headspace_in="1.25"), recipe("soups", "inches: 1,", "inches: 1.25,")),
    ),
    (
        "lima beans: less over small beans",
        "foods",
        (change(HEADSPACE, {"food": "lima-beans", "variety": "small beans"}, headspace_in="1"),),
    ),
    # jars and rules of jars
    (
        "quarts take the time of pints",
        "vocabulary",
        (
            add(
                JAR_RULES,
                jar="quart",
                takes="pint",
                source="usda-2015",
                page="1-23",
                statement="quart jars take the time printed for pints",
            ),
        ),
    ),
    (
        "pint-and-a-half jars take the time of pints",
        "vocabulary",
        (
            change(
                JAR_RULES,
                {"jar": "pint-and-half"},
                takes="pint",
                statement="pint-and-a-half jars take the time printed for pints",
            ),
        ),
    ),
    (
        "fish in 12 ounces takes the time of half-pints",
        "vocabulary",
        (
            change(
                JAR_RULES,
                {"food": "fish"},
                takes="half-pint",
                statement="12-ounce jars of fish take the time printed for half-pints",
            ),
        ),
    ),
    (
        "half-gallons take the time of quarts",
        "acidity",
        (
            add(
                JAR_RULES,
                jar="half-gallon",
                takes="quart",
                source="usda-2015",
                page="1-23",
                statement="half-gallon jars take the time printed for quarts",
            ),
        ),
    ),
    (
        "figs: half-gallons in the recipe",
        "foods",
        (recipe("figs", "jars: [pint, quart]", "jars: [pint, quart, half-gallon]"),),
    ),
    ("figs: no pints in the recipe", "foods", (recipe("figs", "jars: [pint, quart]", "jars: [quart]"),)),
    ("figs: raw pack in the recipe", "foods", (recipe("figs", "packs: [hot]", "packs: [hot, raw]"),)),
    (
        "soups: half-pints of a rule that is gone",
        "foods",
        (recipe("soups", "jars: [pint, quart]", "jars: [12-ounce, pint, quart]"),),
    ),
    (
        "12-ounce jars of every food take the time of pints",
        "vocabulary",
        (
            change(JAR_RULES, {"food": "fish"}, food="", statement="12-ounce jars take the time printed for pints"),
            words(PAGES, "jar-rules,fish|12-ounce", "jar-rules,|12-ounce"),
        ),
    ),
    ("pie filling: seven quarts that are fourteen", "foods", (recipe("apple-pie-filling", "makes: 7", "makes: 14"),)),
    (
        "Asian pears: half, and half in the rule of the least",
        "floors",
        (
            *acid("asian-pears", QUART, quantity="1"),
            *acid("asian-pears", PINT, quantity="0.5"),
            change(RULES, {"id": "acid-lemon-juice"}, value="1"),
        ),
    ),
    (
        "peaches: a quarter inch, and in the rule of the least",
        "floors",
        (
            change(HEADSPACE, {"food": "peaches"}, headspace_in="0.25"),
            change(RULES, {"id": "headspace-acid"}, value="0.25"),
        ),
    ),
    (
        "chicken: an inch everywhere but in the recipe",
        "foods",
        (change(HEADSPACE, {"food": "chicken-or-rabbit"}, headspace_in="1"),),
    ),
    # relations
    (
        "winter squash follows apples",
        "preparation",
        (change(RELATIONS, {"food": "winter-squash"}, follows="apples-sliced"),),
    ),
    (
        "winter squash follows tomatoes, and in both readings",
        "acidity",
        (
            change(RELATIONS, {"food": "winter-squash"}, follows="tomatoes-in-water"),
            *sections(("Squash, Winter", "Squash, Winter - Cubed"), uses_process_of="Water-Packed Whole Tomatoes"),
        ),
    ),
    (
        "apricots follow applesauce, and in both readings",
        "foods",
        (
            change(RELATIONS, {"food": "apricots"}, follows="applesauce"),
            *sections(("Apricots, halved or sliced", "Apricots-Halved or Sliced"), uses_process_of="Applesauce"),
        ),
    ),
    (
        "apricots follow pears, and in one reading",
        "preparation",
        (
            change(RELATIONS, {"food": "apricots"}, follows="pears"),
            change(SECTIONS[0], {"food": "Apricots, halved or sliced"}, uses_process_of="Pears, halved"),
        ),
    ),
    ("tomatillos in every pack", "preparation", (change(RELATIONS, {"food": "tomatillos"}, pack=""),)),
    ("tomatillos raw", "preparation", (change(RELATIONS, {"food": "tomatillos"}, pack="raw"),)),
    (
        "tomatillos raw, and in both readings",
        "foods",
        (
            change(RELATIONS, {"food": "tomatillos"}, pack="raw"),
            words(SECTIONS[0], "(hot pack)", "(raw pack)"),
            words(SECTIONS[1], "Tomatoes, hot pack", "Tomatoes, raw pack"),
        ),
    ),
    (
        "beets follow pickled beets",
        "acidity",
        (add(RELATIONS, food="beets", follows="pickled-beets", source="usda-2015", page="4-9"),),
    ),
    ("nectarines follow nothing", "preparation", (drop(RELATIONS, food="nectarines"),)),
    ("a page of a relation", "pages", (change(RELATIONS, {"food": "tomatillos"}, page="3-14"),)),
    # recipes, directions
    ("figs: no recipe", "foods", (gone("figs"), drop_pages("recipe,figs|"))),
    ("pears: no recipe", "foods", (gone("pears"), drop_pages("recipe,pears|"))),
    (
        "figs: a second recipe",
        "foods",
        (lambda package: package.put("schedules/recipes/figs-two.yaml", package.bytes("schedules/recipes/figs.yaml")),),
    ),
    ("figs: another title", "foods", (recipe("figs", "title: Figs", "title: Fig puree"),)),
    ("figs: another food", "foods", (recipe("figs", "food: figs", "food: pears"),)),
    ("figs: another source", "foods", (recipe("figs", "source: usda-2015", "source: umaine-vinegar-2023"),)),
    ("figs: follow peaches", "foods", (recipe("figs", "jars: [pint, quart]", "jars: [pint, quart]\nfollows: peach"),)),
    (
        "figs: no headspace",
        "foods",
        (recipe("figs", 'headspace:\n  - {inches: 0.5, page: "2-14"}\n', ""), drop_pages("recipe,figs|headspace")),
    ),
    ("figs: no acid key", "acid", (recipe("figs", "\nacid:\n", "\nmay_change:\n"),)),
    (
        "figs: pasteurized",
        "directions",
        (recipe("figs", 'page: "2-14"\npacks', 'page: "2-14"\nlow_temperature_pasteurization: "6-5"\npacks'),),
    ),
    (
        "soups: pasteurized in the conditions",
        "directions",
        (add(CONDITIONS, food="soups", statement="pasteurization-allowed", source="usda-2015", page="4-18"),),
    ),
    (
        "dill pickles: pasteurized in the recipe alone",
        "directions",
        (
            drop(CONDITIONS, food="dill-pickles", statement="pasteurization-allowed"),
            drop_pages("conditions,dill-pickles|||||pasteur"),
        ),
    ),
    (
        "figs: sterile jars in the recipe alone",
        "directions",
        (recipe("figs", "packs: [hot]", "packs: [hot]\nsterile_jars: [pint]"),),
    ),
    (
        "piccalilli: jars not sterile in the recipe",
        "directions",
        (recipe("piccalilli", '  "pint"\n ],\n "ingredients"', '  "quart"\n ],\n "ingredients"'),),
    ),
    (
        "beets: proportions free",
        "directions",
        (
            drop(CONDITIONS, food="pickled-beets", statement="pickle-proportions-fixed"),
            drop_pages("conditions,pickled-beets|||||pickle"),
        ),
    ),
    (
        "tomato sauce: no acid under pressure",
        "directions",
        (
            drop(CONDITIONS, food="tomato-sauce", statement="acid-also-under-pressure"),
            drop_pages("conditions,tomato-sauce|||"),
        ),
    ),
)


@pytest.mark.parametrize(
    ("check", "acts"), [(check, acts) for _, check, acts in EDITS], ids=[said for said, *_ in EDITS]
)
def test_a_wrong_edit_is_found_without_its_hash(package: Spoiled, check: str, acts: tuple[Act, ...]) -> None:
    assert check != "hash"
    for act in acts:
        act(package)
    assert package.found(check)


def test_near_misses_a_change_that_says_the_same_is_not_found(package: Spoiled) -> None:
    """More lemon juice in every place is another amount, but no floor is broken; a longer note is no edit of acid."""
    for act in acid("figs", {**QUART, **LEMON}, quantity="3"):
        act(package)
    assert {finding.column for finding in package.found("floors")} == {"quantity"}, (
        "citric acid is now the weaker choice"
    )
    recipe("figs", "Choose firm, ripe figs", "Take firm, ripe figs")(package)
    assert package.found("foods") == () and package.found("directions") == ()

from __future__ import annotations

import re
from typing import Any

import pytest

import stillroom

CANNERS = {"": "boiling-water", "dial": "dial", "weighted": "weighted"}


def _ask(row: dict[str, str], food: str | None = None) -> Any:
    return stillroom.find(
        food or row["food"],
        jar=row["jar"],
        altitude=f"{row['altitude_from_ft']} ft",
        canner=CANNERS[row["gauge"]],
        pack=row["pack"] or None,
        form=row["form"] or None,
    )


@pytest.fixture(scope="module")
def answered(schedules: Any, table: Any) -> list[tuple[str, dict[str, str], Any]]:
    """Every published combination of every food, asked in its lowest band."""
    sent: dict[str, list[dict[str, str]]] = {}
    for row in table("schedules/relations.csv"):
        sent.setdefault(row["follows"], []).append(row)
    found = []
    for row in schedules:
        found.append((row["food"], row, _ask(row)))
        for relation in sent.get(row["food"], ()):
            if relation["pack"] in ("", row["pack"]):
                found.append((relation["food"], row, _ask(row, relation["food"])))
    return found


def _says(answer: Any) -> str:
    return " ".join(stated.text for option in answer.options for stated in (*option.requires, *option.cautions))


def _requires(answer: Any) -> str:
    return " ".join(stated.text for stated in answer.options[0].requires)


def test_acid_of_every_jar_is_in_every_answer(recipes: Any, answered: Any) -> None:
    seen = set()
    for food, row, answer in answered:
        for acid in recipes[food].get("acid", ()):
            if acid["jar"] == row["jar"]:
                said = _requires(answer)
                assert "Acid in each" in said, (food, row)
                for choice in acid["any_of"]:
                    assert choice["name"] in said, (food, choice)
                seen.add(food)
    assert {"figs", "asian-pears", "crab", "tomatoes-crushed", "tomatillos"} <= seen


def test_acid_of_every_recipe_is_in_every_answer(recipes: Any, answered: Any) -> None:
    for food, _, answer in answered:
        for line in recipes[food].get("ingredients", ()):
            if line["role"] == "acid" and not line.get("optional") and food not in ("baked-beans", "fish"):
                if line.get("variety") == "molasses sauce":
                    continue
                assert line["name"] in _requires(answer), (food, line)


def test_sterile_jars_are_asked_for_where_the_recipe_does(recipes: Any, answered: Any) -> None:
    for food, row, answer in answered:
        entry = recipes[food]
        if row["jar"] in entry.get("sterile_jars", ()) and food not in ("quick-sweet-pickles", "apple-juice"):
            assert "sterile jars" in _requires(answer), (food, row)
        elif "sterile_jars" not in entry:
            assert "sterile jars" not in _requires(answer), (food, row)


def test_boiling_water_processes_under_10_minutes_ask_for_sterile_jars(answered: Any) -> None:
    """Page 1-14: jars for shorter processes are sterilized first."""
    short = [(food, row, answer) for food, row, answer in answered if not row["gauge"] and int(row["minutes"]) < 10]
    assert len(short) > 20
    for food, row, answer in short:
        assert "sterile jars" in _requires(answer), (food, row)


def test_directions_for_the_canner_with_figures_are_in_the_answer(recipes: Any, answered: Any) -> None:
    for food, row, answer in answered:
        for direction in recipes[food].get("canner", ()):
            if "water_quarts" in direction and direction.get("jar", row["jar"]) == row["jar"]:
                assert f"Put {direction['water_quarts']} quarts" in _requires(answer), (food, row)
    quart = next(answer for food, row, answer in answered if food == "fish" and row["jar"] == "quart")
    pint = next(answer for food, row, answer in answered if food == "fish" and row["jar"] == "pint")
    assert "never under 30 minutes in total" in _requires(quart)
    assert "quarts of water" not in _requires(pint)


@pytest.mark.parametrize(
    ("word", "statement"),
    [
        ("rubber gloves", "gloves"),
        ("wild mushrooms", "wild mushrooms"),
        ("dead or frost-killed vines", "dead or frost-killed vines"),
    ],
)
def test_cautions_of_a_recipe_reach_the_answer(recipes: Any, answered: Any, word: str, statement: str) -> None:
    seen = 0
    for food, _, answer in answered:
        if any(word in row["text"] for row in recipes[food].get("cautions", ())):
            assert statement in _says(answer), food
            seen += 1
    assert seen


def test_low_temperature_pasteurization_is_offered_only_where_the_recipe_does(recipes: Any, answered: Any) -> None:
    offered = {food for food, _, answer in answered if "Low-temperature pasteurization" in _says(answer)}
    assert offered == {food for food, entry in recipes.items() if "low_temperature_pasteurization" in entry}


def test_one_batch_at_a_time_goes_with_every_jam_and_jelly(recipes: Any, answered: Any) -> None:
    said = {food for food, _, answer in answered if "one batch at a time" in _says(answer)}
    assert said == {food for food, entry in recipes.items() if "single_batch" in entry}


def test_a_food_that_follows_another_does_not_inherit_its_cautions(recipes: Any, answered: Any) -> None:
    """Peach salsa follows mango salsa, but peaches do not irritate the skin as green mango does (page 2-24)."""
    peach = next(answer for food, _, answer in answered if food == "peach-salsa")
    mango = next(answer for food, _, answer in answered if food == "mango-salsa")
    assert "Green mango" in _says(mango)
    assert "Green mango" not in _says(peach)


def test_conditions_come_before_the_time_on_the_sheet(capsys: pytest.CaptureFixture[str]) -> None:
    from stillroom.commands.main import main

    assert (
        main(["find", "figs", "--pack", "hot", "--jar", "pint", "--altitude", "0 ft", "--canner", "boiling-water"]) == 0
    )
    text = capsys.readouterr().out
    assert text.index("1 tablespoon of bottled lemon juice") < re.search(r"Process \d+ minutes", text).start()  # type: ignore[union-attr]


def test_a_condition_cites_a_page_of_its_recipe_or_a_general_page(recipes: Any, table: Any) -> None:
    """General pages: 1-11 fish and meat, 1-28 pickles, 1-30 jams, 3-5 and 3-19 tomatoes, 4-13 mushrooms."""
    for row in table("schedules/conditions.csv"):
        if row["page"] == "web":  # a later source without printed pages
            continue
        pages = set(re.findall(r"\b[1-7]-[1-9][0-9]?\b", str(recipes[row["food"]])))
        assert row["page"] in pages | {"1-11", "1-28", "1-30", "3-5", "3-19", "4-13"}, row


def test_salsa_rules_cite_their_own_pages(table: Any) -> None:
    """Page 3-19 acids and tomatoes, 3-20 peppers and onions, 3-21 starch, juice and the recipe as a whole."""
    pages = {
        "salsa-acid-fixed": "3-19", "salsa-acid-kind": "3-19", "salsa-juice-kind": "3-19",
        "salsa-low-acid-fixed": "3-20", "salsa-pepper-size": "3-20", "no-starch-before-canning": "3-21",
        "salsa-whole-tomato": "3-21", "salsa-tested-only": "3-21",
    }  # fmt: skip
    rows = [row for row in table("schedules/conditions.csv") if row["statement"] in pages]
    assert len(rows) == 8 * (len(pages) - 1) - 1  # vinegar or juice; tomatillo green salsa has no tomatoes to drain
    assert all(row["page"] == pages[row["statement"]] for row in rows)


def test_a_salsa_made_with_juice_never_names_vinegar_as_a_choice(table: Any) -> None:
    """Page 3-19: vinegar for lemon juice makes a less acid salsa; near miss: the salsas made with vinegar."""
    acids = table("schedules/acid.csv")
    kinds = ("salsa-juice-kind", "salsa-acid-kind")
    rows = [row for row in table("schedules/conditions.csv") if row["statement"] in kinds]
    said = {row["food"]: row["statement"] for row in rows}
    assert len(said) == 8
    for food, statement in said.items():
        vinegar = any("vinegar" in row["acid"] for row in acids if row["food"] == food)
        assert statement == ("salsa-acid-kind" if vinegar else "salsa-juice-kind")

"""The page answers like the library: every key of every answer, refusal and bad input.

By hand all of it is asked (``STILLROOM_THOROUGH=1``); on every change a part that is drawn anew each time.
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator

import pytest

import stillroom
from stillroom.desk import conformance
from tests.conftest import table
from tests.site.page import PARTS, Page, Question
from tests.trials import THOROUGH

HEIGHTS = (-100.0, 0.0, 9_999.5, 30_000.0)
"""Feet, beside each edge of a band and half a foot above it."""


@pytest.fixture(scope="module")
def seed() -> int:
    return random.randrange(10**9)


def asked(food: str, **said: str | None) -> Question:
    return {**dict.fromkeys(PARTS), "food": food, **said}


def part_of(questions: list[Question], most: int, seed: int) -> list[Question]:
    return questions if THOROUGH or len(questions) <= most else random.Random(seed).sample(questions, most)


def whole_grid() -> Iterator[Question]:
    """Every food, form, pack, jar, canner and edge, said with ids, the pack also left out."""
    shelf = stillroom.shelf()
    for food in shelf.foods:
        chart = shelf.chart_of(food)
        edges = {float(band.to_ft) for bands in chart.values() for band in bands if band.to_ft is not None}
        heights = sorted({*HEIGHTS, *edges, *(edge + 0.5 for edge in edges)})
        for form in dict.fromkeys(at.form for at in chart):
            for pack in (None, "hot", "raw"):
                for jar in shelf.jars:
                    for canner in shelf.canners:
                        for height in heights:
                            said = f"{height:g} ft"
                            yield asked(food, form=form or None, pack=pack, jar=jar, canner=canner, altitude=said)


def test_every_food_form_pack_jar_canner_and_band_edge(page: Page, seed: int) -> None:
    grid = list(whole_grid())
    assert len(grid) > 100_000
    assert page.differing(part_of(grid, 1_200, seed)) == [], seed


def test_what_is_left_out_is_asked_back_the_same(page: Page, seed: int) -> None:
    foods, chance = list(stillroom.shelf().foods), random.Random(seed)
    questions = [
        asked(food, jar=jar, canner=canner, altitude=f"{height} ft")
        for food in foods
        for jar in (None, "pint", "half-pint")
        for canner in (None, "boiling-water", "pressure canner", "steam")
        for height in (500, 6_500)
    ]
    assert page.differing(part_of(questions, 150, chance.random())) == [], seed  # type: ignore[arg-type]


def test_what_people_say(page: Page, seed: int) -> None:
    sayings = [{part: row[part] or (None if part != "food" else "") for part in PARTS} for row in
               table("tests/words/sayings.csv")]  # fmt: skip
    assert len(sayings) > 1_000
    assert page.differing(part_of(sayings, 250, seed)) == [], seed


def test_every_name_means_the_same_food_or_refusal(page: Page, seed: int) -> None:
    names = stillroom.shelf().names
    said = [*names.every_tested(), *names.every_withheld(), *(row["alias"] for row in table("schedules/aliases.csv"))]
    questions = [asked(name, jar="pint", altitude="1200 ft") for name in said]
    assert page.differing(part_of(questions, 250, seed)) == [], seed


def test_every_word_for_a_jar_canner_pack_and_form(page: Page, seed: int) -> None:
    words = [("jar", row["word"]) for row in table("shared/jar-words.csv")]
    words += [("canner", row["word"]) for row in table("shared/canner-words.csv")]
    words += [("pack", row["word"]) for row in table("shared/pack-words.csv")]
    said = {"jar": "pint", "altitude": "503 m", "canner": "dial"}
    questions = [asked("snap beans", **{**said, what: word}) for what, word in words]  # type: ignore[arg-type]
    questions += [
        asked(row["food"], form=row["word"], **said)
        for row in table("schedules/form-words.csv")  # type: ignore[arg-type]
    ]
    assert page.differing(part_of(questions, 200, seed)) == [], seed


def test_the_table_of_answers_says_the_same_read_as_text(page: Page, seed: int) -> None:
    """Against ``schedules/answers.csv``, without the library: minutes, psi, headspace, source and page."""
    rows = table("schedules/answers.csv")
    chosen = rows if THOROUGH else random.Random(seed).sample(rows, 400)
    questions = [
        asked(
            row["food"],
            **{part: row[part] or None for part in ("form", "pack", "jar", "canner")},
            altitude=f"{row['to_ft'] or 20_000} ft",
        )
        for row in chosen
    ]
    for row, said in zip(chosen, page.said(questions), strict=True):
        if row["result"] != "tested":
            assert (said["kind"], said["code"]) == ("refusal", row["result"]), row
            continue
        option = said["options"][int(row["option"]) - 1]
        told = [option["minutes"], option["pressure_psi"], option["headspace_in"]]
        assert told == [float(cell) if cell else None for cell in
                        (row["minutes"], row["pressure_psi"], row["headspace_in"])], row  # fmt: skip
        assert (option["source"]["id"], option["page"]) == (row["source"], row["page"]), row


@pytest.mark.skipif(not THOROUGH, reason="all cases are made for it: STILLROOM_THOROUGH=1")
def test_the_cases_for_authors_in_other_languages(page: Page) -> None:
    cases = [case for case in conformance.cases(stillroom.shelf()) if "food" in case["ask"]]
    questions = []
    for case in cases:
        ask = {key: value or None for key, value in case["ask"].items() if key != "altitude_ft"}
        questions.append({**ask, "altitude": f"{case['ask']['altitude_ft']:g} ft"})
    for case, said in zip(cases, page.said(questions), strict=True):
        wanted = case["says"]
        assert wanted["result"] == ("tested" if said["kind"] == "answer" else said["code"]), case
        for option, found in zip(wanted.get("options", ()), said.get("options", ()), strict=True):
            keys = ("minutes", "pressure_psi", "headspace_in", "page")
            assert [option[key] for key in keys] == [found[key] for key in keys], case


# words that nobody foresaw

SIGNS = (
    *"aeiou zrstln-,.;:()/&'\"0123456789#½¼⅓éßΩЖ中²①%~_<>😀ﬁæøñıİſ",
    *"\u0301\u212a\u200b\ufeff\u00a0\u2028\n\t\x00\x1b\ud800\u2013\u2044\uff11\uff50",
    *(" in oil", " (whole)", " jam", " and ", "pickled ", "my ", " soup", " pint", " oz", " ft"),
)
NUMBERS = ("1", "2", "16", "0.5", "1/2", "1 1/2", "1-1/2", "half", "two", "1.5", "½", "1½", "500", "1,5", ".5", "1/3")
MEASURES = ("pint", "pints", "oz", "qt", "quarts", "cups", "ml", "liter", "gallon", "fl oz", "jars", "and a half")
LENGTHS = (" ft", "ft", " feet", " m", " km", " mi", "", " ft above sea level", "'", " yards", " feet below sea level")


def garbled(said: str, chance: random.Random) -> str:
    """One to three slips of the pen."""
    letters = list(said)
    for _ in range(chance.randint(1, 3)):
        at = chance.randint(0, len(letters))
        kind = chance.choice(("in", "out", "turn", "shuffle"))
        if kind == "in":
            letters.insert(at, chance.choice(SIGNS))
        elif kind == "out":
            del letters[at : at + 1]
        elif kind == "turn":
            letters[at : at + 2] = reversed(letters[at : at + 2])
        else:
            words = "".join(letters).split()
            letters = list(" ".join(chance.sample(words, len(words))))
    return "".join(letters)


def random_question(chance: random.Random, words: dict[str, list[str]]) -> Question:
    said: Question = {"food": chance.choice(words["food"])}
    for part in ("jar", "canner", "pack", "form"):
        said[part] = chance.choice(words[part]) if chance.random() < 0.5 else None
    if chance.random() < 0.3:
        said["jar"] = chance.choice(NUMBERS) + chance.choice((" ", "", "-")) + chance.choice(MEASURES)
    said["altitude"] = f"{chance.uniform(-300, 11_000):.{chance.randint(0, 4)}f}{chance.choice(LENGTHS)}"
    for part, word in said.items():
        if word is not None and chance.random() < 0.3:
            said[part] = garbled(word, chance)
    return said


def test_random_words_get_the_same_refusal_or_the_same_bad_input(page: Page, seed: int) -> None:
    chance, shelf = random.Random(seed), stillroom.shelf()
    words = {
        "food": [*shelf.names.every_tested(), *shelf.names.every_withheld()],
        "jar": [*shelf.jars, *(row["word"] for row in table("shared/jar-words.csv"))],
        "canner": [*shelf.canners, *(row["word"] for row in table("shared/canner-words.csv"))],
        "pack": [row["word"] for row in table("shared/pack-words.csv")],
        "form": [row["word"] for row in table("schedules/form-words.csv")],
    }
    questions = [random_question(chance, words) for _ in range(10_000 if THOROUGH else 150)]
    assert page.differing(questions) == [], seed


def test_what_a_superseded_leaflet_gave_is_forbidden_in_the_page_too(page: Page, data_script: str) -> None:
    shelf = stillroom.shelf()
    rows = json.loads(data_script[data_script.index("{") : data_script.rindex("}") + 1])
    withheld = [row[0] for row in rows["withheld"] if row[6] >= 0]
    names = {which: name for name, which in shelf.names.every_withheld().items()}
    questions = [asked(names[which], jar="pint", altitude="10 ft") for which in withheld]
    for food in rows["foods"]:
        for form, pack, jar, canner, _ in food[14]:
            said = {
                "form": food[6][form] or None,
                "pack": (None, None, "hot", "raw")[pack],
                "jar": list(shelf.jars)[jar],
            }
            questions.append(asked(food[0], **said, canner=list(shelf.canners)[canner], altitude="10 ft"))
    told = page.said(questions)
    assert page.differing(questions) == []
    assert sum(1 for one in told if one.get("earlier")) > 10
    near_miss = page.said([asked("peaches", jar="half-gallon", altitude="10 ft", canner="dial", pack="hot")])[0]
    assert (near_miss["kind"], near_miss["earlier"]) == ("refusal", None)


HOSTILE = (
    *("__proto__", "constructor", "toString", "hasOwnProperty", "<script>alert(1)</script>", "</script>", "${1}"),
    *("\ud83d", "\u202esnaeb", "snap beans\u2028", "\x00", "' OR 1=1", "{height}", "$&", "$1", "[object Object]"),
    *("null", "0", " ", "", "a" * 5_000),
)


@pytest.mark.parametrize("part", PARTS)
def test_hostile_words_are_words(page: Page, part: str) -> None:
    plain = {"food": "peaches", "jar": "pint", "altitude": "10 ft", "canner": "boiling-water", "pack": "hot"}
    questions = [asked(**{**plain, part: said}) for said in HOSTILE]  # type: ignore[arg-type]
    assert page.differing(questions) == []


def test_a_near_miss_one_changed_minute_is_noticed(data_script: str, page: Page, tmp_path) -> None:
    question = asked("snap beans", pack="raw", jar="quart", altitude="1650 ft", canner="dial")
    assert page.differing([question]) == []
    minutes, psi = (page.said([question])[0]["options"][0][key] for key in ("minutes", "pressure_psi"))
    assert f"[{minutes},{psi}," in data_script
    slipped = Page(tmp_path, data_script.replace(f"[{minutes},{psi},", f"[{minutes + 1},{psi},"))
    assert [keys.partition(":")[0] for _, keys in slipped.differing([question])] == ["options"]

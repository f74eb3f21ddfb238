"""People's words for jars, canners, packs and forms: what is understood, what is left open, what is refused and why."""

from __future__ import annotations

import itertools
import re
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import stillroom
from stillroom.answers.heard import Heard
from stillroom.answers.names import plain
from stillroom.answers.shelf import Shelf
from stillroom.answers.words import Words
from stillroom.errors import BadInput
from stillroom.package.package import Package
from tests.conftest import table
from tests.trials import trials

WORDS = Words(Package())
JARS = {row["id"]: int(row["volume_fl_oz"]) for row in table("shared/jars.csv")}
JAR_WORDS, CANNER_WORDS = table("shared/jar-words.csv"), table("shared/canner-words.csv")
MEASURES = {"fluid ounce": 1, "cup": 8, "pint": 16, "quart": 32, "gallon": 128}
"""US fluid ounces in each measure (NIST Handbook 44, appendix C)."""
ML_IN_A_FLUID_OUNCE = Fraction("29.5735295625")
"""NIST Handbook 44, appendix C: 1 fluid ounce is 29.573 529 6 milliliters; exact by the gallon of 231 inches cubed."""


def dressed(word: str) -> list[str]:
    """The same word as people write it: in capitals, with more space, with words before it that say nothing."""
    return [word.upper(), word.title(), f"  {word.replace(' ', '   ')} ", f"my {word}", f"the {word}"]


def refused(what: str, said: object) -> str:
    with pytest.raises(BadInput) as caught:
        getattr(WORDS, what)(said)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 240
    return str(caught.value)


# jars


@pytest.mark.parametrize(
    ("said", "jar"),
    [
        *[(said, "half-pint") for said in ("1/2 pint", "½ pint", "half-pints", "half a pint", "8 oz", "8-ounce jars")],
        *[
            (said, "half-pint")
            for said in ("a half pint", "1 half-pint", "1 cup jar", "1\u20442 pint", "½-pint", ".5 pt")
        ],
        *[(said, "12-ounce") for said in ("12oz.", "12 fl. oz.", "twelve ounces", "3/4 pint", "12 oz jelly jar")],
        *[
            (said, "pint")
            for said in ("pts", "16 oz", "16oz", "one pint", "pint mason jars", "wide-mouth pint", "1 PT.")
        ],
        *[(said, "pint") for said in ("\uff11\uff16 oz", "16\u00a0oz", "U.S. pint", "pint (wide mouth)", "2 cup jar")],
        *[(said, "pint-and-half") for said in ("1 1/2 pint", "1-1/2 pints", "1½ pints", "1.5 pint", "24 oz")],
        *[
            (said, "pint-and-half")
            for said in ("pint and a half", "pint & a half", "one and a half pints", "pint and 1/2")
        ],
        *[(said, "quart") for said in ("qts", "32 oz", "2 pint", "2-pint jar", "two pint jar", "quart, wide mouth")],
        *[(said, "half-gallon") for said in ("1/2 gal.", "half of a gallon", "64oz", "2 quart", "2-quart jars")],
    ],
)
def test_a_size_in_any_words_is_the_jar_of_that_volume(said, jar):
    assert WORDS.jar(said).ids == (jar,)


@pytest.mark.parametrize("what", ["id", "title", "plural", "abbreviation"])
def test_our_own_words_for_a_jar_need_no_saying_back_and_read_no_table_of_words(what):
    words = Words(Package())
    for row in table("shared/jars.csv"):
        for said in (row[what], row[what].upper(), f" {row[what]} "):
            assert words.jar(said) == Heard((row["id"],))
    assert "_sizes" not in vars(words)
    assert WORDS.jar("16 oz").said == "16 oz"


@pytest.mark.parametrize(
    "said",
    [
        "1-2 pints", "1\u20132 pints", "1 - 2 pints", "1.2 pint", "1.2 pt", "1-2 pt", "1,2 pint", "11/2 pint",
        "11/2 pt", "1/2/2 pint", "pint 1/2", "pint-1/2", "1/2-1 pint", "-1/2 pint", "1 2 pint", "1/ 2 pint", "1.1/2 pt",
        "1 to 2 pints", "1 or 2 pints", "pint/half-pint", "pint or quart", "2 half-pints", "0/2 pint", "2/2 pint",
    ],
)  # fmt: skip
def test_a_sign_between_figures_is_never_lost_on_the_way_to_a_half_pint(said):
    assert 'write the size of one jar, like "pint" or "12 oz"' in refused("jar", said)


@pytest.mark.parametrize(
    "said",
    [
        "tall", "big", "regular", "wide mouth", "jar", "mason jar", "glass", "16", "1", "half", "oz", "pintt", "p", "q",
        "", " ", "банка", "🫙", "16 qt", "1 pint 8 oz", "0 pints", "0 oz", "1e1 oz", "½", "1² oz", "①6 oz", "١٦ oz",
        "16 oz 16 oz", "pint" + " " * 80 + "or quart", "9" * 70 + " oz", "12.0.0 oz", "16 grams", "1 lb", "not a pint",
    ],
)  # fmt: skip
def test_what_names_no_size_or_says_it_in_two_ways_is_bad_input(said):
    refused("jar", said)


@pytest.mark.parametrize("said", [None, 1, 16.0, ["pint"], b"pint"])
def test_what_is_no_text_is_bad_input(said):
    for what in ("jar", "canner", "pack"):
        refused(what, said)


@pytest.mark.parametrize(
    "said", ["2 pints", "4 pints", "2 quarts", "two quarts", "2 quart jars", "2 quarts wide-mouth"]
)
def test_a_number_of_jars_is_not_taken_for_a_size(said):
    """The near miss: one jar of that size is written in the singular, or with a hyphen."""
    assert "jars, or one of" in refused("jar", said)
    assert WORDS.jar("2 pint jar").ids == WORDS.jar("2-pint jars").ids == ("quart",)


@pytest.mark.parametrize(
    "said",
    [
        "4 oz", "4-ounce jars", "6 oz", "10 oz", "14 oz", "28 oz", "quarter pint", "gallon", "a gallon", "3 quarts",
        "1 1/2 quart", "500 ml", "500ml", "0.5 l", "0,5 l", "1 liter", "1L", "1 litre", "half liter", "1,000 ml",
        "473 ml", "946 ml", "imperial pint", "tin can", "#10 can", "plastic jar", "bottle", "quart bottle",
    ],
)  # fmt: skip
def test_a_jar_that_people_have_and_nobody_here_has_tested_is_refused_with_a_reason(said):
    heard = WORDS.jar(said)
    assert (heard.ids, heard.said, heard.withheld) == ((), said, "")
    assert heard.untested.startswith(f'Jar "{said}" is not tested: ')
    with pytest.raises(stillroom.NoTestedSchedule) as caught:
        stillroom.find("peaches", pack="hot", jar=said, altitude="0 ft", canner="boiling-water")
    assert caught.value.code == "jar-not-tested"
    assert heard.untested in caught.value.reason


@pytest.mark.parametrize(
    ("said", "entry"),
    [
        ("bail jars", "wire-bail-jars"),
        ("quart jar with a wire bail", "wire-bail-jars"),
        ("zinc lids", "zinc-caps"),
        ("one-piece lid jar", "other-commercial-jars"),
        ("spaghetti sauce jars", "other-commercial-jars"),
        ("mayonnaise jar", "mayonnaise-jars-pressure"),
    ],
)
def test_a_jar_that_a_publication_speaks_against_leads_to_what_it_says(said, entry):
    assert WORDS.jar(said) == Heard((), said, "", entry)
    with pytest.raises(stillroom.NoTestedSchedule) as caught:
        stillroom.find("peaches", pack="hot", jar=said, altitude="0 ft", canner="boiling-water")
    assert (caught.value.code, caught.value.source.id) == ("withheld", "usda-2015")


def test_a_jelly_jar_is_of_eight_or_twelve_ounces_until_a_size_is_said():
    """Page 1-13 of the guide names both sizes of decorator jelly jars."""
    assert WORDS.jar("jelly jars").ids == ("half-pint", "12-ounce")
    assert WORDS.jar("half-pint jelly jar").ids == ("half-pint",)
    assert WORDS.jar("4 oz jelly jar").untested


def test_every_measure_with_every_number_is_the_jar_of_its_volume_or_none():
    """Volumes by NIST Handbook 44, appendix C, against the words of the table."""
    by_volume = {volume: jar for jar, volume in JARS.items()}
    for measure, number in itertools.product(MEASURES, ("1/4", "1/2", "3/4", "1", "1 1/2", "2", "3", "4", "8", "12")):
        volume = MEASURES[measure] * sum(map(Fraction, number.split()))
        if not (Fraction(3, 2) <= volume <= 128):
            refused("jar", f"{number} {measure}")
            continue
        heard = WORDS.jar(f"{number} {measure}")
        expected = by_volume.get(volume)
        assert heard.ids == (() if expected is None else (expected,)), (number, measure)
        assert bool(heard.untested) == (expected is None)


@pytest.mark.parametrize("row", [row for row in JAR_WORDS if row["kind"] == "us-unit"], ids=lambda row: row["word"])
def test_every_measure_in_the_table_holds_what_the_handbook_says(row):
    singular = row["word"].replace("fl ", "fluid ").removesuffix("s")
    names = {"oz": "fluid ounce", "ounce": "fluid ounce", "fluid oz": "fluid ounce", "floz": "fluid ounce"}
    names |= {"pt": "pint", "pinter": "pint", "pintsize": "pint", "qt": "quart", "qrt": "quart", "gal": "gallon"}
    names |= {"quartsize": "quart"}
    halved = singular.startswith("half")
    measure = names.get(singular.removeprefix("half"), singular.removeprefix("half"))
    assert Fraction(row["amount"]) == Fraction(MEASURES[measure], 2 if halved else 1)
    for said in dressed(f"12 {row['word']}"):
        volume = 12 * int(row["amount"])
        if volume == 12:
            assert WORDS.jar(said).ids == ("12-ounce",)
        elif volume > 128:
            refused("jar", said)


@pytest.mark.parametrize("row", [row for row in JAR_WORDS if row["kind"] == "other-unit"], ids=lambda row: row["word"])
def test_no_measure_from_elsewhere_is_ever_a_us_jar(row):
    for jar, volume in JARS.items():
        exact = volume * ML_IN_A_FLUID_OUNCE / Fraction(row["amount"])
        for said in (f"{float(exact):.4g} {row['word']}", f"{round(exact) or 1} {row['word']}"):
            assert WORDS.jar(said).ids == (), (said, jar)


@pytest.mark.parametrize("row", [row for row in JAR_WORDS if row["kind"] == "filler"], ids=lambda row: row["word"])
def test_a_word_that_says_no_size_changes_none(row):
    for jar in JARS:
        assert WORDS.jar(f"{row['word']} {jar}").ids == WORDS.jar(f"{jar} {row['word']}").ids == (jar,)
    refused("jar", row["word"])


@pytest.mark.parametrize(
    "row", [row for row in JAR_WORDS if row["kind"] in ("practice", "other", "open")], ids=lambda row: row["word"]
)
def test_every_word_for_a_jar_leads_where_the_table_says(row):
    for said in (row["word"], *dressed(row["word"])):
        heard = WORDS.jar(said)
        assert heard.withheld == row["withheld"]
        assert (row["jar"] in heard.ids) == bool(row["jar"])
        assert bool(heard.untested) == (row["kind"] == "other")


# canners


@pytest.mark.parametrize("row", [row for row in CANNER_WORDS if row["kind"] == "word"], ids=lambda row: row["word"])
def test_every_word_for_a_canner_leads_where_the_table_says(row):
    for said in (row["word"], *dressed(row["word"]), f"in a {row['word']}"):
        heard = WORDS.canner(said)
        assert heard.withheld == row["withheld"]
        assert (row["canner"] in heard.ids) == bool(row["canner"])
        assert not (heard.ids and heard.withheld)


def test_a_word_leaves_nothing_open_but_the_gauge_of_a_pressure_canner():
    for row in CANNER_WORDS:
        if row["kind"] == "word" and len(WORDS.canner(row["word"]).ids) > 1:
            assert WORDS.canner(row["word"]).ids == ("dial", "weighted")


def test_a_canner_under_pressure_and_one_without_are_never_taken_for_each_other():
    """Steam alone is the atmospheric canner; a steam pressure canner is a pressure canner."""
    assert WORDS.canner("steam canner").ids == WORDS.canner("non-pressure steam canner").ids == ("steam",)
    assert WORDS.canner("steam pressure canner").ids == ("dial", "weighted")
    for row in CANNER_WORDS:
        pressure = "pressure" in row["word"] and not any(w in row["word"] for w in ("non", "less", "out", "not", "un"))
        if row["canner"] in ("boiling-water", "steam"):
            assert not pressure or row["word"] == "atmospheric pressure steam canner"
        if row["canner"] in ("dial", "weighted"):
            assert "bath" not in row["word"] and "boiling" not in row["word"]
            assert not {"electric", "oven", "saucepan", "pan", "small", "fryer"} & set(row["word"].split())


@pytest.mark.parametrize("row", table("shared/canners.csv"), ids=lambda row: row["id"])
def test_our_own_words_for_a_canner_need_no_saying_back_and_read_no_table_of_words(row):
    words = Words(Package())
    for said in (row["id"], row["title"], row["title"].title()):
        assert words.canner(said) == Heard((row["id"],))
    assert "_said_of_canners" not in vars(words)


@pytest.mark.parametrize(
    "said",
    [
        "grill", "stove", "stove top", "big pot", "campfire", "the canner", "my", "yes", "boiling", "",
        " ", "water bath or dial", "not a dial", "no dial", "dial without pressure", "кастрюля", "🔥", "steamer", "H",
        "button-top multicooker", "8 quart pressure canner", "water bath" + " " * 80 + "no, the oven",
    ],
)  # fmt: skip
def test_what_is_no_canner_is_bad_input_that_says_what_is_one(said):
    assert "is not one of boiling-water, dial, steam or weighted" in refused("canner", said)


@pytest.mark.parametrize(
    ("said", "entry"),
    [
        ("in the oven", "oven-canning"),
        ("Dishwasher", "dishwasher-canning"),
        ("open kettle", "open-kettle"),
        ("electric pressure cooker", "electric-multicookers"),
        ("electric pressure canner", "electric-multicookers"),
        ("pressure cooker", "pressure-saucepans"),
    ],
)
def test_what_people_use_in_place_of_a_canner_is_refused_with_what_a_publication_says(said, entry):
    assert WORDS.canner(said) == Heard((), said, "", entry)
    with pytest.raises(stillroom.NoTestedSchedule) as caught:
        stillroom.find("peaches", pack="hot", jar="pint", altitude="0 ft", canner=said)
    assert (caught.value.code, caught.value.reason.endswith(".")) == ("withheld", True)
    assert caught.value.source is not None


def test_who_says_pressure_cooker_is_told_how_to_tell_it_from_a_canner():
    """Page 1-35: a canner holds at least four quart jars; smaller pans are not recommended."""
    with pytest.raises(stillroom.NoTestedSchedule) as caught:
        stillroom.find("peaches", pack="hot", jar="pint", altitude="0 ft", canner="pressure cooker")
    assert "holds at least 4 quart jars. If yours does, and has a dial or a weighted gauge" in caught.value.reason


def test_no_word_means_two_things():
    means: dict[str, set[str]] = {}
    for row in CANNER_WORDS:
        means.setdefault(row["word"], set()).add(row["withheld"] or ("filler" if row["kind"] == "filler" else "canner"))
    assert [word for word, which in means.items() if len(which) > 1] == []
    names = {plain(row["alias"]): row["withheld"] for row in table("schedules/withheld-names.csv")}
    wrong = {w: (names[w], which) for w, which in means.items() if w in names and which != {names[w]}}
    steam = {word for word, (named, _) in wrong.items() if named == "steam-canners"}
    assert wrong.keys() == steam, "later work allows a steam canner; anything else must lead to the same entry"


# packs and forms


@pytest.mark.parametrize("row", table("shared/pack-words.csv"), ids=lambda row: row["word"])
def test_every_word_for_a_pack_is_that_pack(row):
    for said in (row["word"], row["word"].upper(), row["word"].replace(" ", "-")):
        assert WORDS.pack(said) == Heard((row["pack"],), said)
    raw = re.search(r"\b(?:cold|raw|un|no\b|not\b|without)", row["word"]) is not None
    assert row["pack"] == ("raw" if raw else "hot")


@pytest.mark.parametrize("said", ["H", "R", "hot and raw", "either", "warm", "hot fill", "boned", "frozen", ""])
def test_what_is_no_pack_is_bad_input(said):
    assert "is not one of hot or raw" in refused("pack", said)


@pytest.mark.parametrize("row", table("schedules/form-words.csv"), ids=lambda row: f"{row['food']} {row['word']}")
def test_every_word_for_a_form_is_that_form_of_that_food_only(row):
    assert WORDS.form(row["food"], row["word"].upper()).ids == (row["form"],)
    without = {"no", "not", "non", "free", "off", "out", "o", "removed"} & set(row["word"].split()) or any(
        part in row["word"] for part in ("without", "less", "boned", "nonsea", "meat only", "debone", "free")
    )
    denied = row["word"] in ("not boned", "not deboned")
    assert row["form"].startswith("without") == (bool(without) and not denied)
    for other in {"chicken-or-rabbit", "soups"} - {row["food"]}:
        with pytest.raises(BadInput):
            WORDS.form(other, row["word"])


def test_boned_alone_may_mean_either_and_is_bad_input():
    with pytest.raises(BadInput, match="is not one of with-bones or without-bones"):
        WORDS.form("chicken-or-rabbit", "boned")


# any text, and the answers


@settings(max_examples=trials(1_500), deadline=None)
@given(
    st.text(max_size=90)
    | st.from_regex(
        r"(about )?[0-9½¼]{0,3}[ ./,-]{0,2}[0-9]{0,2} ?(pint|pt|oz|quart|ml|jar|half|gal)s?( jar)?", fullmatch=True
    )
)
def test_any_text_is_heard_or_refused_in_one_printable_line(text):
    for what in ("jar", "canner", "pack"):
        try:
            heard, wrong = getattr(WORDS, what)(text), ""
        except BadInput as error:
            heard, wrong = Heard(("none",)), str(error)
        assert wrong.isprintable()
        assert heard.said.isprintable()
        assert heard.untested.isprintable()
        assert sum(map(bool, (heard.ids, heard.untested, heard.withheld))) == 1


def test_a_question_in_people_s_words_has_the_answer_of_the_same_question_in_ours():
    ours = stillroom.find("snap beans", pack="raw", jar="quart", altitude="1650 ft", canner="dial")
    theirs = stillroom.find(
        "snap beans", pack="cold pack", jar="32 oz mason jar", altitude="elevation 1,650 ft", canner="dial gauge"
    )
    assert theirs._replace(understood=()) == ours
    assert [(said.what, said.said, said.means, said.how) for said in theirs.understood] == [
        ("pack", "cold pack", "raw pack", "words"),
        ("jar", "32 oz mason jar", "quart jar", "words"),
        ("canner", "dial gauge", "dial-gauge pressure canner", "words"),
        ("altitude", "elevation 1,650 ft", "1,650 ft", "words"),
    ]


def test_a_recipe_in_people_s_words_is_the_same_recipe():
    ours = stillroom.recipe("peaches", jars=7, jar="quart", pack="hot")
    assert stillroom.recipe("peaches", jars=7, jar="32 oz", pack="hot packed") == ours
    with pytest.raises(stillroom.NoTestedSchedule):
        stillroom.recipe("peaches", jars=7, jar="1 liter")


def test_every_entry_that_a_word_leads_to_can_be_said():
    shelf = Shelf(Package())
    for row in (*JAR_WORDS, *CANNER_WORDS):
        if row["withheld"]:
            error = shelf.words.refused(Heard((), row["word"], "", row["withheld"]), shelf.cite)
            assert error.code in ("withheld", "no-process")
            assert error.source is not None

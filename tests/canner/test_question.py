"""A home canner's questions: what is understood, what is refused, and in which words."""

from __future__ import annotations

import pickle

import pytest

import stillroom
from stillroom.answers.answer import NoTestedSchedule, UnknownFood
from stillroom.errors import BadInput, StillroomError

BEANS = {"food": "snap beans", "pack": "raw", "jar": "quart", "altitude": "1650 ft", "canner": "dial"}


def ask(**changed):
    return stillroom.find(**{**BEANS, **changed})


def refusal(**changed) -> NoTestedSchedule:
    with pytest.raises(NoTestedSchedule) as caught:
        ask(**changed)
    return caught.value


@pytest.mark.parametrize(
    "written",
    [
        "1650 ft",
        "1,650 ft",
        "1650ft",
        " 1650  feet ",
        "1650 FT",
        "1650.0 ft",
        "503 m",
        "502.92 metres",
        "1650'",
        "+1650 ft",
        "1650\u00a0ft",
        "1650 ft.",
    ],
)
def test_altitudes_are_understood_as_people_write_them(written):
    assert ask(altitude=written).options[0].pressure_psi == 11


@pytest.mark.parametrize(
    ("altitude", "psi"),
    [
        ("2000 ft", 11), ("2000.0 ft", 11), ("2000.5 ft", 12), ("2000.000000001 ft", 12), ("2001 ft", 12),
        ("609.6 m", 11),
        ("609.6001 m", 12), ("610 m", 12), ("8000 ft", 14), ("2438.4 m", 14), ("-100 ft", 11), ("\u2212100 ft", 11),
        ("0 ft", 11), ("-0 m", 11), ("4000 ft", 12), ("4000.1 ft", 13), ("6001 ft", 14),
    ],
)  # fmt: skip
def test_a_band_ends_at_its_upper_limit_and_the_next_begins_just_above(altitude, psi):
    assert ask(altitude=altitude).options[0].pressure_psi == psi


@pytest.mark.parametrize(
    ("altitude", "said"),
    [
        ("1650", 'altitude "1650" has no unit: write "1650 ft" or "1650 m"'),
        (1650, 'altitude 1650 has no unit: write "1650 ft" or "1650 m"'),
        (1650.5, 'altitude 1650.5 has no unit: write "1650.5 ft" or "1650.5 m"'),
        ("tall", 'altitude "tall" is not a number with a unit'),
        ("NaN ft", 'altitude "NaN ft" is not a number with a unit'),
        ("inf ft", 'altitude "inf ft" is not a number with a unit'),
        ("1e3 ft", 'altitude "1e3 ft" is not a number with a unit'),
        ("", "altitude is empty"),
        ("   ", "altitude is empty"),
        ("1650 miles", 'altitude "1650 miles" is 8,712,000 ft, where there is no ground'),
        ("1650 yards", 'altitude "1650 yards" is in a unit other than feet, meters, kilometers or miles'),
        ("1,65 ft", 'altitude "1,65 ft" is not a number with a unit'),
        ("503,5 m", 'altitude "503,5 m" is not a number with a unit'),
        ("1650 ft 3 m", "is not a number with a unit"),
        ("٣٠٠ ft", "is not a number with a unit"),
        ("16500 m", "where there is no ground"),
        ("-9000 ft", "where there is no ground"),
        ("9" * 500 + " ft", "is not a number with a unit"),
        ([1650], "altitude [1650] is neither text nor a quantity"),
        (True, "altitude True is neither text nor a quantity"),
        (float("nan"), "altitude nan has no unit"),
    ],
)
def test_an_altitude_that_says_too_little_is_refused_in_one_line(altitude, said):
    with pytest.raises(BadInput) as caught:
        ask(altitude=altitude)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 240


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"jar": "tall"}, 'jar "tall" is not one of'),
        ({"jar": "-1"}, 'jar "-1" is not one of'),
        ({"jar": ""}, 'jar "" is not one of'),
        ({"jar": 1}, "jar 1 is not one of"),
        ({"altitude": None}, 'Snap and Italian beans: say the altitude, like "1650 ft" or "503 m"'),
        ({"canner": "grill"}, 'canner "grill" is not one of boiling-water, dial, steam or weighted'),
        ({"pack": "frozen"}, 'pack "frozen" is not one of hot or raw'),
        ({"pack": ""}, 'pack "" is not one of hot or raw'),
        ({"food": ""}, 'food "" is empty'),
        ({"food": "!!!"}, 'food "!!!" is empty'),
        ({"food": 7}, "food 7 is not text"),
        ({"form": "whole"}, "the publication separates no forms of snap-beans"),
        ({"food": "chicken", "form": "feathered"}, 'form "feathered" is not one of with-bones or without-bones'),
        ({"food": "boneless chicken", "form": "with bones"}, "contradicts the name"),
    ],
)
def test_a_word_that_means_nothing_names_itself_and_what_is_accepted(changed, said):
    with pytest.raises(BadInput) as caught:
        ask(**changed)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"food": "snpa beans"}, "unknown-food"),
        ({"food": "pumpkin puree"}, "withheld"),
        ({"food": "wild mushrooms"}, "withheld"),
        ({"canner": "boiling-water"}, "method-unsafe"),
        ({"jar": "half-gallon"}, "jar-not-tested"),
        ({"food": "pears", "pack": "raw", "canner": "boiling-water"}, "pack-not-tested"),
        ({"food": "crab", "jar": "pint", "pack": "hot"}, "pack-not-tested"),
        ({"altitude": "8001 ft"}, "altitude-not-tested"),
        ({"altitude": "2438.5 m"}, "altitude-not-tested"),
        ({"food": "apple butter", "pack": "hot"}, "canner-not-tested"),
    ],
)
def test_each_refusal_has_its_code_and_a_plain_sentence(changed, code):
    error = refusal(**changed)
    assert error.code == code
    assert error.reason
    assert "\n" not in error.reason
    assert str(error) == (f"{error.reason} Snap and Italian beans" if code == "unknown-food" else error.reason)
    if code not in ("unknown-food", "withheld"):
        assert error.tested
        assert all(tested.differs for tested in error.tested)


def test_low_acid_food_in_boiling_water_is_refused_with_the_page_that_says_so(foods):
    low = [food for food, row in foods.items() if row["acidity"] == "low-acid"]
    assert len(low) > 35
    for food in low:
        error = refusal(food=food, canner="boiling-water", pack="hot")
        assert (error.code, error.source.page) == ("method-unsafe", "1-8")
        assert {tested.canner for tested in error.tested} <= {"dial", "weighted"}


def test_not_recommended_cells_are_never_answered_and_say_so_alone(tmp_path):
    """Page 3-6: the 10-minute line at 15 psi is printed as not recommended above 1,000 ft."""
    above = stillroom.find("tomato juice", pack="hot", jar="pint", altitude="1001 ft", canner="weighted")
    below = stillroom.find("tomato juice", pack="hot", jar="pint", altitude="1000 ft", canner="weighted")
    assert [(o.minutes, o.pressure_psi) for o in below.options] == [(20, 5), (15, 10), (10, 15)]
    assert [(o.minutes, o.pressure_psi) for o in above.options] == [(20, 10), (15, 15)]


def test_a_combination_printed_only_as_not_recommended_is_refused_with_its_page(tmp_path):
    import shutil

    from stillroom.answers.lookup import Lookup
    from stillroom.answers.question import Question
    from stillroom.answers.shelf import Shelf
    from stillroom.package.package import Package
    from tests.conftest import ROOT

    for part in ("schedules", "shared"):
        shutil.copytree(ROOT / part, tmp_path / part)
    path = tmp_path / "schedules/tomatoes.csv"
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [
        line
        for line in lines
        if not line.startswith("tomato-juice,,hot,pint,pressure,weighted,1001") or "not-rec" in line
    ]
    assert len(kept) == len(lines) - 2
    path.write_text("".join(kept), encoding="utf-8")
    with pytest.raises(NoTestedSchedule) as caught:
        Lookup(Shelf(Package(str(tmp_path)))).find(Question("tomato juice", "pint", "2000 ft", "weighted", "hot"))
    assert (caught.value.code, caught.value.source.page) == ("not-recommended", "3-6")
    assert ("altitude: 0 to 1,000 ft instead of 2,000 ft",) in [tested.differs for tested in caught.value.tested]


@pytest.mark.parametrize(
    ("name", "food"),
    [
        ("green beans", "snap-beans"),
        ("String Beans", "snap-beans"),
        ("SNAP-BEANS", "snap-beans"),
        ("dried beans", "dried-beans-or-peas"),
        ("Pickled Jalape\u00f1o Rings", "pickled-jalapeno-rings"),
        ("pickled jalapeno rings", "pickled-jalapeno-rings"),
        ("Peaches, halved or sliced", "peaches"),
        ("catsup", "tomato-ketchup"),
        ("salmon", "fish"),
        ("venison chunks", "meat-strips-cubes-or-chunks"),
    ],
)
def test_foods_go_by_id_title_and_the_words_people_use(name, food):
    assert stillroom.shelf().names.meaning(name).food == food


def test_a_misspelling_gets_suggestions_and_never_an_answer():
    error = refusal(food="asparagas")
    assert isinstance(error, UnknownFood)
    assert error.suggestions[0] == "Asparagus"
    assert refusal(food="xyzzy").suggestions == ()


def test_a_word_for_two_foods_has_the_answers_of_both():
    """Page 4-11 and 4-12: cream style in pints, hot, 85 minutes; whole kernel 55."""
    with pytest.raises(stillroom.SayWhich) as caught:
        ask(food="corn", pack="hot", jar="pint")
    assert caught.value.choices == ("Corn, cream style", "Corn, whole kernel")
    assert [(a.food, a.options[0].minutes) for a in caught.value.answers] == [
        ("cream-style-corn", 85), ("whole-kernel-corn", 55),
    ]  # fmt: skip


def test_a_word_of_many_foods_lists_them():
    error = refusal(food="juice")
    assert {"Apple juice", "Grape juice", "Tomato juice"} <= set(error.suggestions)
    assert "may mean several foods" in error.reason


@pytest.mark.parametrize(
    ("food", "owner", "pack", "page"),
    [
        ("nectarines", "peaches", "raw", "2-19"),
        ("apricots", "peaches", "hot", "2-9"),
        ("tomatillos", "tomatoes in water", "hot", "3-13"),
        ("blender ketchup", "tomato ketchup", "hot", "3-19"),
        ("winter squash", "pumpkin", "hot", "4-20"),
    ],
)
def test_a_food_sent_to_another_process_takes_its_rows_and_says_from_which_page(food, owner, pack, page):
    canner = "dial" if owner == "pumpkin" else "boiling-water"
    asked = {"pack": pack, "jar": "pint", "altitude": "3000 ft", "canner": canner}
    mine, theirs = stillroom.find(food, **asked), stillroom.find(owner, **asked)
    assert [(o.minutes, o.pressure_psi, o.page) for o in mine.options] == [
        (o.minutes, o.pressure_psi, o.page) for o in theirs.options
    ]
    assert (mine.follows.page, theirs.follows) == (page, None)


def test_a_relation_that_names_a_pack_carries_no_other():
    """Page 3-13: tomatillos take the hot-pack process of whole tomatoes in water; raw pack exists there, not here."""
    assert ask(food="tomatoes in water", canner="boiling-water").options
    assert refusal(food="tomatillos", canner="boiling-water").code == "pack-not-tested"


def test_rules_carry_a_time_to_another_jar_only_as_the_publication_says():
    """Pages 1-23 (half-pint as pint, pint-and-a-half as quart) and 5-10 (12-ounce jars of fish as pints)."""
    for jar, printed in (("half-pint", "pint"), ("pint-and-half", "quart")):
        mine, theirs = ask(jar=jar).options, ask(jar=printed).options
        assert [o[:4] for o in mine] == [o[:4] for o in theirs]
        assert mine[0].by_rule.page == "1-23"
        assert theirs[0].by_rule is None
    assert ask(food="fish", jar="12-ounce").options[0].by_rule.page == "5-10"
    assert refusal(jar="12-ounce").code == "jar-not-tested"
    clams = [
        stillroom.find("clams", pack="hot", jar=jar, altitude="0 ft", canner="dial").options[0]
        for jar in ("half-pint", "pint")
    ]
    assert [(o.minutes, o.by_rule) for o in clams] == [(60, None), (70, None)]  # page 5-9 prints both


def test_forms_have_their_own_times():
    """Page 5-5 (chicken) and the footnote of page 4-19 (soup with seafood takes 100 minutes)."""
    asked = {"pack": "hot", "jar": "pint", "altitude": "0 ft", "canner": "dial"}
    for food, form, minutes in (
        ("chicken", "with bones", 65), ("chicken", "without-bones", 75), ("boneless chicken", None, 75),
        ("soup", "without seafood", 60), ("soup", "with seafood", 100), ("seafood soup", None, 100),
    ):  # fmt: skip
        assert stillroom.find(food, form=form, **asked).options[0].minutes == minutes


def test_acid_stands_among_the_requirements_of_acidified_foods(foods):
    """Page 3-5: 1 tablespoon of bottled lemon juice or 1/4 teaspoon of citric acid per pint."""
    told = ask(food="tomatoes crushed", pack="hot", jar="pint", canner="boiling-water").options[0].requires[0]
    assert (
        str(told)
        == "Acid in each pint jar: 1 tablespoon of bottled lemon juice or 1/4 teaspoon of citric acid (page 3-5)."
    )
    for food, row in foods.items():
        if row["acidity"] == "acidified":
            chart = stillroom.shelf().chart_of(food)
            for form, pack, jar, canner in chart:
                options = stillroom.find(
                    food, pack=pack or None, form=form or None, jar=jar, altitude="0 ft", canner=canner
                ).options
                assert any("cid" in stated.text for stated in options[0].requires), (food, jar)


def test_headspace_tells_varieties_apart_where_the_publication_does():
    """Page 4-7: raw-packed lima beans in quarts, 1-1/2 inch for small beans and 1-1/4 for large."""
    quart = ask(food="lima-beans", jar="quart").options[0]
    assert quart.headspace_in is None
    assert {row.variety: row.inches for row in quart.headspace} == {"small beans": 1.5, "large beans": 1.25}
    assert ask(food="lima-beans", jar="pint").options[0].headspace_in == 1.0
    assert ask(food="apricots", jar="pint", canner="boiling-water").options[0].headspace_in == 0.5


def test_every_answer_ends_with_the_standing_caution():
    assert "when in doubt, throw it out" in ask().options[0].cautions[-1].text


def test_errors_are_one_family_and_survive_being_sent_between_processes():
    for error in (refusal(jar="half-gallon"), refusal(food="juice")):
        again = pickle.loads(pickle.dumps(error))
        assert (type(again), again.code, again.reason, again.tested) == (
            type(error),
            error.code,
            error.reason,
            error.tested,
        )
        assert isinstance(error, (StillroomError, LookupError))
    assert issubclass(BadInput, StillroomError)
    assert not issubclass(BadInput, NoTestedSchedule)

"""Altitudes in anyone's words: what is read, what is said back, and what is never guessed."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stillroom.answers.altitude import HIGHEST_FT, LOWEST_FT, Height, in_feet, read
from stillroom.errors import BadInput
from tests.trials import trials

METERS_IN_A_FOOT = Fraction("0.3048")
"""NIST Special Publication 811 (2008), appendix B.8: exact."""
FEET_IN_A_MILE = 5_280
"""NIST Handbook 44, appendix C."""


@pytest.mark.parametrize(
    "written",
    [
        "1650 ft", "1650ft", "1,650 ft", "1650 feet", "1650 FT.", "1650 foot", "1650'", "1650\u2032", "1650\u2019",
        "+1650 ft", " 1650  ft ", "1650.0 ft", "\uff11\uff16\uff15\uff10 ft", "1650\u00a0ft", "1650\u202fft",
    ],
)  # fmt: skip
def test_plain_feet_are_read_and_need_no_saying_back(written):
    assert read(written) == Height(1650.0, "")


@pytest.mark.parametrize(
    "written",
    [
        "1 650 ft", "1\u2009650 ft", "1\u202f650 ft", "1\u00a0650 ft", "1,650 ft above sea level", "1650 ft asl",
        "1650 ft above mean sea level", "1650 ft elevation", "1650 feet of altitude", "elevation 1650 ft",
        "Elevation: 1,650 ft", "altitude is 1650 ft", "at an elevation of 1650 ft",
    ],
)  # fmt: skip
def test_more_words_around_the_figure_are_said_back(written):
    height = read(written)
    assert height.feet == 1650
    assert height.said.split() == written.split()


@pytest.mark.parametrize(
    ("written", "feet"),
    [
        ("sea level", 0),
        ("at sea level", 0),
        ("Sea-Level", 0),
        ("at the sea level", 0),
        ("below sea level", 0),
        ("200 ft below sea level", -200),
        ("0 ft below sea level", 0),
        ("0.5 mile", 2_640),
        ("1 mile", 5_280),
        ("1.25 miles", 6_600),
        ("0.3048 km", 1_000),
        (".3048 km", 1_000),
        ("1650' 6\"", 1650.5),
        ("1650\u2032 6\u2033", 1650.5),
    ],
)
def test_other_measures_are_converted_exactly_and_said_back(written, feet):
    """A mile is 5,280 ft (NIST Handbook 44, appendix C); a foot is 0.3048 m (NIST SP 811, appendix B.8)."""
    assert read(written) == Height(feet, written)


@pytest.mark.parametrize("written", ["304.8 m", "304.80 meters", "0.3048 km", "1,000 ft", "1000'"])
def test_a_height_at_the_edge_of_a_band_is_not_a_hair_above_it(written):
    assert in_feet(written) == 1_000


def test_a_kilometer_figure_that_begins_with_nothing_has_no_thousands_to_be_mistaken_for():
    """The near miss: the same digits in meters, or after another figure, stay refused."""
    assert in_feet("0.503 km") == in_feet(".503 km") == in_feet("503 m")
    for written in ("0.503 m", "1.503 km", "1.650 mi", "1,650.250 ft", ".650 ft"):
        with pytest.raises(BadInput, match="has a dot before three digits"):
            read(written)


@pytest.mark.parametrize(
    ("written", "wrong"),
    [
        ("1.650 ft", 'thousands or for a fraction: write "1650 ft" or "1.65 ft"'),
        ("1.650 km", 'thousands or for a fraction: write "1.65 km"'),
        ("1650", 'has no unit: write "1650 ft" or "1650 m"'),
        ("1 650", "has no unit"),
        ("about 1650 ft", "is a guess, and an altitude band may end beside it"),
        ("~1650 ft", "is a guess"),
        ("1650 ft or around it", "is a guess"),
        ("above 1000 ft", "is a range and not one height"),
        ("over 1,000 ft", "is a range"),
        ("under a mile", "is a range"),
        ("1000-2000 ft", "is a range"),
        ("1000\u20132000 ft", "is a range"),
        ("1,000 to 2,000 ft", "is a range"),
        (">1000 ft", "is a range"),
        ("between 1000 and 2000 ft", "is a range"),
        ("at the coast", "is not a number with a unit"),
        ("my house", "is not a number with a unit"),
        ("a mile", "is not a number with a unit"),
        ("mile high", "is not a number with a unit"),
        ("0,5 km", "is not a number with a unit"),
        ("0,650 m", "is not a number with a unit"),
        ("16 50 ft", "is not a number with a unit"),
        ("1,65 ft", "is not a number with a unit"),
        ("-200 ft below sea level", "is not a number with a unit"),
        ("-200 ft above sea level", "is not a number with a unit"),
        ("1650' 12\"", "is not a number with a unit"),
        ('503 m 6"', "is not a number with a unit"),
        ("1650 ft ft", "is not a number with a unit"),
        ("\u0661\u0666\u0665\u0660 ft", "is not a number with a unit"),
        ("1650 yards", "is in a unit other than"),
        ("9 miles", "where there is no ground"),
        ("99999 ft", "where there is no ground"),
        ("1650 ft" + " " * 60 + "or so", "is not a number with a unit"),
    ],
)
def test_a_guess_a_range_a_place_and_a_slip_are_refused_in_one_line(written, wrong):
    with pytest.raises(BadInput) as caught:
        read(written)
    assert wrong in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("written", ["a place", "about 1650 ft", "over 1000 ft"])
def test_whoever_does_not_know_the_height_is_told_where_it_is_told(written):
    with pytest.raises(BadInput, match=r"topographic maps, .* extension office tell the height of a place"):
        read(written)


@settings(max_examples=trials(400), deadline=None)
@given(st.integers(0, HIGHEST_FT), st.sampled_from(["{} ft", "{:,} ft", "{:,} feet above sea level", "elevation {}'"]))
def test_every_whole_foot_is_read_as_itself(feet, written):
    assert in_feet(written.format(feet)) == feet


@settings(max_examples=trials(400), deadline=None)
@given(st.integers(0, 91_000), st.sampled_from([" m", " meters", "m"]))
def test_tenths_of_meters_and_the_same_in_kilometers_agree_with_the_exact_fraction(tenths, unit):
    exact = Fraction(tenths, 10) / METERS_IN_A_FOOT
    assert in_feet(f"{tenths // 10}.{tenths % 10}{unit}") == float(exact)
    assert in_feet(f"{tenths // 10_000}.{tenths % 10_000:04d} km") == float(exact)


@settings(max_examples=trials(400), deadline=None)
@given(st.integers(0, 56_000))
def test_miles_agree_with_the_exact_fraction(ten_thousandths):
    exact = Fraction(ten_thousandths, 10_000) * FEET_IN_A_MILE
    assert in_feet(f"{ten_thousandths // 10_000}.{ten_thousandths % 10_000:04d} mi") == float(exact)


@settings(max_examples=trials(1_000), deadline=None)
@given(
    st.text(max_size=80)
    | st.from_regex(r"[-+~]?[0-9 .,']{0,8} ?(ft|m|km|mi|'|sea level)?( below| above)?", fullmatch=True)
)
def test_any_text_is_read_or_refused_in_one_printable_line(text):
    try:
        height, wrong = read(text), ""
    except BadInput as refused:
        height, wrong = Height(0.0, ""), str(refused)
    assert wrong.isprintable()
    assert wrong or any(c.isdigit() for c in text) or "sea" in text.casefold()
    assert LOWEST_FT <= height.feet <= HIGHEST_FT
    assert height.said.isprintable()

"""The worked examples that the publication itself prints.

Source: USDA, Complete Guide to Home Canning, AIB 539, revised 2015, pages 1-23 and 1-24.
"""

from __future__ import annotations

import pytest

import stillroom

PEACHES = {"food": "peaches", "pack": "hot", "jar": "quart", "altitude": "2500 ft"}


@pytest.mark.parametrize(
    ("canner", "minutes", "pressure_psi", "example"),
    [
        ("boiling-water", 30, None, "A, page 1-23"),
        ("dial", 10, 7, "B, page 1-24"),
        ("weighted", 10, 10, "C, page 1-24"),
    ],
)
def test_worked_example_is_answered_as_printed(canner, minutes, pressure_psi, example):
    answer = stillroom.find(**PEACHES, canner=canner)
    assert [(o.minutes, o.pressure_psi) for o in answer.options] == [(minutes, pressure_psi)], example


def test_every_cell_of_the_example_tables_is_answered():
    """Tables for examples A, B and C, pages 1-23 and 1-24: all their cells."""
    boiling = {("hot", "pint"): (20, 25, 30, 35), ("hot", "quart"): (25, 30, 35, 40),
               ("raw", "pint"): (25, 30, 35, 40), ("raw", "quart"): (30, 35, 40, 45)}  # fmt: skip
    for (pack, jar), times in boiling.items():
        for altitude, minutes in zip((500, 2500, 5000, 7000), times, strict=True):
            answer = stillroom.find("peaches", pack=pack, jar=jar, altitude=f"{altitude} ft", canner="boiling-water")
            assert answer.options[0].minutes == minutes
        for altitude, psi in zip((1000, 3000, 5000, 7000), (6, 7, 8, 9), strict=True):
            option = stillroom.find("peaches", pack=pack, jar=jar, altitude=f"{altitude} ft", canner="dial").options[0]
            assert (option.minutes, option.pressure_psi) == (10, psi)
        for altitude, psi in zip((1000, 1001), (5, 10), strict=True):
            option = stillroom.find(
                "peaches", pack=pack, jar=jar, altitude=f"{altitude} ft", canner="weighted"
            ).options[0]
            assert (option.minutes, option.pressure_psi) == (10, psi)


def test_baby_food_table_of_page_1_31_is_answered_for_pints_and_by_rule_for_half_pints():
    for altitude, minutes in ((1000, 20), (1001, 25), (6000, 25), (6001, 30)):
        for jar in ("pint", "half-pint"):
            asked = {"jar": jar, "altitude": f"{altitude} ft", "canner": "boiling-water"}
            option = stillroom.find("fruit-based baby foods", pack="hot", **asked).options[0]
            assert (option.minutes, option.page) == (minutes, "1-31")
            assert (option.by_rule is not None) is (jar == "half-pint")


def test_answer_cites_the_publication_with_its_printed_page():
    option = stillroom.find("snap beans", pack="raw", jar="quart", altitude="1650 ft", canner="dial").options[0]
    assert (option.minutes, option.pressure_psi, option.page) == (25, 11, "4-9")
    assert option.source.cite() == (
        "USDA, Complete Guide to Home Canning, Agriculture Information Bulletin No. 539, revised 2015, page 4-9"
    )

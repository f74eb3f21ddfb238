"""The gauge (page 1-20): adjusted up to 2 psi, left alone where it reads low, tested every year."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import stillroom
from stillroom.day import gauge
from stillroom.errors import BadInput


def snap_beans(canner: str = "dial") -> Any:
    return stillroom.find("snap beans", pack="raw", jar="quart", altitude="1650 ft", canner=canner).options[0]


@pytest.mark.parametrize(
    ("off", "must_show"),
    [
        ("0.5 psi", 11.5),
        ("0 psi", 11),
        ("0.3 psi", 11.3),
        ("0.1 psi", 11.1),
        ("2 psi", 13),
        ("+1 psi", 12),
        ("1/2 psi", 11.5),
        (".5 lb", 11.5),
        ("-1 psi", 11),
        ("-2 psi", 11),
        ("\u22122 psi", 11),
    ],
)
def test_the_dial_shows_the_printed_11_psi_plus_what_the_gauge_reads_high(off: str, must_show: float) -> None:
    # Snap beans, raw, quarts, 0-2,000 ft: 11 psi (page 4-9). A low reading needs no change (page 1-20).
    assert stillroom.reading_for(snap_beans(), off) == must_show


@given(st.decimals(min_value=0, max_value=2, places=3))
def test_the_sum_is_exact_to_the_last_digit(off: Any) -> None:
    shown = repr(stillroom.reading_for(snap_beans(), f"{off} psi"))
    assert Fraction(shown) == 11 + Fraction(str(off))


def test_kilopascal_are_turned_into_psi_and_shown_rounded_up() -> None:
    # 6.894757 kPa to the psi (NIST Special Publication 811, appendix B.8).
    assert stillroom.reading_for(snap_beans(), "6.894757 kPa") == pytest.approx(12, abs=1e-6)
    assert gauge.shown(stillroom.reading_for(snap_beans(), "1 kPa")) == "11.15"


def test_a_pint_quantity_is_read_and_a_length_is_not() -> None:
    import pint

    units = pint.UnitRegistry()
    assert stillroom.reading_for(snap_beans(), units.Quantity(0.3, "psi")) == 11.3
    with pytest.raises(BadInput, match="is not a pressure"):
        stillroom.reading_for(snap_beans(), units.Quantity(1, "ft"))
    with pytest.raises(BadInput, match="is not a number"):
        stillroom.reading_for(snap_beans(), units.Quantity(float("nan"), "psi"))


@pytest.mark.parametrize(
    ("off", "way"), [("2.01 psi", "high"), ("-2.01 psi", "low"), ("3 psi", "high"), ("14 kPa", "high")]
)
def test_a_gauge_more_than_2_psi_off_either_way_is_to_be_replaced(off: str, way: str) -> None:
    with pytest.raises(BadInput, match=rf"psi {way} is more than 2 psi off: replace the gauge \(page 1-20\)"):
        stillroom.reading_for(snap_beans(), off)


@pytest.mark.parametrize("bare", [0.5, 1, "0.5", "-1", "+.5"])
def test_a_bare_number_is_an_error_that_says_so(bare: Any) -> None:
    with pytest.raises(BadInput, match="has no unit: write"):
        stillroom.reading_for(snap_beans(), bare)


@pytest.mark.parametrize(
    "bad",
    [
        "",
        "  ",
        "psi",
        "half psi",
        "1 bar",
        "1/0 psi",
        "0x1 psi",
        "1e1 psi",
        "nan psi",
        None,
        True,
        [],
        "\uff11 psi",
        "9" * 500,
    ],
)
def test_what_is_no_pressure_is_bad_input_in_one_line(bad: Any) -> None:
    with pytest.raises(BadInput) as caught:
        stillroom.reading_for(snap_beans(), bad)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 200


def test_boiling_water_has_no_gauge() -> None:
    peaches = stillroom.find("peaches", pack="hot", jar="quart", altitude="500 ft", canner="boiling-water")
    with pytest.raises(BadInput, match="boiling water"):
        stillroom.reading_for(peaches.options[0], "0.5 psi")


def test_a_weight_in_place_of_the_dial_means_the_weighted_table() -> None:
    with pytest.raises(BadInput, match="a weight in place of the dial takes the weighted table"):
        stillroom.reading_for(snap_beans("weighted"), "0.5 psi")


def test_every_pressure_row_is_told_apart_as_dial_or_weighted() -> None:
    shelf = stillroom.shelf()
    seen = 0
    for food in ("snap-beans", "tomatoes-crushed", "peaches", "fish", "chicken-or-rabbit"):
        for at in shelf.chart_of(food):
            if at.canner == "boiling-water":
                continue
            answer = stillroom.find(
                food, jar=at.jar, altitude="500 ft", canner=at.canner, pack=at.pack or None, form=at.form or None
            )
            for option in answer.options:
                assert gauge.is_weighted(option, shelf) == (at.canner == "weighted")
                seen += 1
    assert seen > 30


@pytest.mark.parametrize(
    ("tested", "late"),
    [
        ("2025-06-01", False),
        ("2025-05-31", True),
        ("2026-06-01", False),
        ("2020-02-29", True),
        (datetime.date(2025, 7, 1), False),
    ],
)
def test_a_gauge_tested_over_a_year_ago_is_a_finding(tested: Any, late: bool) -> None:
    found = gauge.overdue(tested, datetime.date(2026, 6, 1), stillroom.shelf())
    assert (found is not None) == late
    assert found is None or found.page == "1-20"


def test_a_year_from_a_leap_day_ends_with_february() -> None:
    shelf = stillroom.shelf()
    assert gauge.overdue("2024-02-29", datetime.date(2025, 2, 28), shelf) is None
    assert gauge.overdue("2024-02-29", datetime.date(2025, 3, 1), shelf) is not None


@pytest.mark.parametrize("bad", ["2027-01-01", "last June", "", 5, "2026-02-30"])
def test_a_test_in_the_future_or_without_a_date_is_bad_input(bad: Any) -> None:
    with pytest.raises(BadInput, match="gauge test"):
        gauge.overdue(bad, datetime.date(2026, 6, 1), stillroom.shelf())


def plan(**said: Any) -> Any:
    return stillroom.plan("snap beans", jars=7, pack="raw", jar="quart", altitude="1650 ft", canner="dial", **said)


def overdue(plan: Any) -> list[str]:
    return [str(caution) for caution in plan.cautions if "more than a year ago" in caution.text]


@pytest.mark.parametrize(
    "day",
    [
        "2026-06-01",
        datetime.date(2026, 6, 1),
        datetime.datetime(2026, 6, 1, 23, 59),
        datetime.datetime(2026, 6, 1, 0, 30, tzinfo=datetime.timezone(datetime.timedelta(hours=9))),
    ],
)
def test_a_day_is_text_a_date_or_a_moment(day: Any) -> None:
    # Tested on the day itself is no year ago, tested a year and a day ago is (page 1-20: test every year).
    assert overdue(plan(gauge_tested=day, on=day)) == []
    assert overdue(plan(gauge_tested=day, on="2027-06-01")) == []
    assert len(overdue(plan(gauge_tested=day, on="2027-06-02"))) == 1
    assert len(overdue(plan(gauge_tested="2025-05-31", on=day))) == 1
    with pytest.raises(BadInput, match="after"):
        plan(gauge_tested="2026-06-02", on=day)


@pytest.mark.parametrize(
    "day", [20260601, "20260601", "2026-W23-1", "2026-02-30", "June", "", True, False, 0, 1.5, [], datetime.time(8)]
)
def test_what_is_no_day_is_bad_input_wherever_it_stands(day: Any) -> None:
    with pytest.raises(BadInput, match="is not a date"):
        plan(gauge_tested=day, on="2026-06-01")
    with pytest.raises(BadInput, match="is not a date"):
        plan(gauge_tested="2026-05-01", on=day)
    with pytest.raises(BadInput, match="is not a date"):
        plan(on=day)

"""Canning days: worked by hand from the pages named beside each check."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import stillroom
from stillroom.answers.answer import NoTestedSchedule
from stillroom.day import clock, loads
from stillroom.errors import BadInput
from tests.trials import trials

BEANS: dict[str, Any] = {"jar": "pint", "pack": "hot", "altitude": "1650 ft", "canner": "dial"}
PEACHES: dict[str, Any] = {"jar": "quart", "pack": "hot", "altitude": "500 ft"}


def spans(plan: Any, load: int = 0) -> dict[str, tuple[int, int]]:
    return {step.id: tuple(step.lasts) for step in plan.loads[load].steps}


def test_forty_pints_in_a_canner_of_eighteen_are_two_full_loads_and_a_part_load() -> None:
    plan = stillroom.plan("snap beans", jars=40, holds=18, **BEANS)
    assert [(load.jars, load.layers, load.part) for load in plan.loads] == [
        (18, 2, False),
        (18, 2, False),
        (4, 1, True),
    ]


def test_the_clock_of_snap_beans_follows_the_pages() -> None:
    # 1-17 heating and cooling, 1-20 venting, 1-22 coming up and waiting, 4-9 the process: 20 min at 11 psi.
    plan = stillroom.plan("snap beans", jars=18, holds=18, **BEANS)
    assert spans(plan) == {
        "heat": (12, 15), "vent": (10, 10), "come-up": (3, 5), "process": (20, 20), "cool": (20, 60), "wait": (10, 10),
    }  # fmt: skip
    assert [step.page for step in plan.loads[0].steps] == ["1-17", "1-20", "1-22", "4-9", "1-17", "1-22"]
    assert tuple(plan.lasts) == (75, 120)
    assert plan.loads[0].steps[3].begins == (25, 30)


def test_the_rules_add_up_to_the_55_to_100_minutes_printed_on_page_1_17() -> None:
    # 12-15 heating, 10 venting, 5 to pressurize, 8-10 for an acid food, 20-60 cooling.
    rules = stillroom.shelf().rules
    parts = [
        clock.Span(*map(int, rules.figures(name))) for name in ("heat-to-vent", "vent-time", "pressurize", "cool-down")
    ]
    assert clock.total([*parts, clock.Span(8, 10)]) == (55, 100)


def test_peaches_under_pressure_stay_within_that_sum_but_for_the_wait_of_page_1_22() -> None:
    plan = stillroom.plan("peaches", jars=7, canner="dial", **PEACHES)
    lasts = plan.loads[0].lasts
    assert (lasts.from_min - 10, lasts.to_min - 10) == (55, 100)


def test_peaches_in_boiling_water_take_heating_process_and_the_wait_of_5_minutes() -> None:
    # 20-30 to a boil (1-17), 30 min at 2,500 ft (worked example A, 1-23), 5 (1-18).
    plan = stillroom.plan("peaches", jars=7, jar="quart", pack="hot", altitude="2500 ft", canner="boiling-water")
    assert spans(plan) == {"heat": (20, 30), "process": (30, 30), "wait": (5, 5)}
    assert plan.water[0].text.startswith("At least 1 inch")
    assert plan.practice == ()
    assert plan.dial_psi is None


def test_more_than_30_minutes_of_boiling_take_2_inches_of_water() -> None:
    # 1-18; 35 min at 3,001-6,000 ft against 30 at 2,500 ft.
    plan = stillroom.plan("peaches", jars=7, jar="quart", pack="hot", altitude="5000 ft", canner="boiling-water")
    assert plan.option.minutes == 35
    assert plan.water[0].text.startswith("At least 2 inches")
    assert plan.water[0].page == "1-18"


def test_fish_in_quarts_starts_with_3_quarts_of_water_and_20_minutes_of_heating() -> None:
    # Page 5-12: 3 quarts, 20 minutes on high, then 10 of venting: never under 30 in total.
    plan = stillroom.plan("fish", jars=7, jar="quart", pack="raw", altitude="500 ft", canner="dial")
    assert [(stated.text, stated.page) for stated in plan.water] == [("3 quarts of water in the canner.", "5-12")]
    assert spans(plan)["heat"] == (20, 20)
    assert plan.loads[0].steps[0].page == "5-12"
    assert spans(plan)["heat"][0] + spans(plan)["vent"][0] >= 30
    assert any("may be longer" in stated.text and stated.page == "5-12" for stated in plan.cautions)


def test_fish_in_pints_starts_like_everything_else() -> None:
    plan = stillroom.plan("fish", jars=7, jar="pint", pack="raw", altitude="500 ft", canner="dial")
    assert plan.water[0].text.startswith("2 to 3 inches")
    assert spans(plan)["heat"] == (12, 15)
    assert not any("may be longer" in stated.text for stated in plan.cautions)


def test_smoked_fish_starts_with_4_quarts_of_cool_water() -> None:
    plan = stillroom.plan("smoked fish", jars=7, jar="pint", altitude="500 ft", canner="dial")
    assert [(stated.text.split(":")[0], stated.page) for stated in plan.water] == [
        ("4 quarts of cool tap water in the canner", "5-13")
    ]


def test_of_equal_options_the_first_printed_is_planned_and_the_others_are_named() -> None:
    # Crushed tomatoes, 4,001-6,000 ft, dial: 20 min at 8 psi or 15 at 13 (page 3-8).
    asked: dict[str, Any] = {"jars": 7, "jar": "quart", "pack": "hot", "altitude": "5000 ft", "canner": "dial"}
    plan = stillroom.plan("crushed tomatoes", **asked)
    assert (plan.option.minutes, plan.option.pressure_psi) == (20, 8)
    assert [(other.minutes, other.pressure_psi) for other in plan.others] == [(15, 13)]
    told = stillroom.plan("crushed tomatoes", option_minutes=15, **asked)
    assert (told.option.pressure_psi, told.dial_psi) == (13, 13)
    with pytest.raises(BadInput, match="it has 20 or 15 minutes"):
        stillroom.plan("crushed tomatoes", option_minutes=17, **asked)


def test_a_gauge_that_reads_high_raises_the_dial_and_one_that_reads_low_does_not() -> None:
    assert stillroom.plan("snap beans", jars=9, gauge_reads_high_by="0.3 psi", **BEANS).dial_psi == 11.3
    low = stillroom.plan("snap beans", jars=9, gauge_reads_high_by="-1 psi", **BEANS)
    assert low.dial_psi == 11
    assert any("reads low" in stated.text and stated.page == "1-20" for stated in low.cautions)


def test_a_dial_plan_says_that_a_weight_means_the_weighted_table() -> None:
    weight = "A weight in place of the dial takes the weighted table"
    assert any(weight in stated.text for stated in stillroom.plan("snap beans", jars=9, **BEANS).cautions)
    weighted = stillroom.plan("snap beans", jars=9, **{**BEANS, "canner": "weighted"})
    assert not any(weight in stated.text for stated in weighted.cautions)
    assert weighted.dial_psi is None


def test_rules_of_thumb_say_so_and_their_figures_stand_in_their_sentences() -> None:
    plan = stillroom.plan("snap beans", jars=9, **BEANS)
    assert {row.standing for row in plan.practice} == {"common practice, no source"}
    for row in stillroom.shelf().package.practice:
        if row.value:
            assert f"{row.value.replace('-', ' to ')} {row.unit}" in row.statement


# what to buy


@pytest.mark.parametrize(
    ("food", "jar", "jars", "basis", "pounds", "containers"),
    [
        ("snap beans", "pint", 40, "canner load", (40, 40), None),  # 9 lb to 9 pints (4-8)
        ("peaches", "pint", 40, "canner load", (48.89, 48.89), None),  # 11 lb to 9 pints (2-19): 440/9
        ("snap beans", "quart", 40, "bushel", (60, 100), (2, 4)),  # 30 lb to 12-20 quarts (4-8)
        ("white potatoes", "quart", 10, "average", (25, 30), None),  # 2.5-3 lb to a quart (4-17)
    ],
)
def test_raw_food_is_scaled_from_the_printed_row(
    food: str, jar: str, jars: int, basis: str, pounds: Any, containers: Any
) -> None:
    plan = stillroom.plan(food, jars=jars, jar=jar, pack="hot", altitude="500 ft", canner="dial")
    bought = next(one for one in plan.purchases if one.basis == basis)
    assert (bought.pounds_from, bought.pounds_to) == pounds
    assert containers is None or (bought.containers_from, bought.containers_to) == containers


def test_no_yield_is_carried_from_one_jar_to_another() -> None:
    plan = stillroom.plan("peaches", jars=9, holds=9, jar="half-pint", pack="hot", altitude="500 ft", canner="dial")
    assert plan.purchases == ()
    pints = stillroom.plan("snap beans", jars=9, **BEANS)
    assert {one.printed.jar for one in pints.purchases} == {"pint"}
    assert not any(one.basis == "bushel" for one in pints.purchases)


# how much a canner holds


@pytest.mark.parametrize(("jar", "held"), [("quart", 7), ("pint", 9)])
def test_without_holds_the_capacity_of_page_1_17_is_taken(jar: str, held: int) -> None:
    plan = stillroom.plan("snap beans", jars=20, jar=jar, pack="hot", altitude="500 ft", canner="dial")
    assert plan.loads[0].jars == held
    assert plan.capacity.by is not None
    assert plan.capacity.by.page == "1-17"


@pytest.mark.parametrize(("jar", "holds"), [("quart", 8), ("pint", 19), ("pint", 10**9)])
def test_more_than_7_quarts_or_18_pints_is_bad_input_that_names_page_1_17(jar: str, holds: int) -> None:
    with pytest.raises(BadInput, match=r"page 1-17"):
        stillroom.plan("snap beans", jars=20, holds=holds, jar=jar, pack="hot", altitude="500 ft", canner="dial")


@pytest.mark.parametrize(("jar", "holds"), [("quart", 7), ("pint", 18)])
def test_exactly_7_quarts_or_18_pints_are_fine(jar: str, holds: int) -> None:
    plan = stillroom.plan("snap beans", jars=20, holds=holds, jar=jar, pack="hot", altitude="500 ft", canner="dial")
    assert plan.loads[0].jars == holds


def test_other_jar_sizes_need_holds() -> None:
    asked: dict[str, Any] = {"jar": "half-pint", "pack": "hot", "altitude": "500 ft", "canner": "dial"}
    with pytest.raises(BadInput, match="--holds"):
        stillroom.plan("peaches", jars=12, **asked)
    assert [load.jars for load in stillroom.plan("peaches", jars=12, holds=10, **asked).loads] == [10, 2]


@pytest.mark.parametrize("jars", [0, -3, 10**9, "many", "1e9", 2.5, None, True, "", "\uff14", "4 0", "9" * 5000])
def test_a_number_of_jars_that_is_none_is_bad_input_in_one_line(jars: Any) -> None:
    with pytest.raises(BadInput, match=r"^jars ") as caught:
        stillroom.plan("snap beans", jars=jars, **BEANS)
    assert "\n" not in str(caught.value)
    assert len(str(caught.value)) < 200


@pytest.mark.parametrize("holds", [0, -1, "lots", 1.5])
def test_a_canner_that_holds_nothing_is_bad_input(holds: Any) -> None:
    with pytest.raises(BadInput, match=r"^holds "):
        stillroom.plan("snap beans", jars=9, holds=holds, **BEANS)


def test_an_untested_combination_is_refused_and_never_planned() -> None:
    with pytest.raises(NoTestedSchedule) as caught:
        stillroom.plan("snap beans", jars=9, jar="pint", pack="hot", altitude="500 ft", canner="boiling-water")
    assert caught.value.code == "method-unsafe"


# laws


@given(st.integers(1, 1000), st.integers(1, 18))
@settings(deadline=None, max_examples=trials(60))
def test_no_jar_is_lost_no_load_is_too_big_and_only_the_last_is_a_part(jars: int, holds: int) -> None:
    split = loads.split(jars, holds)
    assert sum(split) == jars
    assert max(split) <= holds
    assert all(held == holds for held in split[:-1])


@given(st.integers(1, 60), st.integers(1, 18))
@settings(deadline=None, max_examples=trials(40))
def test_the_total_is_the_sum_of_the_steps_and_one_more_jar_is_never_quicker(jars: int, holds: int) -> None:
    plan, more = (stillroom.plan("snap beans", jars=jars + extra, holds=holds, **BEANS) for extra in (0, 1))
    assert plan.lasts.from_min == sum(step.lasts.from_min for load in plan.loads for step in load.steps)
    assert plan.lasts.to_min == sum(step.lasts.to_min for load in plan.loads for step in load.steps)
    assert plan.loads[-1].ends == plan.lasts
    assert more.lasts.from_min >= plan.lasts.from_min
    assert more.lasts.to_min >= plan.lasts.to_min
    for load in plan.loads:
        assert load.steps[0].begins == load.begins


# the clock


@pytest.mark.parametrize(
    ("text", "minute"),
    [
        ("08:00", 480),
        ("8:00", 480),
        ("00:00", 0),
        ("23:59", 1439),
        ("8:00 am", 480),
        ("12:00 am", 0),
        ("12:30 PM", 750),
        ("8 p.m.", 1200),
    ],
)
def test_a_time_of_day_is_read(text: str, minute: int) -> None:
    assert clock.minute_of_day(text) == minute


@pytest.mark.parametrize(
    "text", ["24:00", "8", "08:60", "13:00 pm", "0:30 am", "noon", "", "8:5", "-1:00", 8, None, "\u0668:\u0660\u0660"]
)
def test_what_is_no_time_of_day_is_bad_input(text: Any) -> None:
    with pytest.raises(BadInput, match="start "):
        clock.minute_of_day(text)


def test_a_day_that_runs_past_midnight_says_so() -> None:
    plan = stillroom.plan("snap beans", jars=18, holds=18, start="23:00", **BEANS)
    assert plan.start_min is not None
    # 75 to 120 minutes after 23:00.
    assert clock.told_span(plan.start_min, plan.lasts) == "00:15 (+1 day) to 01:00 (+1 day)"
    assert clock.told(3 * clock.DAY) == "00:00 (+3 days)"
    assert clock.told(clock.DAY - 1) == "23:59"


def test_long_stretches_are_told_in_hours() -> None:
    assert clock.long(clock.Span(45, 60)) == "45 min to 1 h"
    assert clock.long(clock.Span(225, 225)) == "3 h 45 min"

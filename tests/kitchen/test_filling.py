"""What a question and a plan take from a kitchen, what wins, and what is said of it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import stillroom
from stillroom.answers import kitchen
from stillroom.answers.kitchen import Kitchen, Taken
from stillroom.commands.main import main
from stillroom.day import equipment
from stillroom.day.day import canning_day
from stillroom.errors import BadInput
from stillroom.sheets import kitchen_sheet

TODAY = canning_day("2026-09-01")
ALONE = 'altitude = "1650 ft"\ncanner = "dial"\ngauge = { reads_high_by = "0.5 psi", tested = 2026-06-01 }\n'
HOUSE = ALONE.replace('"dial"', '["boiling-water", "dial"]') + (
    "holds = { boiling-water = { quart = 6 }, dial = { quart = 5, half-pint = 20 } }\n"
)
BEANS = {"food": "snap beans", "jar": "quart", "pack": "raw"}
PEACHES = {"food": "peaches", "jar": "quart", "pack": "hot"}

Kept = Callable[[str], str]


@pytest.fixture
def house(kept: Kept) -> Kitchen:
    return stillroom.kitchen(kept(HOUSE))


def asked(said: dict[str, Any], own: Kitchen | None) -> tuple[stillroom.Answer, tuple[Taken, ...]]:
    return kitchen.answered(said, own, stillroom.shelf(), stillroom.find)


# a question


def test_altitude_and_canner_are_filled_and_what_was_taken_is_said(kept: Kept) -> None:
    said, taken = kitchen.filled(BEANS, stillroom.kitchen(kept(ALONE)), stillroom.shelf())
    assert said == {**BEANS, "altitude": "1650 ft", "canner": "dial"}
    assert kitchen.sentence(taken) == (
        "From your kitchen file kitchen.toml: altitude 1,650 ft, dial-gauge pressure canner."
    )


def test_what_a_question_says_wins_key_by_key(house: Kitchen) -> None:
    shelf = stillroom.shelf()
    said, taken = kitchen.filled({**BEANS, "altitude": "0 ft"}, house, shelf)
    assert (said["altitude"], [one.key for one in taken]) == ("0 ft", ["canner"])
    said, taken = kitchen.filled({**BEANS, "canner": "weighted"}, house, shelf)
    assert (said["canner"], [one.key for one in taken]) == ("weighted", ["altitude"])
    whole = {**BEANS, "altitude": "0 ft", "canner": "weighted"}
    assert kitchen.filled(whole, house, shelf) == (whole, ())
    assert kitchen.filled(BEANS, None, shelf) == (BEANS, ())
    assert kitchen.sentence(()) == ""


def test_a_low_acid_food_means_the_pressure_canner_of_the_two(house: Kitchen) -> None:
    # Above pH 4.6 only a pressure canner will do (page 1-8).
    answer, taken = asked(BEANS, house)
    assert (answer.canner, answer.altitude_ft) == ("dial", 1650)
    assert "boiling" not in kitchen.sentence(taken)
    assert [str(understood) for understood in answer.understood] == [
        "Altitude 1,650 ft: from your kitchen file kitchen.toml.",
        "Dial-gauge pressure canner: from your kitchen file kitchen.toml.",
    ]


def test_an_acid_food_is_answered_for_both_canners_and_both_are_named(kept: Kept) -> None:
    # The worked examples of the publication: peaches, hot pack, quarts, 2,500 ft, take 30 minutes in boiling water
    # (page 1-23), and 10 minutes at 7 psi with a dial gauge (page 1-24).
    own = stillroom.kitchen(kept(HOUSE.replace("1650 ft", "2500 ft")))
    with pytest.raises(stillroom.SayWhich) as which:
        asked(PEACHES, own)
    found = [(one.canner, one.options[0].minutes, one.options[0].pressure_psi) for one in which.value.answers]
    assert found == [("boiling-water", 30, None), ("dial", 10, 7)]
    assert (which.value.what, which.value.choices) == ("canner", ("boiling-water canner", "dial-gauge pressure canner"))
    assert all(one.understood[-1].how == "kitchen" for one in which.value.answers)


def test_a_pack_that_is_left_out_too_is_asked_back_with_the_answers_of_every_canner(house: Kitchen) -> None:
    with pytest.raises(stillroom.SayWhich) as which:
        asked({**PEACHES, "pack": None}, house)
    assert which.value.what == "pack"
    assert {(one.canner, one.pack) for one in which.value.answers} == {
        (canner, pack) for canner in ("boiling-water", "dial") for pack in ("hot", "raw")
    }


def test_a_kitchen_without_a_pressure_canner_gets_the_refusal_and_not_another_answer(kept: Kept) -> None:
    for canner in ('"boiling-water"', '["boiling-water"]'):
        own = stillroom.kitchen(kept(f'altitude = "0 ft"\ncanner = {canner}\n'))
        with pytest.raises(stillroom.NoTestedSchedule) as refusal:
            asked(BEANS, own)
        assert refusal.value.code == "method-unsafe"
        assert refusal.value.__notes__ == ["From your kitchen file kitchen.toml: altitude 0 ft, boiling-water canner."]


def test_where_no_canner_is_tested_the_refusal_of_the_one_that_could_be_is_given(house: Kitchen) -> None:
    with pytest.raises(stillroom.NoTestedSchedule) as refusal:
        asked({**BEANS, "jar": "half-gallon"}, house)
    assert refusal.value.code == "jar-not-tested"


def test_a_mistyped_food_is_refused_as_without_a_kitchen(house: Kitchen) -> None:
    with pytest.raises(stillroom.UnknownFood):
        asked({**BEANS, "food": "snup beens"}, house)


def test_python_reads_no_kitchen_unasked(kept: Kept) -> None:
    kept(ALONE)
    with pytest.raises(BadInput, match="say the altitude"):
        stillroom.plan(**BEANS, jars=7)


# a plan


def test_a_plan_takes_jars_gauge_and_test_of_the_canner_that_is_meant(house: Kitchen) -> None:
    plan = stillroom.plan(**BEANS, jars=10, kitchen=house, on=TODAY)
    assert (plan.answer.canner, plan.capacity.jars) == ("dial", 5)
    assert plan.dial_psi == 11.5  # 11 psi (page 4-9) and what the gauge reads high (page 1-20)
    assert [taken.key for taken in plan.taken] == ["altitude", "canner", "holds", "gauge.reads_high_by", "gauge.tested"]


def test_options_of_a_plan_win_over_the_kitchen(house: Kitchen) -> None:
    plan = stillroom.plan(
        **BEANS, jars=10, holds=7, gauge_reads_high_by="1 psi", gauge_tested="2026-08-01", altitude="0 ft",
        canner="dial", kitchen=house, on=TODAY,
    )  # fmt: skip
    assert (plan.capacity.jars, plan.dial_psi, plan.answer.altitude_ft, plan.taken) == (7, 12, 0, ())


def test_the_gauge_error_is_taken_even_where_only_its_test_is_said(house: Kitchen) -> None:
    assert stillroom.plan(**BEANS, jars=7, gauge_tested="2026-08-01", kitchen=house, on=TODAY).dial_psi == 11.5


def test_a_boiling_water_plan_takes_its_own_capacity_and_no_gauge(house: Kitchen) -> None:
    plan = stillroom.plan(**PEACHES, jars=7, canner="boiling-water", kitchen=house)
    assert (plan.capacity.jars, plan.dial_psi) == (6, None)
    assert [taken.key for taken in plan.taken] == ["altitude", "holds"]


def test_a_jar_the_kitchen_does_not_count_is_held_as_printed(house: Kitchen) -> None:
    plan = stillroom.plan(**{**BEANS, "jar": "pint"}, jars=7, kitchen=house, on=TODAY)
    assert plan.capacity.jars == 9 and plan.capacity.by is not None  # page 1-17


def test_an_old_gauge_test_of_the_kitchen_warns_and_one_of_a_year_does_not(house: Kitchen) -> None:
    def ids(on: str) -> list[str]:
        return [said.id for said in stillroom.plan(**BEANS, jars=7, kitchen=house, on=on).cautions]

    assert "gauge-overdue" in ids("2027-06-02")  # every year (page 1-20)
    assert "gauge-overdue" not in ids("2027-06-01")


def test_two_canners_that_both_fit_must_be_told_apart(house: Kitchen) -> None:
    with pytest.raises(stillroom.SayWhich, match="say which canner"):
        stillroom.plan(**PEACHES, jars=7, kitchen=house)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ('gauge = { reads_high_by = "2.5 psi" }', "kitchen.toml: a gauge that reads 2.5 psi high is more than 2 psi"),
        ("gauge = { tested = 2026-09-02 }", "kitchen.toml: gauge test"),
        ("holds = { quart = 8 }", "kitchen.toml: holds 8 quarts is too many"),
    ],
)
def test_what_a_plan_does_not_take_is_told_with_the_file(
    kept: Kept, monkeypatch: pytest.MonkeyPatch, line: str, said: str
) -> None:
    path = kept(f'altitude = "1650 ft"\ncanner = "dial"\n{line}\n')
    with pytest.raises(BadInput) as error:
        stillroom.plan(**BEANS, jars=7, kitchen=path, on=TODAY)
    assert str(error.value).startswith(said)


TOMATOES = {"food": "crushed tomatoes", "jar": "quart", "pack": "hot", "altitude": "500 ft", "canner": "weighted"}


def weighing(kept: Kept, weights: str) -> Kitchen:
    return stillroom.kitchen(kept(f"canner = 'weighted'\nweights = {weights}\n"))


def test_a_plan_takes_the_option_that_there_is_a_weight_for(kept: Kept) -> None:
    options = stillroom.find(**TOMATOES).options
    assert len(options) > 1  # equal options at several pressures (page 3-8)
    for option in options:
        own = weighing(kept, f'["{option.pressure_psi} psi"]')
        plan = stillroom.plan(**TOMATOES, jars=7, kitchen=own)
        assert plan.option == option
        assert [taken.text for taken in plan.taken] == [f"a weight of {option.pressure_psi} psi"]
    said = stillroom.plan(**TOMATOES, jars=7, option_minutes=options[-1].minutes, kitchen=own)
    assert said.option == options[-1]


def test_a_weight_that_is_not_owned_is_refused_and_never_replaced_by_another(kept: Kept) -> None:
    low = stillroom.find(**{**BEANS, "altitude": "500 ft", "canner": "weighted"}).options[0]
    assert low.pressure_psi == 10  # page 4-9
    with pytest.raises(BadInput, match=r"^kitchen\.toml: weights has none of 10 psi"):
        stillroom.plan(**BEANS, jars=7, altitude="500 ft", kitchen=weighing(kept, '["15 psi"]'))
    assert stillroom.plan(**BEANS, jars=7, altitude="500 ft", kitchen=weighing(kept, '["10 psi"]')).option == low


def test_an_option_that_is_not_in_the_schedule_is_refused_as_without_a_kitchen(kept: Kept) -> None:
    with pytest.raises(BadInput, match='option minutes "17" is not in this schedule'):
        stillroom.plan(**TOMATOES, jars=7, option_minutes=17, kitchen=weighing(kept, '["15 psi"]'))


# beside an answer


def notes(own: Kitchen, **said: Any) -> tuple[str, ...]:
    return equipment.notes(stillroom.find(**said), own, canning_day("2027-07-01"), stillroom.shelf())


def test_beside_an_answer_stands_what_the_dial_must_show_and_that_the_test_is_old(house: Kitchen) -> None:
    first, second = notes(house, **BEANS, altitude="1650 ft", canner="dial")
    assert first == "Your gauge reads 0.5 psi high: the dial must show at least 11.5 psi (page 1-20)."
    assert second.startswith("The gauge was last tested on 2026-06-01, more than a year ago")


def test_the_dial_is_told_for_each_of_equal_options(house: Kitchen) -> None:
    said = notes(house, **{**TOMATOES, "canner": "dial"})[0]
    for option in stillroom.find(**{**TOMATOES, "canner": "dial"}).options:
        assert f"{option.pressure_psi + 0.5:g} psi for {option.minutes} minutes" in said


def test_a_gauge_too_far_off_is_told_beside_the_answer(kept: Kept) -> None:
    own = stillroom.kitchen(kept('gauge = { reads_high_by = "3 psi" }\n'))
    assert notes(own, **BEANS, altitude="0 ft", canner="dial") == (
        "A gauge that reads 3 psi high is more than 2 psi off: replace the gauge (page 1-20).",
    )


def test_near_misses_boiling_water_another_gauge_and_an_owned_weight_need_no_note(kept: Kept, house: Kitchen) -> None:
    assert notes(house, **PEACHES, altitude="0 ft", canner="boiling-water") == ()
    assert notes(house, **BEANS, altitude="0 ft", canner="weighted") == ()
    assert notes(weighing(kept, '["10 psi"]'), **BEANS, altitude="500 ft", canner="weighted") == ()
    assert len(notes(weighing(kept, '["15 psi"]'), **BEANS, altitude="500 ft", canner="weighted")) == 1
    assert kitchen_sheet.notes([stillroom.find(**TOMATOES)], None, stillroom.shelf()) == ()


def test_beside_several_answers_the_gauge_is_told_once_for_all_of_them(house: Kitchen) -> None:
    # Snap beans take 11 psi in quarts at 1,650 ft in either pack (page 4-9); peaches in boiling water take no dial.
    def told(**said: Any) -> tuple[str, ...]:
        with pytest.raises(stillroom.SayWhich) as which:
            asked(said, house)
        return kitchen_sheet.notes(which.value.answers, house, stillroom.shelf())

    assert told(food="snap beans", jar="quart")[0].endswith("the dial must show at least 11.5 psi (page 1-20).")
    assert told(**PEACHES)[0].endswith("the dial must show at least 6.5 psi (page 1-20).")
    several = told(food="crushed tomatoes", jar="quart")[0]
    assert several.startswith("Your gauge reads 0.5 psi high: ")
    assert equipment.notes_on_all((), house, TODAY, stillroom.shelf()) == ()


def test_beside_answers_of_several_pressures_the_note_says_how_much_more(house: Kitchen) -> None:
    one, other = (stillroom.find(**BEANS, altitude=altitude, canner="dial") for altitude in ("1650 ft", "2500 ft"))
    assert equipment.notes_on_all((one, other), house, TODAY, stillroom.shelf()) == (
        "Your gauge reads 0.5 psi high: in each answer for it the dial must show at least 0.5 psi more than is printed "
        "(page 1-20).",
    )


# the command


def test_the_plan_of_the_command_says_what_it_took_and_from_which_file(
    house: Kitchen, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["plan", "snap", "beans", "--jars", "7", "--jar", "qt", "--pack", "raw"]
    assert main(words) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "From your kitchen file kitchen.toml: altitude 1,650 ft, dial-gauge pressure canner" in said
    assert main([*words, "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert {taken["file"] for taken in document["from_kitchen"]} == {"kitchen.toml"}
    assert main([*words, "--no-kitchen"]) == 2
    assert "say the altitude" in capsys.readouterr().err


def test_a_named_kitchen_is_read_in_place_of_the_one_that_is_found(
    work: Path, house: Kitchen, capsys: pytest.CaptureFixture[str]
) -> None:
    (work / "other.toml").write_text('altitude = "5000 ft"\ncanner = "weighted"\n')
    words = ["plan", "snap beans", "--jars=7", "--jar=qt", "--pack=raw", "--kitchen"]
    assert main([*words, "other.toml"]) == 0
    assert "Weighted-gauge pressure canner, 5,000 ft" in capsys.readouterr().out
    assert main([*words, "none.toml"]) == 2
    assert capsys.readouterr().err == "stillroom: none.toml: there is no such kitchen file\n"


def test_a_damaged_kitchen_stops_a_plan_that_says_everything(kept: Kept, capsys: pytest.CaptureFixture[str]) -> None:
    kept('altitude = "0 ft"\ngage = { reads_high_by = "1 psi" }\n')
    words = ["plan", "figs", "--jars=7", "--jar=pint", "--pack=hot", "--altitude=0 ft", "--canner=boiling-water"]
    assert main(words) == 2
    assert capsys.readouterr().err.startswith("stillroom: kitchen.toml: key 'gage' is unknown")
    assert main([*words, "--no-kitchen"]) == 0

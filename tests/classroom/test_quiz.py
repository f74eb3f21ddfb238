"""The right choice of every question is the library's answer and the print's, no other is, and a number fixes all."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator

import pytest

import stillroom
from stillroom.answers.names import Meaning
from stillroom.desk import quiz
from stillroom.desk.quiz import Asked
from tests.conftest import table
from tests.trials import THOROUGH

SEEDS = range(200 if THOROUGH else 50)
RELATIONS = table("schedules/relations.csv")
Processes = set[tuple[int, int | None]]


@pytest.fixture(scope="module")
def printed() -> dict[tuple[str, ...], list[tuple[int, float, int, int | None]]]:
    """Rows of the tables as text turned to figures: lowest and highest feet, minutes and psi, by what they are for."""
    found: dict[tuple[str, ...], list[tuple[int, float, int, int | None]]] = {}
    for name in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads"):
        for row in table(f"schedules/{name}.csv"):
            at = row["food"], row["form"], row["pack"], row["jar"], row["gauge"] or row["method"]
            psi = int(row["pressure_psi"]) if row["pressure_psi"] else None
            top = float(row["altitude_to_ft"] or "inf")
            found.setdefault(at, []).append((int(row["altitude_from_ft"]), top, int(row["minutes"]), psi))
    return found


def _meanings(*foods: str) -> tuple[Meaning, ...]:
    return tuple(Meaning(food, "") for food in foods or [food.id for food in stillroom.foods()])


def _quiz(seed: int, *foods: str, feet: float | None = None) -> tuple[Asked, ...]:
    return quiz.quiz(stillroom.lookup(), _meanings(*foods), seed, feet)


def _of_print(printed: dict[tuple[str, ...], list[tuple[int, float, int, int | None]]], asked: Asked) -> Processes:
    follows = {row["food"]: row for row in RELATIONS}.get(asked.food)
    if follows and follows["pack"] not in ("", asked.at.pack):
        return set()
    rows = printed.get((follows["follows"] if follows else asked.food, *asked.at), [])
    tops = [top for _, top, _, _ in rows if asked.altitude_ft <= top]
    return {(minutes, psi) for _, top, minutes, psi in rows if tops and top == min(tops)}


def _answered(asked: Asked) -> Processes:
    form, pack, jar, canner = asked.at
    try:
        answer = stillroom.find(
            asked.food, jar=jar, canner=canner, altitude=f"{asked.altitude_ft} ft", form=form or None, pack=pack or None
        )
    except stillroom.NoTestedSchedule as refusal:
        told = refusal.reason.removesuffix(".") in asked.why
        return set() if told else {(0, None)}
    return {(option.minutes, option.pressure_psi) for option in answer.options}


def _wrong(asked: Asked, right: Processes) -> Iterator[str]:
    """What is wrong with a question whose answer is known."""
    processes = [set(choice.processes) for choice in asked.choices]
    if processes[asked.right] != right:
        yield "the right choice is not the answer"
    if any(each & right for at, each in enumerate(processes) if at != asked.right):
        yield "a wrong choice is right"
    if len({choice.text for choice in asked.choices}) < len(asked.choices) or len(asked.choices) < 3:
        yield "two choices are one, or there are too few"
    if processes[-1] or not all(processes[:-1]):
        yield "the last choice, and no other, is that there is none"
    if "page" not in asked.why and "(" not in asked.why:
        yield "no page"


def test_over_all_foods_and_200_numbers_the_right_choice_is_the_printed_one_and_no_other_is(printed) -> None:
    answers: dict[tuple[object, ...], Processes] = {}
    foods, refused = set(), 0
    for seed in SEEDS:
        questions = _quiz(seed)
        assert len(questions) == quiz.MOST
        for asked in questions:
            place = asked.food, asked.at, asked.altitude_ft
            if place not in answers:
                answers[place] = _answered(asked)
            right = answers[place]
            assert not list(_wrong(asked, right)), asked
            assert right == _of_print(printed, asked), asked
            foods.add(asked.food)
            refused += not right
    assert foods == {food.id for food in stillroom.foods()}
    assert refused * 4 > len(SEEDS) * quiz.MOST


def test_every_wrong_choice_is_printed_for_the_same_food(printed) -> None:
    for food in stillroom.foods():
        owner = stillroom.shelf().owner(food.id)
        cells = {each[2:] for at, rows in printed.items() if at[0] == owner for each in rows}
        for asked in _quiz(3, food.id):
            assert all(process in cells for choice in asked.choices for process in choice.processes)


def test_a_near_miss_a_question_whose_wrong_choice_is_right_is_seen() -> None:
    asked = next(each for each in _quiz(1, "snap-beans") if each.choices[each.right].processes)
    right = set(asked.choices[asked.right].processes)
    assert not list(_wrong(asked, right))
    twice = asked._replace(choices=(*asked.choices[:-1], asked.choices[asked.right], asked.choices[-1]))
    assert "a wrong choice is right" in list(_wrong(twice, right))
    assert "the right choice is not the answer" in list(_wrong(asked._replace(right=asked.right - 1), right))


def test_at_the_height_of_the_class_every_question_is_asked_for_it(printed) -> None:
    for feet in (0.0, 1_000.0, 1_000.5, 2_000.5, 8_000.0, 8_000.5):
        for asked in _quiz(5, "snap-beans", "tomatoes-crushed", "peaches", feet=feet):
            assert asked.altitude_ft == feet and not list(_wrong(asked, _of_print(printed, asked)))


def test_low_acid_food_in_boiling_water_is_always_asked_about_and_refused_with_its_page() -> None:
    asked = [each for each in _quiz(1, "snap-beans") if each.at.canner == "boiling-water"]
    assert len(asked) == 1 and asked[0].right == len(asked[0].choices) - 1
    assert "page 1-8" in asked[0].why  # the guide on low-acid foods


def test_the_same_number_makes_the_same_quiz_and_another_makes_another() -> None:
    assert _quiz(7, "peaches", "snap-beans") == _quiz(7, "peaches", "snap-beans")
    assert _quiz(7, "peaches", "snap-beans") != _quiz(8, "peaches", "snap-beans")
    assert _quiz(7, "peaches", "snap-beans") == _quiz(7, "snap-beans", "peaches")


def test_chance_is_sha_256_of_plain_words() -> None:
    """The digest of "abc" is that of FIPS 180-2, appendix B.1; lots are digests of a number and words between bars."""
    known = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert hashlib.sha256(b"abc").hexdigest() == known
    assert quiz._drawn(7, "snap-beans", 1_650.0) == hashlib.sha256(b"7|snap-beans|1650.0").digest()


@pytest.mark.parametrize("said", ["-1", "1.5", "", "seven", "1" * 10, "\u00b2", "\u0667"])
def test_a_number_that_is_none_is_refused(said: str) -> None:
    with pytest.raises(stillroom.BadInput, match="whole number"):
        quiz.seeded(said)


def test_a_near_miss_a_number_with_zeros_before_it_is_that_number() -> None:
    assert quiz.seeded("007") == 7 == quiz.seeded(7)

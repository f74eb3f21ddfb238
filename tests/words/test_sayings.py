"""What people say, collected before the words were written, gets what a good extension agent would say.

``sayings.csv``: a question in the words of a person and what should come of it: ``answer`` (with what it means, in
ids), ``say-which`` (what is left open, and the foods it may be), ``refusal`` (its code) or ``bad-input`` (the part that
cannot be read, which the error names).
"""

from __future__ import annotations

import re
from collections import Counter

import pytest

import stillroom
from stillroom.answers.stems import plain
from tests.conftest import table

SAYINGS = table("tests/words/sayings.csv")
PARTS = ("pack", "jar", "altitude", "canner", "form")


def _said(row: dict[str, str]) -> dict[str, str | None]:
    return {part: row[part] or None for part in PARTS}


def _outcome(row: dict[str, str]) -> tuple[str, stillroom.Answer | Exception]:
    try:
        return "answer", stillroom.find(row["food"], **_said(row))
    except stillroom.SayWhich as left:
        return "say-which", left
    except stillroom.NoTestedSchedule as refusal:
        return "refusal", refusal
    except stillroom.BadInput as error:
        return "bad-input", error


def _as_expected(row: dict[str, str], found: stillroom.Answer | Exception) -> bool:
    if isinstance(found, stillroom.Answer):
        meant = (found.food, found.form or "", found.pack or "", found.jar, found.canner)
        wanted = tuple(row[f"means_{part}"] for part in ("food", "form", "pack", "jar", "canner"))
        feet = float(row["means_feet"] or found.altitude_ft)
        return all(want in ("", has) for want, has in zip(wanted, meant, strict=True)) and (
            abs(found.altitude_ft - feet) < 0.01 or max(found.altitude_ft, feet) <= 0
        )
    if isinstance(found, stillroom.SayWhich):
        titles = {food.id: food.title for food in stillroom.foods()}
        foods = {food for food in row["means_food"].split("|") if food}
        answered = {answer.food for answer in found.answers}
        named = answered if found.what != "food" else {food for food in foods if titles[food] in found.choices}
        return found.what == row["code"] and answered <= foods == named
    if isinstance(found, stillroom.NoTestedSchedule):
        return found.code == row["code"]
    return bool(row["code"]) and re.search(rf"\b{row['code']}\b", str(found)) is not None


@pytest.mark.parametrize("outcome", ["answer", "say-which", "refusal", "bad-input"])
def test_what_people_say_gets_what_a_good_agent_would_say(outcome: str) -> None:
    rows = [row for row in SAYINGS if row["outcome"] == outcome]
    assert len(rows) > 80
    wrong = []
    for row in rows:
        got, found = _outcome(row)
        if got != outcome or not _as_expected(row, found):
            wrong.append((*row.values(), got, str(found)[:120]))
    assert wrong == []


def test_there_are_more_than_a_thousand_and_no_two_are_the_same() -> None:
    asked = Counter((row["food"], *(row[part] for part in PARTS)) for row in SAYINGS)
    assert len(asked) == len(SAYINGS) > 1_000


def test_every_error_is_one_line_that_shows_what_was_said() -> None:
    for row in SAYINGS:
        got, found = _outcome(row)
        if got == "bad-input":
            assert "\n" not in str(found)
            assert len(str(found)) < 300


def test_no_suggestion_is_of_another_acidity_than_the_first_and_what_is_withheld_says_so() -> None:
    acidity = {food.title: food.acidity for food in stillroom.foods()}
    withheld = {entry.title for entry in stillroom.withheld()}
    seen = 0
    for row in SAYINGS:
        _, found = _outcome(row)
        if not isinstance(found, stillroom.UnknownFood) or "may mean several" in found.reason:
            continue
        tested = [title for title in found.suggestions if title in acidity]
        assert len({acidity[title] for title in tested}) <= 1, (row["food"], found.suggestions)
        for title in found.suggestions:
            assert title in acidity or title.rpartition(" (")[0] in withheld
        seen += 1
    assert seen > 30


def test_what_is_understood_from_other_words_is_said_back() -> None:
    for row in SAYINGS:
        got, found = _outcome(row)
        if got == "answer" and row["canner"] not in ("dial", "weighted", "steam", "boiling-water", ""):
            told = {one.what: one for one in found.understood if one.how == "words"}
            own = (found.canner, stillroom.shelf().canners[found.canner].title)
            assert "canner" in told or plain(row["canner"]) in map(plain, own), row

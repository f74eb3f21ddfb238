"""What other programs count on changes only where it was meant: names, signatures, fields, columns, keys and types."""

from __future__ import annotations

import inspect

import pytest

import stillroom
from tests.surface import contract
from tests.surface.contract import LISTING, RENEW, changed, promises

BEFORE = LISTING.read_text(encoding="utf-8").splitlines()


def test_what_is_promised_is_what_the_listing_says() -> None:
    message = changed(BEFORE, promises())
    assert not message, message


def test_the_listing_speaks_of_every_name_and_of_every_document() -> None:
    words = {line.split()[1].partition("(")[0].split(".")[0].rstrip(":") for line in BEFORE}
    assert set(stillroom.__all__) <= words
    assert {"answer", "plan", "verdict", "recipe-answer", "season", "report", "comparison", "uses"} <= words


@pytest.mark.parametrize(
    ("was", "now"),
    [
        ("function find(food: str, *, jar", "function find(food: str, jar"),
        ("type Option.minutes: int (1)", "type Option.minutes: float (1)"),
        ("type Option.minutes: int (1)", "type Option.minutes: int (2)"),
        ("word Jar: pint-and-half", "word Jar: pint-and-a-half"),
        ("table vegetables.minutes: integer", "table vegetables.time: integer"),
        ("exit status 3: NO_TESTED_SCHEDULE", "exit status 4: NO_TESTED_SCHEDULE"),
        ("command find --jar", "command find --size"),
        ("printed tested: /options[]/minutes: number", "printed tested: /options[]/minutes: string"),
        ("document answer: option/minutes: integer", "document answer: option/minutes?: integer"),
    ],
)
def test_a_change_is_found_and_says_which_name_changed_and_how_to_renew_the_listing(was: str, now: str) -> None:
    """Each line to be changed stands in the listing, so that none of them can go unseen."""
    assert [line for line in BEFORE if line.startswith(was)] != []
    after = [line.replace(was, now, 1) if line.startswith(was) else line for line in BEFORE]
    said = changed(BEFORE, after)
    assert f"gone: {was}" in said and f"new:  {now}" in said
    assert RENEW in said


def test_a_parameter_that_is_added_or_turned_is_a_change(monkeypatch: pytest.MonkeyPatch) -> None:
    def find(food: str, *, altitude: object = None, jar: str | None = None) -> stillroom.Answer:
        raise AssertionError

    monkeypatch.setattr(stillroom, "find", find)
    lines = list(contract._functions())
    now = f"function find{inspect.signature(find)}".replace("'", "")
    assert [line for line in lines if line.startswith("function find(")] == [now]
    assert "gone: function find(food: str, *, jar: Jar | str | None = None" in changed(BEFORE, lines)


def test_a_near_miss_the_order_of_the_lines_is_no_change() -> None:
    assert changed(BEFORE, BEFORE[::-1]) == ""

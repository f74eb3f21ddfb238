"""The page tells an answer in the very sentences of the library's sheets, in their order."""

from __future__ import annotations

import random

import stillroom
from stillroom.sheets import answer_sheet
from stillroom.sheets import page as setting
from tests.conftest import table
from tests.site.page import PARTS, Page, Question
from tests.trials import THOROUGH


def by_library(asked: Question) -> str:
    """What ``stillroom find`` prints."""
    shelf = stillroom.shelf()
    try:
        return answer_sheet.answer_sheet(stillroom.find(**asked), shelf)  # type: ignore[arg-type]
    except stillroom.SayWhich as error:
        return answer_sheet.say_which_sheet(error, shelf)
    except stillroom.NoTestedSchedule as error:
        return answer_sheet.refusal_sheet(error, shelf)
    except stillroom.BadInput as error:
        return setting.text(setting.wrapped(str(error)))


def set_at_80_columns(told: list[dict[str, str]]) -> str:
    """The parts that the page tells, set as the library sets its sheets."""
    lines: list[str] = []
    for part in told:
        assert set(part) == {"kind", "text", "role"}
        if part["kind"] == "gap":
            lines.append("")
        elif part["role"] == "suggestion":
            lines.append(f"  - {part['text']}")
        else:
            lines += setting.item(part["text"]) if part["kind"] == "item" else setting.wrapped(part["text"])
    return setting.text(lines)


def questions() -> list[Question]:
    chance = random.Random()
    rows = table("tests/words/sayings.csv")
    chosen = chance.sample(rows, len(rows) if THOROUGH else 150)
    said = [{part: row[part] or (None if part != "food" else "") for part in PARTS} for row in chosen]
    shelf = stillroom.shelf()
    for _ in range(2_000 if THOROUGH else 120):
        said.append(
            {
                "food": chance.choice(list(shelf.foods)),
                "jar": chance.choice((None, *shelf.jars)),
                "canner": chance.choice((None, None, "pressure canner", *shelf.canners)),
                "pack": chance.choice((None, "hot", "raw")),
                "altitude": f"{chance.choice((0, 900, 1_500, 2_500, 4_500, 6_500, 8_500, 11_000))} ft",
            }
        )
    return said


def test_the_page_tells_what_the_sheets_print(page: Page) -> None:
    asked = questions()
    told = page.said([{"tell": question} for question in asked])
    wrong = [
        (question, set_at_80_columns(parts), wanted)
        for question, parts in zip(asked, told, strict=True)
        if set_at_80_columns(parts) != (wanted := by_library(question))
    ]
    assert len(wrong) == 0, (len(wrong), *wrong[0])


def test_what_must_hold_is_told_before_the_process_and_each_part_says_what_it_is_for(page: Page) -> None:
    asked = {"food": "tomatoes", "jar": "quart", "altitude": "1650 ft", "canner": "boiling-water", "pack": "hot"}
    asked["food"] = "crushed tomatoes"
    parts = page.said([{"tell": asked}])[0]
    roles = [part["role"] for part in parts if part["role"]]
    assert roles.index("required") < roles.index("process") < roles.index("source") < roles.index("caution")
    assert any(part["role"] == "required" and "lemon juice" in part["text"] for part in parts)


def test_a_near_miss_equal_options_are_told_as_equal_and_one_is_not(page: Page) -> None:
    several = {"food": "crushed tomatoes", "jar": "quart", "altitude": "10 ft", "canner": "dial", "pack": "hot"}
    one = {**several, "canner": "boiling-water"}
    told = [[part["text"] for part in parts if part["role"] == "process"] for parts in
            page.said([{"tell": several}, {"tell": one}])]  # fmt: skip
    assert len(told[0]) > 2
    assert "equal" in told[0][0]
    assert len(told[1]) == 1

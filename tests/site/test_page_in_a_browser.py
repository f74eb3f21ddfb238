"""The page's scripts in a real browser, opened from a folder: the same answers, no outside request, and fast."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import pytest

from stillroom.site import data
from tests import browser
from tests.conftest import table
from tests.site.page import PARTS, by_library

MOST_MS = 50.0
"""From the last key to the answer, milliseconds: what the issue asks for, on a machine that tests share."""
POLICY = "default-src 'none'; script-src 'self' file:"
HEAD = f'<meta charset=utf-8><meta http-equiv=Content-Security-Policy content="{POLICY}">'


@pytest.fixture(scope="module")
def opened(tmp_path_factory: pytest.TempPathFactory, data_script: str) -> Iterator[tuple[Any, list[str]]]:
    """A page that only loads the scripts, from a file and under a strict policy; and all that it asks for or says."""
    folder = tmp_path_factory.mktemp("book")
    scripts = {"data.js": data_script, **data.page_scripts()}
    for name, text in scripts.items():
        (folder / name).write_text(text, encoding="utf-8")
    loaded = "".join(f"<script src={name}></script>" for name in scripts)
    (folder / "index.html").write_text(f"<!doctype html><title>Ask</title>{HEAD}{loaded}", encoding="utf-8")
    with browser.opened() as chromium:
        page, seen = chromium.new_page(), []
        page.on("request", lambda request: seen.append(request.url))
        page.on("pageerror", lambda error: seen.append(f"error: {error}"))
        page.on("console", lambda said: seen.append(f"said: {said.text}"))
        page.goto((folder / "index.html").as_uri())
        yield page, seen


@browser.needs_browser
def test_a_browser_answers_like_the_library_from_a_folder(opened: tuple[Any, list[str]]) -> None:
    page, _ = opened
    rows = random.sample(table("tests/words/sayings.csv"), 60)
    questions = [{part: row[part] or (None if part != "food" else "") for part in PARTS} for row in rows]
    said = page.evaluate("questions => questions.map((asked) => stillroomAsk(asked))", questions)
    for asked, found in zip(questions, said, strict=True):
        assert found == by_library(asked)


@browser.needs_browser
def test_nothing_is_asked_for_outside_of_the_folder_and_nothing_complains(opened: tuple[Any, list[str]]) -> None:
    _, seen = opened
    assert len(seen) == 1 + 1 + len(data.ORDER)
    assert all(one.startswith("file:///") for one in seen), seen


@browser.needs_browser
def test_an_answer_is_there_before_the_next_key(opened: tuple[Any, list[str]]) -> None:
    """Once names are laid out: the fastest of five for names that are known, misspelled or left open."""
    page, _ = opened
    took = page.evaluate(
        """() => {
          while (!stillroomAsk.prepare()) continue;
          const foods = ["snap beans", "snpa baens", "tomatoes", "peeches in vannila sirup", "garlic in oil"];
          return foods.map((food) => {
            const times = [1, 2, 3, 4, 5].map((more) => {
              const begun = performance.now();
              stillroomTell(stillroomAsk({ food: food + "s".repeat(more % 2), jar: "pint", altitude: "1650 ft" }));
              return performance.now() - begun;
            });
            return Math.min(...times);
          });
        }"""
    )
    assert max(took) < MOST_MS, took

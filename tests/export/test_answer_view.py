"""The view ``answer`` of both databases against the library: one filter, 60 questions, at and beside the band edges."""

from __future__ import annotations

import random
import re
import sqlite3

import duckdb
import pytest

import stillroom
from stillroom.sheets.exported import export
from tests.conftest import ROOT, table
from tests.repository import HOME

FILTER = """
SELECT result, option, minutes, pressure_psi, headspace_in, requires_in_words, cautions_in_words, source, page, vent_min
FROM answer
WHERE food = ? AND form = ? AND pack = ? AND jar = ? AND canner = ? AND ? > above_ft AND ? <= to_ft ORDER BY option
"""
HEIGHTS = (-1355, -0.5, 0, 1000, 1000.5, 1001, 2000.5, 3000, 3000.5, 4000.5, 6000, 6000.5, 8000, 8000.5, 14000)
RANDOM = random.Random(12)


def _questions():
    """60 questions: most with a tested answer somewhere, some with acid, some with none, some of one minute."""
    rows = table("schedules/answers.csv")
    asked = {}
    for row in rows:
        key = tuple(row[name] for name in ("food", "form", "pack", "jar", "canner"))
        asked.setdefault(key, set()).add(row["result"])
    tested = sorted(key for key, found in asked.items() if "tested" in found)
    acid = sorted({tuple(row[n] for n in ("food", "form", "pack", "jar", "canner")) for row in rows if row["acid"]})
    refused = sorted(key for key, found in asked.items() if "tested" not in found)
    short = sorted({tuple(row[n] for n in ("food", "form", "pack", "jar", "canner"))
                    for row in rows if "printed-so" in row["cautions"]})  # fmt: skip
    return [*RANDOM.sample(tested, 28), *RANDOM.sample(acid, 14), *RANDOM.sample(refused, 15), *short[:3]]


QUESTIONS = _questions()


@pytest.fixture(scope="module", params=["sqlite", "duckdb"])
def base(request, tmp_path_factory):
    path = str(tmp_path_factory.mktemp("view") / "all")
    export(str(HOME), path, request.param)
    opened = sqlite3.connect(path) if request.param == "sqlite" else duckdb.connect(path, read_only=True)
    yield opened
    opened.close()


def _found(food, form, pack, jar, canner, height):
    try:
        return stillroom.find(
            food, jar=jar, altitude=f"{height} ft", canner=canner, pack=pack or None, form=form or None
        )
    except stillroom.NoTestedSchedule as refusal:
        return refusal


def _words(stated):
    """What the library says, without what hangs on the height or the pressure: said for any of them in the view."""
    return {each.id: each.text for each in stated if each.id not in ("sterilize-jars-boil", "printed-so")}


def test_one_filter_gives_what_find_gives(base):
    assert len(QUESTIONS) == 60
    told = 0
    for food, form, pack, jar, canner in QUESTIONS:
        for height in HEIGHTS:
            rows = base.execute(FILTER, (food, form, pack, jar, canner, height, height)).fetchall()
            answer = _found(food, form, pack, jar, canner, height)
            if isinstance(answer, stillroom.NoTestedSchedule):
                cited = (answer.source.id, answer.source.page) if answer.source else (None, None)
                assert rows == [(answer.code, *[None] * 6, *cited, None)], (food, height)
                continue
            assert [row[9] for row in rows] == [o.vent and 10 for o in answer.options]  # page 1-20
            assert [row[:5] + row[7:9] for row in rows] == [
                (
                    "tested",
                    place,
                    option.minutes,
                    option.pressure_psi,
                    option.headspace_in,
                    option.source.id,
                    option.page,
                )
                for place, option in enumerate(answer.options, 1)
            ], (food, form, pack, jar, canner, height)
            for row, option in zip(rows, answer.options, strict=True):
                for column, stated in ((row[5], option.requires), (row[6], option.cautions)):
                    for text in _words(stated).values():
                        assert text in column
                        told += 1
                    assert (column is None) == (not stated)
    assert told > 1000


def test_an_altitude_as_text_or_none_answers_rightly_or_not_at_all(base):
    beans = ("snap-beans", "", "raw", "quart", "dial")
    right = base.execute(FILTER, (*beans, 2000.5, 2000.5)).fetchall()
    assert right[0][2:4] == (25, 12)  # Complete Guide 2015, page 4-9
    assert base.execute(FILTER, (*beans, "2000.5", "2000.5")).fetchall() == right
    assert base.execute(FILTER, (*beans, None, None)).fetchall() == []


def test_one_minute_is_said_to_be_what_is_printed_and_sterilizing_for_any_altitude(base):
    said = dict(base.execute("SELECT ids, words FROM said").fetchall())
    assert all("1 minute is what the table prints" in text for ids, text in said.items() if "printed-so" in ids.split())
    boiled = [text for ids, text in said.items() if "sterilize-jars-boil" in ids.split()]
    assert boiled and all("10 minutes below 1,000 ft, 1 minute more" in text for text in boiled)


def test_the_question_in_the_readme_answers_as_its_first_line_does(base):
    """Complete Guide 2015, page 4-9: raw snap beans, quarts, dial gauge: 25 minutes at 11 lb up to 2,000 ft."""
    question, *_ = re.findall(r"```sql\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), flags=re.DOTALL)
    (row,) = base.execute(question).fetchall()
    assert row[:3] == ("tested", 25, 11) and row[-2:] == ("usda-2015", "4-9")

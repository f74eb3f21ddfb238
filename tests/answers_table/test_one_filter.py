"""The table of answers against the library, both ways: one filter gives what find gives, and nothing else stands there.

The filter is SQL on the view ``answer`` of the SQLite file of a release, as a program without this library writes it.
"""

from __future__ import annotations

import math
import sqlite3
from collections import defaultdict
from functools import cache
from itertools import pairwise

import pytest

import stillroom
from stillroom.answers.answer import NoTestedSchedule, SayWhich
from stillroom.answers.stems import plain
from stillroom.sheets.exported import export
from tests.conftest import table
from tests.repository import HOME
from tests.trials import THOROUGH

FILTER = """
SELECT result, option, minutes, pressure_psi, headspace_in, acid, requires, cautions, follows, source, page FROM answer
WHERE food = ? AND form = ? AND pack = ? AND jar = ? AND canner = ? AND ? > above_ft AND ? <= to_ft
ORDER BY option
"""
EVERY = (-1355, 0, 1000, 1000.5, 1001, 2000, 2000.5, 3000, 3000.5, 4000, 4000.5, 6000, 6000.5, 8000, 8000.5, 20000)
HEIGHTS = EVERY if THOROUGH else (-1355, 1000, 1000.5, 2000.5, 3000, 4000.5, 6000.5, 8000, 20000)
"""On every change both sides of the lowest edge and one of each other; by hand all."""
JARS = ("half-pint", "12-ounce", "pint", "pint-and-half", "quart", "half-gallon")
CANNERS = ("boiling-water", "dial", "steam", "weighted")


@pytest.fixture(scope="module")
def base(tmp_path_factory):
    out = tmp_path_factory.mktemp("release") / "canning.sqlite"
    export(str(HOME), str(out), "sqlite")
    with sqlite3.connect(out) as opened:
        yield opened


def _filtered(base, *asked, height):
    return base.execute(FILTER, (*asked, height, height)).fetchall()


@cache
def _found(food, form, pack, jar, canner, height):
    """What the library answers, in the columns of the filter."""
    try:
        answer = stillroom.find(
            food, jar=jar, altitude=f"{height} ft", canner=canner, pack=pack or None, form=form or None
        )
    except NoTestedSchedule as refusal:
        cited = (refusal.source.id, refusal.source.page) if refusal.source else (None, None)
        return [(refusal.code, None, None, None, None, None, None, None, None, *cited)]
    owner = {row["food"]: row["follows"] for row in table("schedules/relations.csv")}.get(food, "")
    return [
        (
            "tested",
            place,
            option.minutes,
            option.pressure_psi,
            option.headspace_in,
            " ".join(stated.text for stated in option.requires if stated.id == "acid") or None,
            " ".join(dict.fromkeys(stated.id for stated in option.requires)) or None,
            " ".join(dict.fromkeys(stated.id for stated in option.cautions)) or None,
            owner or None,
            option.source.id,
            option.page,
        )
        for place, option in enumerate(answer.options, 1)
    ]


def _asked():
    """Every question with nothing left open, from the tables as text: a pack where one is printed, or named anyway."""
    relations = {row["food"]: row for row in table("schedules/relations.csv")}
    printed = defaultdict(lambda: defaultdict(set))
    for group in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads"):
        for row in table(f"schedules/{group}.csv"):
            printed[row["food"]][row["form"]].add(row["pack"])
    for food in (row["id"] for row in table("schedules/foods.csv")):
        relation = relations.get(food, {"follows": food, "pack": ""})
        for form, packs in printed[relation["follows"]].items():
            own = {pack for pack in packs if relation["pack"] in ("", pack)}
            for pack in ("hot", "raw") if own != {""} else ("", "hot", "raw"):
                for jar in JARS:
                    for canner in CANNERS:
                        yield food, form, pack, jar, canner


def test_one_filter_gives_what_the_library_gives_for_every_question_and_height(base):
    asked = list(_asked())
    assert len(asked) > 7_000
    for question in asked:
        for height in HEIGHTS:
            assert _filtered(base, *question, height=height) == _found(*question, height), (question, height)


def test_no_row_stands_there_for_anything_else(base):
    there = set(base.execute("SELECT DISTINCT food, form, pack, jar, canner FROM answer"))
    assert there == set(_asked())


def test_the_rows_of_one_question_meet_without_a_hole_and_without_a_lap(base):
    spans = defaultdict(set)
    for *asked, above, to in base.execute("SELECT food, form, pack, jar, canner, above_ft, to_ft FROM answer"):
        spans[tuple(asked)].add((above, to))
    for asked, found in spans.items():
        edges = sorted(found)
        assert edges[0][0] == -math.inf and edges[-1][1] == math.inf, asked
        assert all(low[1] == high[0] for low, high in pairwise(edges)), asked


def test_nothing_is_weaker_between_two_printed_bands_below_the_sea_or_above_the_last(base):
    """Complete Guide 2015, page 4-9: raw snap beans, quarts, dial gauge: 25 min at 11, 12, 13, 14 lb up to 8,000 ft."""
    beans = ("snap-beans", "", "raw", "quart", "dial")
    psi = {height: [row[3] for row in _filtered(base, *beans, height=height)] for height in EVERY}
    assert psi[-1355] == psi[0] == psi[2000] == [11]
    assert psi[2000.5] == psi[4000] == [12]
    assert psi[6000.5] == psi[8000] == [14]
    assert [row[0] for row in _filtered(base, *beans, height=8000.5)] == ["altitude-not-tested"]
    # page 2-10 (berries, hot, pints or quarts): 15 min up to 1,000 ft, 20 min from 1,001
    berries = ("berries", "", "hot", "pint", "boiling-water")
    minutes = {height: [row[2] for row in _filtered(base, *berries, height=height)] for height in EVERY}
    assert minutes[-1355] == minutes[1000] and minutes[1000.5] == minutes[1001] > minutes[1000]


def test_each_name_leads_to_what_the_library_understands_and_withheld_names_to_their_refusal(base):
    by_name = defaultdict(list)
    columns = ", ".join(f"COALESCE({name}, '')" for name in ("food", "form", "pack", "withheld", "result"))
    for name, *rest in base.execute(f"SELECT name, {columns} FROM names"):
        by_name[name].append(tuple(rest))
    ids = {row["id"] for row in table("schedules/foods.csv")}
    for name, rows in by_name.items():
        assert plain(name) == name
        said = {(food, form, pack) for food, form, pack, _, _ in rows}
        if rows[0][3]:
            with pytest.raises(NoTestedSchedule) as refusal:
                _names().meanings(name)
            assert [row[4] for row in rows] == [refusal.value.code], name
        else:
            found = {(m.food, m.form, m.pack) for m in _names().meanings(name)}
            assert said == found or name in ids, name


def test_every_name_of_the_tables_is_there(base):
    there = {name for (name,) in base.execute("SELECT name FROM names")}
    wanted = [row["title"] for row in table("schedules/foods.csv")]
    wanted += [row["id"].replace("-", " ") for row in table("schedules/foods.csv")]
    wanted += [row["alias"] for row in table("schedules/aliases.csv")]
    wanted += [row["name"] for row in table("schedules/open-names.csv")]
    wanted += [row["alias"] for row in table("schedules/withheld-names.csv")]
    assert {plain(name) for name in wanted} <= there


def test_a_name_with_several_rows_is_asked_back_by_the_library(base):
    several = base.execute(
        "SELECT name FROM names GROUP BY name HAVING count(DISTINCT food || '/' || COALESCE(form, '')) > 1"
    ).fetchall()
    assert ("lima beans",) in several
    for (name,) in several:
        with pytest.raises((SayWhich, NoTestedSchedule)):
            stillroom.find(name, jar="pint", altitude="500 ft", canner="dial", pack="hot")


@cache
def _names():
    from stillroom.answers.names import Names
    from stillroom.package.package import Package

    return Names(Package(str(HOME)))

"""A brute-force scan of the CSV files against find, for every combination and every band edge.

The scan knows nothing of the library: it reads the tables as text and walks them row by row.
"""

from __future__ import annotations

from collections import Counter, defaultdict

import pytest

import stillroom
from stillroom.answers.answer import NoTestedSchedule
from tests.conftest import table
from tests.trials import THOROUGH

JARS = ("half-pint", "12-ounce", "pint", "pint-and-half", "quart", "half-gallon")
CANNERS = ("boiling-water", "dial", "weighted")
EDGES = (0, 1000, 1001, 2000, 2001, 3000, 3001, 4000, 4001, 6000, 6001, 8000, 8001)
RULES = [(r["jar"], r["takes"], r["food"]) for r in table("shared/jar-rules.csv")]
ALTITUDES = sorted({edge + step for edge in EDGES for step in (-1, -0.5, 0, 0.5, 1)})
WHERE_NOTHING_IS_PRINTED = ALTITUDES if THOROUGH else EDGES
"""Altitudes asked for a combination without a row: by hand all of them, which takes twice as long."""


@pytest.fixture(scope="module")
def rows_of(schedules):
    by_food = defaultdict(list)
    for row in schedules:
        by_food[row["food"]].append(row)
    relations = {row["food"]: row for row in table("schedules/relations.csv")}
    for food, relation in relations.items():
        by_food[food] = [row for row in by_food[relation["follows"]] if relation["pack"] in ("", row["pack"])]
    return by_food


def _fitting(rows, form, pack, jar, canner):
    """Return the tested rows that a person with the tables in hand would look at, of the jar or of the one it takes."""
    for printed in (jar, *(takes for has, takes, only in RULES if has == jar and only in ("", rows[0]["food"]))):
        fitting = [
            row
            for row in rows
            if (row["form"], row["pack"], row["jar"], row["gauge"] or row["method"]) == (form, pack, printed, canner)
        ]
        if fitting:
            return fitting
    return []


def _scan(fitting, altitude):
    """Return the cells of these rows that hold at an altitude."""
    lowest = min((int(row["altitude_from_ft"]) for row in fitting), default=0)
    here = [
        row
        for row in fitting
        if (altitude > int(row["altitude_from_ft"]) - 1 or int(row["altitude_from_ft"]) == lowest)
        and (row["altitude_to_ft"] == "" or altitude <= int(row["altitude_to_ft"]))
    ]
    return sorted(((int(r["minutes"]), int(r["pressure_psi"] or 0), r["page"]) for r in here), reverse=True)


def _ask(food, asked, altitude):
    try:
        answer = stillroom.find(food, **asked, altitude=f"{altitude} ft")
    except NoTestedSchedule as refusal:
        return [], refusal.code
    return [(o.minutes, o.pressure_psi or 0, o.page) for o in answer.options], "answered"


@pytest.mark.parametrize("canner", CANNERS)
def test_find_answers_exactly_what_a_scan_of_the_tables_finds(canner, rows_of, foods):
    counted = Counter()
    for food in foods:
        rows = rows_of[food]
        forms = sorted({row["form"] for row in rows})
        packs = sorted({row["pack"] for row in rows} | {"hot", "raw"})
        for form in forms:
            for pack in packs:
                for jar in JARS:
                    fitting = _fitting(rows, form, pack, jar, canner)
                    for altitude in ALTITUDES if fitting else WHERE_NOTHING_IS_PRINTED:
                        wanted = _scan(fitting, altitude)
                        asked = {"pack": pack or None, "form": form or None, "jar": jar, "canner": canner}
                        given, code = _ask(food, asked, altitude)
                        assert given == wanted, (food, asked, altitude, code)
                        counted[code] += 1
    assert counted["answered"] > 8_000
    assert not counted["unknown-food"]


def test_every_row_is_reachable_and_every_option_comes_from_a_row(schedules):
    for row in schedules:
        asked = {
            "pack": row["pack"] or None,
            "form": row["form"] or None,
            "jar": row["jar"],
            "canner": row["gauge"] or row["method"],
            "altitude": f"{row['altitude_from_ft']} ft",
        }
        options = stillroom.find(row["food"], **asked).options
        given = {(o.minutes, o.pressure_psi, o.page) for o in options}
        cell = (int(row["minutes"]), int(row["pressure_psi"]) if row["pressure_psi"] else None, row["page"])
        assert cell in given, row


def test_every_cell_printed_as_not_recommended_is_shown_with_the_answer_and_is_none():
    rows = table("schedules/not-recommended.csv")
    for row in rows:
        for altitude in ("1001 ft", "1000.5 ft", "9500 ft"):
            asked = {"pack": row["pack"], "jar": row["jar"], "canner": row["gauge"], "altitude": altitude}
            options = stillroom.find(row["food"], **asked).options
            assert all(int(row["minutes"]) in option.not_recommended for option in options), row
            assert int(row["minutes"]) not in {option.minutes for option in options}
        below = stillroom.find(row["food"], **{**asked, "altitude": "1000 ft"}).options
        assert (int(row["minutes"]), 15) in {(option.minutes, option.pressure_psi) for option in below}
        assert not any(option.not_recommended for option in below)
    assert len(rows) == 18

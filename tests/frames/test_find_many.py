"""A frame of questions against ``find``, question by question, in every kind of frame.

What a row says must be what ``stillroom.find`` says to the same words; no other reference is needed, since ``find`` is
held to the publication elsewhere. The kinds of frames are others' programs: pandas, polars, Arrow, DuckDB, Dask, Spark.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

import duckdb
import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pytest

import stillroom
from stillroom.answers.answer import NoTestedSchedule, SayWhich
from stillroom.desk import conformance
from stillroom.errors import BadInput
from tests.conftest import ROOT, table

COLUMNS = ("food", "form", "pack", "jar", "canner", "altitude")
SAID = ("result", "option", "minutes", "pressure_psi", "headspace_in", "source", "page")
IDS = ("food_id", "form_id", "pack_id", "jar_id", "canner_id")
Row = tuple[Any, ...]
RANDOM = random.Random(20261126)


@cache
def found(*asked: str | None) -> tuple[Row, ...]:
    """What ``find`` says to a question: the rows of SAID, with ids and acid after them."""
    food: Any = asked[0]
    form, pack, jar, canner, altitude = (
        each if each and each.strip() else None for each in asked[1:]
    )  # a blank cell is left out
    try:
        answer = stillroom.find(food, form=form, pack=pack, jar=jar, canner=canner, altitude=altitude)
    except NoTestedSchedule as refusal:
        cited = (refusal.source.id, refusal.source.page) if refusal.source else (None, None)
        return ((refusal.code, None, None, None, None, *cited, None, None),)
    except SayWhich:
        return (("say-which", *[None] * 8),)
    except BadInput:
        return (("bad-input", *[None] * 8),)
    ids = (answer.food, answer.form, answer.pack, answer.jar, answer.canner)
    return tuple(
        (
            "tested",
            place,
            option.minutes,
            option.pressure_psi,
            option.headspace_in,
            option.source.id,
            option.page,
            ids,
            " ".join(stated.id for stated in option.requires),
        )
        for place, option in enumerate(answer.options, 1)
    )


def rows(frame: Any) -> list[dict[str, Any]]:
    """Rows of any frame, missing as None."""
    if hasattr(frame, "compute"):
        frame = frame.compute()
    elif hasattr(frame, "collect"):
        frame = frame.collect()
    if isinstance(frame, pd.DataFrame):
        held = frame.astype(object).where(frame.notna(), None)
        return [dict(zip(held.columns, row, strict=True)) for row in held.itertuples(index=False)]
    if isinstance(frame, pl.DataFrame):
        return frame.to_dicts()
    if isinstance(frame, duckdb.DuckDBPyRelation):
        return [dict(zip(frame.columns, row, strict=True)) for row in frame.fetchall()]
    if isinstance(frame, list):
        return [row.asDict() for row in frame]
    return list(frame.to_pylist())


def _relation(questions: dict[str, list[Any]]) -> Any:
    base = duckdb.connect()
    base.register("stillroom_test", pa.table(questions))
    return base.table("stillroom_test")


def _dask(questions: dict[str, list[Any]]) -> Any:
    frames = pytest.importorskip("dask.dataframe")
    return frames.from_pandas(pd.DataFrame(questions), npartitions=3)


KINDS: dict[str, Callable[[dict[str, list[Any]]], Any]] = {
    "arrow": pa.table,
    "pandas": pd.DataFrame,
    "polars": pl.DataFrame,
    "polars, lazy": pl.LazyFrame,
    "duckdb": _relation,
    "dask": _dask,
}


def columns(asked: list[Row]) -> dict[str, list[Any]]:
    told: dict[str, list[Any]] = dict(zip(COLUMNS, map(list, zip(*asked, strict=True)), strict=True))
    return {**told, "place": list(range(len(asked)))}


def held(answered: list[dict[str, Any]], asked: list[Row]) -> None:
    """Hold the rows of a frame to what ``find`` says to each question, in their order."""
    wanted = [(place, each) for place, question in enumerate(asked) for each in found(*question)]
    assert [row["place"] for row in answered] == [place for place, _ in wanted]
    for row, (place, want) in zip(answered, wanted, strict=True):
        assert tuple(row[name] for name in SAID) == want[:7], (asked[place], row)
        assert (row["reason"] is None) == (row["result"] == "tested"), asked[place]
        if want[7] is not None:
            assert tuple(row[name] for name in IDS) == want[7], asked[place]
            assert (row["requires"] or "") == " ".join(dict.fromkeys(want[8].split())), asked[place]


def sayings() -> list[Row]:
    """Questions in words of people: names of every kind with jars, canners and altitudes as people write them."""
    said = table("tests/words/sayings.csv")
    whole: list[Row] = [tuple(row[name] or None for name in COLUMNS) for row in said]
    names = [row["food"] for row in said] + [row["name"] for row in table("schedules/names.csv")[::9]]
    jars = ("pint", "qt", "16 oz", "quart jars", "half gallon", "8 oz", None, "", "jar", "24 oz", "12-ounce", "gallon")
    canners = ("dial", "weighted gauge", "water bath", "pressure canner", None, "", "oven", "steam", "boiling-water")
    heights = ("1650 ft", "503 m", "sea level", "304.8 m", "1000.5 ft", "9,000 ft", "0.5 km", "1000", None, "",
               "12 furlongs", "-20 ft", "8000 ft", "8000.5 ft", "40000 ft")  # fmt: skip
    packs = ("hot", "raw", "hot pack", None, "", "cold", "warm")
    return whole + [
        (
            name,
            RANDOM.choice((None, None, None, "", "with bones")),
            RANDOM.choice(packs) or None,
            RANDOM.choice(jars) or None,
            RANDOM.choice(canners) or None,
            RANDOM.choice(heights),
        )
        for name in names
    ]


def cases() -> Iterator[Row]:
    """Every case for authors in other languages: all rules, relations and codes, at the edges of all bands."""
    for case in conformance.cases(stillroom.shelf()):
        if "food" in case["ask"]:
            ask = case["ask"]
            named = (ask["form"] or None, ask["pack"] or None, ask["jar"], ask["canner"])
            yield (ask["food"], *named, f"{ask['altitude_ft']:g} ft")


def test_all_rules_and_edges_at_once() -> None:
    asked = list(cases())
    assert len(asked) > 6_000
    held(rows(stillroom.find_many(pl.DataFrame(columns(asked)))), asked)


def test_every_row_of_the_table_of_answers_at_a_random_height_in_its_band() -> None:
    told = table("schedules/answers.csv")
    feet = [RANDOM.uniform(float(row["above_ft"] or -1500) + 0.001, float(row["to_ft"] or 30000)) for row in told]
    asked = {name: [row[name] for row in told] for name in ("food", "form", "pack", "jar", "canner")}
    answered = rows(stillroom.find_many(pa.table({**asked, "altitude_ft": feet, "place": list(range(len(told)))})))
    by_place: dict[int, list[dict[str, Any]]] = {}
    for row in answered:
        by_place.setdefault(row["place"], []).append(row)
    for place, row in enumerate(told):
        (same,) = (each for each in by_place[place] if str(each["option"] or "") == row["option"])
        for name in ("result", "acid", "requires", "cautions", "by_rule", "follows", "source", "page"):
            assert (same[name] or "") == row[name], row
        for name in ("minutes", "pressure_psi", "headspace_in"):
            assert same[name] == (float(row[name]) if row[name] else None), row


@pytest.mark.parametrize("kind", KINDS)
def test_words_are_understood_as_find_understands_them_in_every_kind_of_frame(kind: str) -> None:
    asked = sayings()
    results = {each[0][0] for each in (found(*question) for question in asked)}
    assert results > {"tested", "say-which", "bad-input", "unknown-food", "withheld", "method-unsafe"}
    asked = asked if kind in ("polars", "pandas") else asked[::7]
    answered = stillroom.find_many(KINDS[kind](columns(asked)))
    assert type(answered) is type(KINDS[kind](columns(asked)))
    held(rows(answered), asked)


@pytest.mark.parametrize("kind", KINDS)
def test_heights_in_feet_and_in_meters(kind: str) -> None:
    """One foot is 0.3048 m exactly (NIST Special Publication 811): 304.8 m is 1,000 ft, in the band up to 1,000 ft.

    Page 2-10 (berries, hot, pints): 15 min up to 1,000 ft, 20 from 1,001. Page 4-9 (snap beans, raw, quarts, dial
    gauge): 25 min at 11 lb up to 2,000 ft, 12 up to 4,000, 14 up to 8,000, nothing above.
    """
    berries = {"food": ["berries"] * 4, "jar": ["pint"] * 4, "canner": ["boiling-water"] * 4, "pack": ["hot"] * 4}
    in_meters = KINDS[kind]({**berries, "altitude_m": [304.8, 304.801, -430, 0.0]})
    assert [row["minutes"] for row in rows(stillroom.find_many(in_meters))] == [15, 20, 15, 15]
    beans = {"food": ["snap beans"] * 6, "altitude_ft": [2000.0, 2000.001, 8000.0, 8000.5, None, 50_000]}
    answered = rows(stillroom.find_many(KINDS[kind](beans), jar="quart", pack="raw", canner="dial"))
    assert [row["pressure_psi"] for row in answered] == [11, 12, 14, None, None, None]
    assert [row["result"] for row in answered][3:] == ["altitude-not-tested", "bad-input", "bad-input"]
    assert "say the altitude" in answered[4]["reason"] and "no ground" in answered[5]["reason"]


def test_equal_options_are_rows_of_their_own_and_pandas_keeps_its_index_and_all_other_columns() -> None:
    """Page 3-6 (tomato juice, dial gauge, quarts): 20 min at 6 psi or 15 min at 11 psi up to 2,000 ft."""
    asked = pd.DataFrame(
        {"note": ["a", "b"], "food": ["tomato juice", "garlic in oil"], "jars": [7, 9]}, index=["first", "second"]
    )
    answered = stillroom.find_many(asked, altitude="1000 ft", canner="dial", jar="quart")
    assert list(answered.index) == ["first", "first", "second"]
    assert list(answered.columns[:3]) == ["note", "food", "jars"] and list(answered.jars) == [7, 7, 9]
    assert list(answered.minutes.head(2)) == [20, 15] and list(answered.pressure_psi.head(2)) == [6, 11]
    assert list(answered.result) == ["tested", "tested", "withheld"]
    assert list(asked.columns) == ["note", "food", "jars"]  # what was handed over is as it was


def test_a_reason_names_no_height_that_was_not_asked() -> None:
    questions = pl.DataFrame({"food": ["snap beans"] * 2, "altitude_ft": [9000.0, 12_000.0]})
    reasons = stillroom.find_many(questions, jar="quart", pack="raw", canner="dial")["reason"]
    (reason,) = set(reasons)
    assert reason.endswith("a dial-gauge pressure canner ends at 8,000 ft; this altitude is above it.")


def test_many_different_altitudes_in_words_are_read_as_each_alone() -> None:
    heights = [f"{RANDOM.uniform(-100, 9000):.{RANDOM.choice((0, 1, 2))}f} ft" for _ in range(400)]
    heights += [f"{RANDOM.randint(0, 3000)} m" for _ in range(200)]
    heights += [
        "1.650 ft",
        "1,650 ft",
        " 5000ft",
        "+12 feet",
        "1e3 ft",
        "5000 FT",
        "",
        "about 1000 ft",
        "1 000 ft",
        "-0 ft",
    ]
    asked = [("snap beans", None, "raw", "quart", "dial", height) for height in heights]
    answered = rows(stillroom.find_many(pa.table(columns(asked))))
    held(answered, asked)
    for row in answered:
        if row["result"] != "bad-input":
            assert row["at_ft"] == stillroom.find("peaches", jar="pint", pack="hot", canner="boiling-water",
                                                  altitude=row["altitude"]).altitude_ft  # fmt: skip


def test_columns_may_be_missing_blank_null_or_categories() -> None:
    beans = {"food": ["green beans"], "altitude": ["1650 ft"], "jar": ["quart"], "canner": ["dial"], "pack": ["raw"]}
    for frame in (
        pd.DataFrame(beans).astype("category"),
        pd.DataFrame(beans).astype(object),
        pd.DataFrame({**beans, "form": [np.nan]}),
        pd.DataFrame({**beans, "form": ["  "]}),
        pl.DataFrame(beans).cast(pl.Categorical),
        pl.DataFrame({**beans, "form": [None]}),
        pa.table({name: pa.array(cells).dictionary_encode() for name, cells in beans.items()}),
        pa.table({name: pa.array(cells, pa.string_view()) for name, cells in beans.items()}),
    ):
        (row,) = rows(stillroom.find_many(frame))
        assert (row["result"], row["minutes"], row["pressure_psi"]) == ("tested", 25, 11)


@pytest.mark.parametrize("kind", KINDS)
def test_no_question_is_no_answer(kind: str) -> None:
    frame = KINDS[kind]({name: pa.array([], pa.string()) for name in COLUMNS})  # type: ignore[dict-item]
    answered = stillroom.find_many(frame)
    assert rows(answered) == []


@pytest.mark.parametrize(
    ("frame", "said", "told"),
    [
        ({"altitude_ft": [1]}, {}, 'no column "food"'),
        ({"food": ["corn"]}, {}, "has no altitude"),
        ({"food": ["corn"], "altitude": [1650]}, {}, "bare numbers"),
        ({"food": ["corn"], "altitude_ft": ["1650 ft"]}, {}, "not numbers"),
        ({"food": ["corn"], "altitude_ft": [1.0], "altitude": ["1 ft"]}, {}, "leave one of them out"),
        ({"food": ["corn"], "altitude_ft": [1.0]}, {"altitude": "1 ft"}, "leave one of them out"),
        ({"food": ["corn"], "altitude_ft": [1.0], "jar": ["pint"]}, {"jar": "pint"}, "leave one of them out"),
        ({"food": ["corn"], "altitude_ft": [1.0], "jar": [16]}, {}, "not text"),
        ({"food": ["corn"], "altitude_ft": [1.0], "minutes": [5]}, {}, '"minutes", which the answer adds'),
        ({"food": [5], "altitude_ft": [1.0]}, {}, "holds numbers, not text"),
        ({"food": ["corn"], "altitude_ft": [1.0], "Minutes": [5]}, {}, '"Minutes", which the answer adds'),
        ({"food": ["corn"], "altitude_ft": [1.0], "Pack": ["raw"]}, {}, 'write it "pack"'),
        ({"Food": ["corn"], "altitude_ft": [1.0]}, {}, 'write it "food"'),
        ({"food": ["corn"], "Altitude Ft": [9000.0]}, {"altitude": "1 ft"}, 'write it "altitude_ft"'),
        ({"food": ["corn"], "elevation": [9000.0]}, {"altitude": "1 ft"}, 'write it "altitude_ft"'),
        ({"food": ["corn"], "altitude_ft": [1.0]}, {"jar": 5}, "not text"),
    ],
)
def test_what_is_wrong_with_a_whole_frame_is_one_line(frame: dict[str, Any], said: dict[str, Any], told: str) -> None:
    for kind in (pd.DataFrame, pl.DataFrame, pa.table):
        with pytest.raises(BadInput, match=told) as error:
            stillroom.find_many(kind(frame), **said)
        assert "\n" not in str(error.value)


def test_what_is_no_frame_is_one_line() -> None:
    for thing in ([], {"food": ["corn"]}, "corn", None):
        with pytest.raises(BadInput, match="no data frame"):
            stillroom.find_many(thing)
    for name in (7, None, ("t", "u")):
        with pytest.raises(BadInput, match="no text: give it a name"):
            stillroom.find_many(pd.DataFrame([["corn", 1.0, 3]], columns=["food", "altitude_ft", name]))
    with pytest.raises(BadInput, match="two columns of one name"):
        stillroom.find_many(pd.DataFrame([["corn", 1.0, 3, 4]], columns=["food", "altitude_ft", "z", "z"]))


def test_a_cell_of_another_kind_is_wrong_in_its_own_row() -> None:
    asked = pd.DataFrame(
        {"food": ["snap beans", "snap beans", 5, "snap beans"], "pack": ["raw", 1, "raw", "raw"],
         "altitude": ["5 ft", "5 ft", "5 ft", 500]}
    )  # fmt: skip
    answered = stillroom.find_many(asked, jar="quart", canner="dial")
    assert list(answered.result) == ["tested", "bad-input", "unknown-food", "bad-input"]


def test_a_pressure_canner_is_vented_first() -> None:
    """Complete Guide 2015, page 1-20: ten minutes, in every pressure canner; none in boiling water."""
    asked = pl.DataFrame({"food": ["peaches", "snap beans"], "canner": ["water bath", "dial"], "pack": ["hot", "raw"]})
    answered = stillroom.find_many(asked, jar="quart", altitude="1 ft")
    assert answered["vent_min"].to_list() == [None, 10]


def test_a_relation_is_answered_in_its_own_connection() -> None:
    base = duckdb.connect()
    base.execute("CREATE TABLE found AS SELECT 'snap beans' AS food, 1650 AS altitude_ft")
    answered = stillroom.find_many(base.table("found"), jar="quart", pack="raw", canner="dial")
    base.register("answered", answered)
    assert base.execute("SELECT minutes, pressure_psi FROM answered JOIN found USING (food)").fetchall() == [(25, 11)]


def test_spark_answers_each_part_where_it_lies(monkeypatch: pytest.MonkeyPatch) -> None:
    """Local mode; started only where Spark is installed (``pip install pyspark``, and a Java runtime)."""
    import sys

    sql = pytest.importorskip("pyspark.sql")
    monkeypatch.setenv("PYSPARK_PYTHON", sys.executable)
    monkeypatch.setenv("PYTHONPATH", f"{ROOT / 'validator'}:{ROOT}")
    spark = sql.SparkSession.builder.master("local[1]").config("spark.ui.enabled", "false").getOrCreate()
    try:
        asked = sayings()[::40]
        told = columns(asked)
        schema = ", ".join(f"{name} {'long' if name == 'place' else 'string'}" for name in told)
        frame = spark.createDataFrame([tuple(row) for row in zip(*told.values(), strict=True)], schema)
        answered = sorted(rows(stillroom.find_many(frame)), key=lambda row: (row["place"], row["option"] or 0))
    finally:
        spark.stop()
    held(answered, asked)

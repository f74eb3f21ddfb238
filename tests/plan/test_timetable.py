"""Days of several foods: by hand from the pages named beside each check, and by properties that hold for every day."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import stillroom
from stillroom.commands.main import main
from stillroom.errors import BadInput
from stillroom.package.package import home
from stillroom.sheets import gantt, load_sheets, run_sheet, timetable_document
from stillroom.sheets.timetable_sheet import timetable_sheet
from tests.conftest import ROOT
from tests.trials import trials

DEMO = str(ROOT / "shared/demo/day.yaml")
BEANS = {"food": "snap beans", "pack": "raw", "jar": "quart", "jars": 14}
PEACHES = {"food": "peaches", "pack": "hot", "jar": "quart", "jars": 7}
DIAL, KETTLE = {"name": "tall", "kind": "dial"}, {"name": "kettle", "kind": "boiling-water"}


def written(folder: Path, **said: Any) -> str:
    """Write a record; JSON is YAML too."""
    path = folder / "day.yaml"
    path.write_text(json.dumps({"altitude": "1650 ft", **said}), encoding="utf-8")
    return str(path)


def told(day: Any) -> str:
    return " ".join(timetable_sheet(day, stillroom.shelf()).split())


def document(day: Any) -> Any:
    found = json.loads(json.dumps(timetable_document.document(day), allow_nan=False))
    for name, part in [("day-plan", found), *(("plan", food["plan"]) for food in found["foods"])]:
        schema = json.loads(Path(home(), "schema", f"{name}.json").read_text(encoding="utf-8"))
        jsonschema.Draft202012Validator.check_schema(schema)
        jsonschema.Draft202012Validator(schema).validate(part)
    return found


# by hand


def test_two_canners_run_side_by_side_and_each_food_is_prepared_before_its_first_load(tmp_path: Path) -> None:
    """Beans, 25 min at 11 psi (4-9): 80 to 125 min a load by 1-17, 1-20, 1-22. Peaches, 30 min (2-20): 55 to 65."""
    day = stillroom.plan_day(
        written(
            tmp_path,
            start="08:00",
            turnaround_min=15,
            canners=[DIAL, KETTLE],
            foods=[{**BEANS, "canner": "tall", "preparation_min": 60}, {**PEACHES, "canner": "kettle"}],
        )
    )
    beans = [one.load for one in day.loads if one.food == 0]
    assert [(tuple(load.begins), tuple(load.ends)) for load in beans] == [
        ((60, 60), (140, 185)),
        ((155, 200), (235, 325)),
    ]
    assert [(tuple(one.load.begins), tuple(one.load.ends)) for one in day.loads if one.food == 1] == [
        ((60, 60), (115, 125))  # one pair of hands: after the beans
    ]
    assert tuple(day.lasts) == (235, 325)
    assert "done at 11:55 to 13:25" in told(day)
    assert day.after_midnight == "no" and "midnight" not in told(day)


def test_one_burner_does_one_canner_at_a_time(tmp_path: Path) -> None:
    foods = [{**BEANS, "canner": "tall"}, {**PEACHES, "canner": "kettle"}]
    one = stillroom.plan_day(written(tmp_path, burners=1, canners=[DIAL, KETTLE], foods=foods))
    assert tuple(one.loads[-1].load.begins) == (160, 250)  # two loads of 80 to 125 minutes come first
    two = stillroom.plan_day(written(tmp_path, burners=2, canners=[DIAL, KETTLE], foods=foods))
    assert tuple(two.loads[1].load.begins) == (0, 0)
    assert {one.burner for one in two.loads if one.canner == "tall"} == {1}


@pytest.mark.parametrize(("start", "said"), [("18:00", "no"), ("19:00", "maybe"), ("21:00", "surely")])
def test_a_day_that_ends_after_midnight_says_so(tmp_path: Path, start: str, said: str) -> None:
    """Two loads of beans take 160 to 250 minutes, preparing them 100: 18:00 ends by 23:50."""
    record = written(tmp_path, start=start, preparation_min=100, canners=[DIAL], foods=[BEANS])
    day = stillroom.plan_day(record)
    assert tuple(day.lasts) == (260, 350)
    assert day.after_midnight == said
    assert ("after midnight" in told(day)) == (said != "no")
    assert document(day)["after_midnight"] == said


def test_minutes_that_were_not_said_are_told_as_not_counted(tmp_path: Path) -> None:
    bare = told(stillroom.plan_day(written(tmp_path, canners=[DIAL], foods=[BEANS])))
    assert "no minutes of it were said: preparing Snap and Italian beans and the turnaround between two loads." in bare
    said = {"preparation_min": 60, "turnaround_min": 15}
    assert "Not counted" not in told(stillroom.plan_day(written(tmp_path, canners=[DIAL], foods=[BEANS], **said)))


def test_one_list_to_buy_for_all_foods() -> None:
    """4-8 the bushel; 3-5 acid in a quart: 2 tablespoons of lemon juice; 6-9 for about 8 pints: 6 lb of cucumbers,
    4 cups of vinegar, 1/2 cup of salt, 4-1/2 cups of sugar."""
    day = stillroom.plan_day(DEMO)
    lines = {(line.kind, line.choices[0].name): line for line in day.to_buy}
    amount = {key: (line.choices[0].amount.low, line.choices[0].amount.unit)
              for key, line in lines.items() if line.choices[0].amount is not None}  # fmt: skip
    assert amount["produce", "snap and Italian beans"] == (1, "bushel")
    assert amount["produce", "pickling cucumbers (4- to 5-inch)"] == (12, "pound")
    assert amount["jars", "quarts"] == (36, "count") and amount["jars", "pints"] == (16, "count")
    assert amount["lids", "new lids for quarts"] == (36, "count")
    assert amount["acid", "bottled lemon juice"] == (32, "tablespoon")
    assert amount["vinegar", "vinegar (5%)"] == (8, "cup")
    assert amount["salt", "canning or pickling salt"] == (1, "cup")
    assert amount["sugar", "sugar"] == (9, "cup")
    assert [line.kind for line in day.to_buy] == sorted(
        (line.kind for line in day.to_buy),
        key=["produce", "jars", "lids", "acid", "vinegar", "salt", "sugar", "other"].index,
    )


def test_rules_for_a_pressure_canner_are_not_told_of_a_boiling_water_canner() -> None:
    sheet = told(stillroom.plan_day(DEMO))
    cool = re.findall(r"- (Cool, [^:]*): (.*?)(?= - )", sheet)
    assert [head for head, _ in cool] == ["Cool, Snap and Italian beans", "Cool, Tomatoes and Bread-and-butter pickles"]
    assert "lid off" not in cool[0][1] and "depressurize" not in cool[1][1]


# by properties

FOODS = [
    ({"food": "snap beans", "pack": "raw"}, "dial", ("pint", "quart")),
    ({"food": "carrots", "pack": "hot"}, "weighted", ("pint", "quart")),
    ({"food": "peaches", "pack": "hot"}, "boiling-water", ("pint", "quart")),
    ({"food": "crushed tomatoes", "pack": "hot"}, "boiling-water", ("pint", "quart")),
    ({"food": "fish", "pack": "raw"}, "dial", ("quart",)),
]


@st.composite
def records(draw: st.DrawFn) -> dict[str, Any]:
    burners = draw(st.integers(1, 3))
    kinds = draw(st.lists(st.sampled_from(["dial", "weighted", "boiling-water"]), min_size=1, max_size=4))
    canners: list[dict[str, Any]] = [{"name": f"canner {n}", "kind": kind} for n, kind in enumerate(kinds)]
    for canner in canners:
        if draw(st.booleans()):
            canner["burner"] = draw(st.integers(1, burners))
        if draw(st.booleans()):
            canner["holds"] = {"quart": draw(st.integers(1, 7)), "pint": draw(st.integers(1, 18))}
    foods = []
    for _ in range(draw(st.integers(1, 5))):
        canner = draw(st.sampled_from(canners))
        said, _, jars = draw(st.sampled_from([one for one in FOODS if one[1] == canner["kind"]]))
        much: dict[str, Any] = {"jars": draw(st.integers(1, 40))}
        if said["food"] in ("snap beans", "peaches") and draw(st.booleans()):
            much = {"pounds": draw(st.integers(5, 60))}
        foods.append({**said, "jar": draw(st.sampled_from(jars)), "canner": canner["name"], **much,
                      "preparation_min": draw(st.integers(0, 120))})  # fmt: skip
    return {"altitude": "1650 ft", "burners": burners, "turnaround_min": draw(st.integers(0, 40)), "canners": canners,
            "foods": foods, "start": "08:00"}  # fmt: skip


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("days")


@settings(max_examples=trials(120), deadline=None)
@given(said=records(), seed=st.integers(0, 2**32))
def test_what_holds_for_every_day(folder: Path, said: dict[str, Any], seed: int) -> None:
    day = stillroom.plan_day(written(folder, **said))
    for lane in (0, 1):
        for canner in day.canners:
            _apart([one.load for one in day.loads if one.canner == canner.name], lane, day.turnaround_min)
        for burner in range(1, day.burners + 1):
            _apart([one.load for one in day.loads if one.burner == burner], lane, 0)
        _apart([food for food in day.foods if food.preparation_min], lane, 0, "ready")
    for canner in day.canners:
        used = {one.burner for one in day.loads if one.canner == canner.name}
        assert used <= ({canner.burner} if canner.burner else set(range(1, day.burners + 1)))
    _each_load_is_that_of_the_single_plan(day, said)
    _any_pace_stays_within(day, random.Random(seed))
    document(day)


def _apart(things: list[Any], lane: int, gap: int, end: str = "ends") -> None:
    """No two at once: of two that follow each other the second begins when the first is over, and its gap."""
    spans = sorted((thing.begins[lane], getattr(thing, end)[lane]) for thing in things)
    for (_, over), (begins, _) in pairwise(spans):
        assert begins >= over + gap


def _each_load_is_that_of_the_single_plan(day: Any, said: dict[str, Any]) -> None:
    kinds = {canner["name"]: canner for canner in said["canners"]}
    for place, entry in enumerate(said["foods"]):
        canner = kinds[entry["canner"]]
        asked = {key: value for key, value in entry.items() if key not in ("canner", "preparation_min")}
        holds = canner.get("holds", {}).get(entry["jar"])
        alone = stillroom.plan(**asked, canner=canner["kind"], altitude=said["altitude"], holds=holds)
        mine = sorted((one.load for one in day.loads if one.food == place), key=lambda load: load.number)
        assert [load.jars for load in mine] == [load.jars for load in alone.loads]
        assert sum(load.jars for load in mine) == alone.jars
        for load, single in zip(mine, alone.loads, strict=True):
            assert [(step.id, step.lasts, step.page) for step in load.steps] == [
                (step.id, step.lasts, step.page) for step in single.steps
            ]
            assert load.ends[0] - load.begins[0] == single.lasts[0]
            assert load.ends[1] - load.begins[1] == single.lasts[1]
            assert load.begins[0] >= day.foods[place].ready[0] and load.begins[1] >= day.foods[place].ready[1]


def _any_pace_stays_within(day: Any, chance: random.Random) -> None:
    """Run the day with loads of any length in their ranges: each begins within what was said, and nothing overlaps."""
    free: dict[Any, int] = {}
    for place, one in sorted(enumerate(day.loads), key=lambda at: (at[1].food, at[1].load.number)):
        food = day.foods[one.food]
        prepared = chance.randint(*food.ready)
        begins = max(prepared, free.get(one.canner, 0), free.get(one.burner, 0))
        assert one.load.begins[0] <= begins <= one.load.begins[1], place
        ends = begins + sum(chance.randint(*step.lasts) for step in one.load.steps)
        free[one.canner], free[one.burner] = ends + day.turnaround_min, ends
        assert one.load.ends[0] <= ends <= one.load.ends[1]


# what is refused


@pytest.mark.parametrize(
    ("said", "error"),
    [
        ({"foods": [BEANS]}, '"canners" is missing'),
        ({"canners": [DIAL]}, "foods or weeks: write one of them"),
        ({"canners": [DIAL], "foods": [BEANS], "weeks": [{"week": 1, "foods": [BEANS]}]}, "and not both"),
        ({"canners": [DIAL], "weeks": [{"week": 1, "foods": [BEANS]}]}, "plan_weeks plans it"),
        ({"canners": [DIAL], "foods": []}, "foods"),
        ({"canners": [DIAL], "foods": [{**BEANS, "pot": "tall"}]}, 'key "pot" is unknown'),
        ({"canners": [DIAL, DIAL], "foods": [{**BEANS, "canner": "tall"}]}, "stands twice"),
        ({"canners": [DIAL, KETTLE], "foods": [BEANS]}, "canner is left out: name one of tall or kettle"),
        ({"canners": [DIAL], "foods": [{**BEANS, "canner": "pot"}]}, "none of the day's"),
        ({"canners": [{**DIAL, "burner": 2}], "foods": [BEANS]}, "burner 2 of 1"),
        ({"canners": [{**DIAL, "holds": {"quart": 8}}], "foods": [BEANS]}, "foods.1: holds 8 quarts is too many"),
        ({"canners": [{**DIAL, "holds": {"quart": 7, "qts": 6}}], "foods": [BEANS]}, "stands twice"),
        ({"canners": [{"name": "a", "kind": "oven"}], "foods": [BEANS]}, "canners.1"),
        ({"canners": [{**KETTLE, "gauge": {"reads_high_by": "1 psi"}}], "foods": [PEACHES]}, "leave it out"),
        ({"canners": [DIAL], "foods": [{**BEANS, "pounds": 40}]}, "foods.1: jars and pounds are said together"),
        ({"canners": [DIAL], "foods": [{"food": "snap beans", "jar": "pint", "pack": "raw"}]}, "foods.1: jars are not"),
        ({"canners": [DIAL], "foods": [BEANS], "start": "25:00"}, "not on the clock"),
        ({"canners": [DIAL], "foods": [BEANS], "turnaround_min": -1}, "turnaround_min -1 does not fit"),
        ({"canners": [DIAL], "foods": [BEANS], "altitude": "1650"}, "foods.1: altitude"),
    ],
)
def test_a_record_that_does_not_fit_is_refused_in_one_line_with_its_name(
    tmp_path: Path, said: dict[str, Any], error: str
) -> None:
    with pytest.raises(BadInput) as caught:
        stillroom.plan_day(written(tmp_path, **said))
    assert error in str(caught.value)
    assert str(caught.value).startswith("day.yaml:") and "\n" not in str(caught.value)


def test_a_food_that_is_not_tested_refuses_the_day_and_is_named(tmp_path: Path, capsys: Any) -> None:
    record = written(tmp_path, canners=[KETTLE], foods=[PEACHES, BEANS])
    assert main(["plan", record, "--no-kitchen", "--sheets", str(tmp_path / "out")]) == 3
    assert "Snap and Italian beans: a low-acid food" in capsys.readouterr().out
    with pytest.raises(stillroom.NoTestedSchedule) as caught:
        stillroom.plan_day(record)
    assert caught.value.code == "method-unsafe"
    assert caught.value.__notes__ == ["It is foods.2 of day.yaml."]
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "words",
    [[DEMO, "--jars", "7"], [DEMO, "--jar", "pint"], [DEMO, "--sheet", "a.html"], ["figs", "--gantt", "a.svg"],
     ["figs", "--sheets", "a"], ["nowhere.yaml"], [DEMO, "--gantt", "a.pdf"]],
)  # fmt: skip
def test_options_of_another_kind_of_plan_are_refused_in_one_line(words: list[str], capsys: Any) -> None:
    assert main(["plan", *words, "--no-kitchen"]) == 2
    shown = capsys.readouterr()
    assert shown.out == "" and shown.err.startswith("stillroom: ") and shown.err.count("\n") == 1


# what is written


def test_the_command_writes_the_chart_and_a_sheet_for_each_load(tmp_path: Path, capsys: Any) -> None:
    chart, sheets = tmp_path / "day.svg", tmp_path / "sheets"
    for _ in range(2):  # ours are replaced
        assert main(["plan", DEMO, "--no-kitchen", "--gantt", str(chart), "--sheets", str(sheets)]) == 0
    text = capsys.readouterr().out
    assert max(map(len, text.splitlines())) <= 80
    names = sorted(path.name for path in sheets.iterdir())
    day = stillroom.plan_day(DEMO)
    assert names == [load_sheets.file_name(one, day) for one in day.loads]
    for one, name in zip(day.loads, names, strict=True):
        sheet = (sheets / name).read_text(encoding="utf-8")
        assert f"Load {one.number} of {len(day.loads)}" in sheet and f"{one.canner}, burner {one.burner}" in sheet
        assert run_sheet.MARK in sheet
    (sheets / names[0]).write_text("my notes", encoding="utf-8")
    assert main(["plan", DEMO, "--no-kitchen", "--sheets", str(sheets)]) == 2
    assert (sheets / names[0]).read_text(encoding="utf-8") == "my notes"


def test_the_chart_is_told_apart_without_color(tmp_path: Path) -> None:
    path = tmp_path / "day.svg"
    gantt.draw(stillroom.plan_day(DEMO), str(path))
    drawn = path.read_text(encoding="utf-8")
    for color in set(re.findall(r"#([0-9a-f]{6})", drawn)):
        assert color[:2] == color[2:4] == color[4:], color  # grays only
    for words in ("tall", "kettle", "burner 1", "PROCESS", "venting", "08:00", "1 Snap and Italian", "your hands"):
        assert words in drawn


def test_the_text_names_every_load_with_its_steps_and_pages() -> None:
    day = stillroom.plan_day(DEMO)
    text = timetable_sheet(day, stillroom.shelf())
    assert text.count("Jars out  ") == len(day.loads) == 8
    assert text.count("  Process  ") == 8
    sheet = " ".join(text.split())
    for food in day.foods:
        for stated in (*food.plan.option.requires, *food.plan.cautions):
            assert stated.text.rstrip(".") in sheet
    assert "no other order is tried" in sheet


def test_what_the_record_leaves_out_comes_from_the_kitchen(tmp_path: Path) -> None:
    kitchen = tmp_path / "kitchen.toml"
    kitchen.write_text(
        'altitude = "1650 ft"\ncanner = "dial"\nholds = {quart = 5}\ngauge = {reads_high_by = "1 psi"}\n',
        encoding="utf-8",
    )
    record = tmp_path / "day.yaml"
    record.write_text(json.dumps({"canners": [DIAL], "foods": [BEANS]}), encoding="utf-8")
    day = stillroom.plan_day(str(record), kitchen=str(kitchen))
    assert [one.load.jars for one in day.loads] == [5, 5, 4]
    assert day.foods[0].plan.dial_psi == 12
    assert "From your kitchen file" in told(day)
    own = {**DIAL, "holds": {"quart": 7}, "gauge": {"reads_high_by": "0.5 psi"}}
    record.write_text(json.dumps({"canners": [own], "foods": [BEANS]}), encoding="utf-8")
    day = stillroom.plan_day(str(record), kitchen=str(kitchen))
    assert [one.load.jars for one in day.loads] == [7, 7]
    assert day.foods[0].plan.dial_psi == 11.5


def _keys(schema: Any) -> Iterator[str]:
    yield from schema.get("properties", {})


def test_every_key_of_the_record_is_told_with_what_to_write() -> None:
    schema = json.loads((ROOT / "schema/day.json").read_text(encoding="utf-8"))
    for part in (schema, schema["properties"]["canners"]["items"], schema["$defs"]["foods"]["items"]):
        for key in _keys(part):
            rules = part["properties"][key]
            named = rules.get("$ref", "").rpartition("/")[2]
            assert "description" in rules or "description" in schema["$defs"][named], key

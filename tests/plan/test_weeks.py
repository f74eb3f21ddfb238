"""Several weeks of canning: hours, jars and lids by week. USDA Complete Guide to Home Canning, 2015, by page."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import stillroom
from stillroom.commands.main import main
from stillroom.errors import BadInput
from stillroom.sheets import weeks_sheet
from tests.conftest import ROOT

DEMO = str(ROOT / "shared/demo/weeks.yaml")
DIAL = {"name": "tall", "kind": "dial"}
BEANS = {"food": "snap beans", "pack": "raw", "jar": "quart", "jars": 14}


def written(folder: Path, **said: Any) -> str:
    path = folder / "weeks.yaml"
    path.write_text(json.dumps({"altitude": "1650 ft", "canners": [DIAL], **said}), encoding="utf-8")
    return str(path)


def test_hours_jars_and_lids_by_week(tmp_path: Path) -> None:
    """Beans take 80 to 125 minutes a load (1-17, 1-20, 1-22, 4-9): two loads, then one of 3 jars."""
    weeks = stillroom.plan_weeks(
        written(
            tmp_path,
            turnaround_min=15,
            preparation_min=60,
            weeks=[{"week": 33, "foods": [BEANS]}, {"week": "last of August", "foods": [{**BEANS, "jars": 3}]}],
        )
    )
    assert [week.name for week in weeks] == ["33", "last of August"]
    assert [tuple(week.day.lasts) for week in weeks] == [(60 + 160 + 15, 60 + 250 + 15), (140, 185)]
    assert [tuple(week.at_canners) for week in weeks] == [(160, 250), (80, 125)]
    assert [week.jars for week in weeks] == [{"quart": 14}, {"quart": 3}]
    text = weeks_sheet.weeks_sheet(weeks, stillroom.shelf())
    assert "Week 33: 3 h 55 min to 5 h 25 min; 2 loads" in text
    assert "All 2 weeks: 17 quarts; 17 new lids." in text
    assert max(map(len, text.splitlines())) <= 80


def test_each_week_is_what_its_day_is_alone(tmp_path: Path) -> None:
    said = json.loads(json.dumps({"burners": 2, "preparation_min": 60, "turnaround_min": 15}))
    for week in stillroom.plan_weeks(DEMO):
        assert week.day.foods and week.day.start_min is None
        assert sum(week.jars.values()) == sum(one.load.jars for one in week.day.loads)
    one = stillroom.plan_weeks(written(tmp_path, **said, weeks=[{"week": 1, "foods": [BEANS]}]))[0]
    path = tmp_path / "day.yaml"
    path.write_text(json.dumps({"altitude": "1650 ft", "canners": [DIAL], "foods": [BEANS], **said}), encoding="utf-8")
    assert one.day == stillroom.plan_day(str(path))


def test_the_document_has_the_shape_of_its_schema(capsys: Any) -> None:
    assert main(["plan", DEMO, "--no-kitchen", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    schema = json.loads((ROOT / "schema/weeks-plan.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.Draft202012Validator(schema).validate(found)
    assert found["lids"] == sum(week["lids"] for week in found["weeks"]) == sum(found["jars"].values())
    assert found["weeks"][0]["jars"] == {"quart": 20}  # 4-8: a bushel of 30 lb fills 12 to 20 quarts
    assert found["weeks"][0]["foods"][0]["jars_from"] == 12
    del found["weeks"][0]["lids"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(schema).validate(found)


@pytest.mark.parametrize(
    ("said", "error"),
    [
        ({"weeks": [{"week": 1, "foods": [BEANS]}, {"week": "1", "foods": [BEANS]}]}, "stands twice"),
        ({"weeks": [{"week": 1, "foods": [BEANS]}], "start": "08:00"}, "start is of one day"),
        ({"weeks": [{"week": 1, "foods": [BEANS]}], "date": "2026-08-15"}, "date is of one day"),
        ({"weeks": [{"foods": [BEANS]}]}, "is missing"),
        ({"weeks": [{"week": 1, "foods": [{**BEANS, "jars": 2000}]}]}, "jars 2000 does not fit"),
        ({"weeks": [{"week": 1, "foods": [{**BEANS, "pounds": 9}]}]}, "weeks.1.foods.1: jars and pounds"),
        ({"weeks": [{"week": 1, "foods": [{**BEANS, "canner": "pot"}]}]}, "weeks.1.foods.1: canner"),
        ({"foods": [BEANS]}, "plan_day plans it"),
    ],
)
def test_a_record_of_weeks_that_does_not_fit_is_refused_in_one_line(
    tmp_path: Path, said: dict[str, Any], error: str
) -> None:
    with pytest.raises(BadInput) as caught:
        stillroom.plan_weeks(written(tmp_path, **said))
    assert error in str(caught.value)
    assert str(caught.value).startswith("weeks.yaml:") and "\n" not in str(caught.value)


def test_a_chart_and_sheets_are_of_one_day(capsys: Any) -> None:
    for words in (["--gantt", "a.svg"], ["--sheets", "a"], ["--jars", "7"]):
        assert main(["plan", DEMO, "--no-kitchen", *words]) == 2
        assert capsys.readouterr().err.count("\n") == 1

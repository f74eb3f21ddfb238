"""What is printed: the plan at the stove, the run sheet, and the document for programs."""

from __future__ import annotations

import html.parser
import json
import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema
import pytest

import stillroom
from stillroom.commands.main import main
from stillroom.errors import BadInput
from stillroom.package.package import home
from stillroom.sheets import day_document, day_sheet, run_sheet

BEANS = ["snap beans", "--jar", "pint", "--pack", "hot", "--altitude", "1650 ft", "--canner", "dial"]
DAYS: list[dict[str, Any]] = [
    {"food": "snap beans", "jars": 40, "jar": "pint", "pack": "hot", "altitude": "1650 ft", "canner": "dial",
     "holds": 18, "start": "20:00", "gauge_reads_high_by": "0.3 psi", "gauge_tested": "2020-01-01"},
    {"food": "crushed tomatoes", "jars": 9, "jar": "quart", "pack": "hot", "altitude": "5000 ft", "canner": "weighted"},
    {"food": "fish", "jars": 100, "jar": "quart", "pack": "raw", "altitude": "7000 ft", "canner": "dial",
     "start": "22:00"},
    {"food": "peaches", "jars": 7, "jar": "quart", "pack": "raw", "altitude": "500 ft", "canner": "boiling-water"},
    {"food": "crab", "jars": 30, "jar": "half-pint", "altitude": "500 ft", "canner": "dial", "holds": 12},
]  # fmt: skip
VOID = {"meta", "br", "link", "img", "hr"}


class Tags(html.parser.HTMLParser):
    """Checks that every tag is closed in its turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[str] = []
        self.attributes: dict[str, dict[str, str | None]] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)
        self.attributes.setdefault(tag, dict(attrs))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def day(asked: dict[str, Any]) -> Any:
    return stillroom.plan(**asked)


def hostile() -> Any:
    plan = day(DAYS[0])
    return replace(plan, answer=plan.answer._replace(title='Beans <script>alert("x")</script> & | `x` *caf\u00e9*'))


@pytest.mark.parametrize("asked", DAYS, ids=lambda asked: asked["food"])
def test_the_plan_stays_within_80_columns(asked: dict[str, Any]) -> None:
    text = day_sheet.day_sheet(day(asked), stillroom.shelf())
    assert max(map(len, text.splitlines())) <= 80
    assert "\n\n\n" not in text
    assert text.rstrip().endswith("when in doubt, throw it out.")


@pytest.mark.parametrize("asked", DAYS, ids=lambda asked: asked["food"])
def test_the_document_has_the_shape_of_its_schema(asked: dict[str, Any]) -> None:
    schema = json.loads(Path(home(), "schema", "plan.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    document = json.loads(json.dumps(day_document.document(day(asked)), allow_nan=False))
    jsonschema.Draft202012Validator(schema).validate(document)
    assert sum(load["jars"] for load in document["loads"]) == asked["jars"]
    del document["loads"]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(schema).validate(document)


@pytest.mark.parametrize("asked", DAYS, ids=lambda asked: asked["food"])
def test_the_html_sheet_is_well_formed_and_names_its_language(asked: dict[str, Any]) -> None:
    sheet = run_sheet.html(day(asked), stillroom.shelf())
    tags = Tags()
    tags.feed(sheet)
    tags.close()
    assert sheet.startswith("<!DOCTYPE html>")
    assert tags.open == []
    assert tags.attributes["html"] == {"lang": "en"}
    assert tags.seen.count("h1") == 1
    assert not {"script", "img", "link"} & set(tags.seen)
    assert not re.search(r"#(?!000|fff)[0-9a-f]{3}", sheet)  # black on white only
    # every row of a table has as many cells as its head
    for table in re.findall(r"<table.*?</table>", sheet, re.DOTALL):
        rows = re.findall(r"<tr>(.*?)</tr>", table, re.DOTALL)
        assert len({len(re.findall(r"<t[dh]", row)) for row in rows}) == 1


@pytest.mark.parametrize("asked", DAYS, ids=lambda asked: asked["food"])
def test_both_sheets_say_what_is_needed_at_the_stove(asked: dict[str, Any]) -> None:
    plan = day(asked)
    under_pressure = asked["canner"] != "boiling-water"
    for sheet in (run_sheet.html(plan, stillroom.shelf()), run_sheet.markdown(plan, stillroom.shelf())):
        assert f"{plan.option.minutes} min" in sheet
        for words in ("undisturbed", "new lid", "Use within 1 year", "label and date", "No. 539"):
            assert words in sheet
        assert ("again from zero (page 1-22)" if under_pressure else "again from zero (page 1-18)") in sheet
        if under_pressure:
            for words in ("Gasket", "Vent", "Plug", "Lock", "Never force-cool", "common practice, no source"):
                assert words in sheet
        assert ("a second rack between" in sheet) == any(load.layers != 1 for load in plan.loads)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        # 1-22: the dial reads the pressure, or the weight first rocks as its maker describes
        (DAYS[0], "Timing starts when the dial shows 11.3 psi; not before (page 1-22)."),
        (DAYS[1], "Timing starts when the 10 psi weight first rocks as its maker describes; not before (page 1-22)."),
        # 1-18: a vigorous boil
        (DAYS[3], "Timing starts when the water is back at a vigorous boil, with the jars in it; not before (page"),
        # the manual: no page prints it
        (
            {**DAYS[3], "canner": "steam", "holds": 7, "heating_min": 15},
            "Timing starts when the steam column is full, as the manual of your canner says; not before.",
        ),
    ],
    ids=["dial", "weighted", "boiling-water", "steam"],
)
def test_every_sheet_says_when_timing_starts(asked: dict[str, Any], said: str) -> None:
    plan = day(asked)
    shelf = stillroom.shelf()
    for sheet in (run_sheet.html(plan, shelf), run_sheet.markdown(plan, shelf), day_sheet.day_sheet(plan, shelf)):
        assert said in " ".join(sheet.split())
    assert day_document.document(plan)["timing"]["text"].startswith(said.partition(" (page")[0].rstrip("."))


@pytest.mark.parametrize("asked", DAYS, ids=lambda asked: asked["food"])
def test_no_type_is_smaller_than_11_points(asked: dict[str, Any]) -> None:
    sheet = run_sheet.html(day(asked), stillroom.shelf())
    style = sheet[sheet.index("<style>") : sheet.index("</style>")]
    sizes = [float(size) for size in re.findall(r"font(?:-size)?: (?:bold )?([0-9.]+)pt", style)]
    assert len(sizes) >= 4 and min(sizes) >= 11
    assert not re.search(r"font[^;}]*(px|em|rem|%|small)", style)


def test_page_two_has_the_recipe_with_the_acid_of_each_jar_and_page_one_what_is_needed_at_the_stove() -> None:
    """3-5: 2 tablespoons of bottled lemon juice to a quart; 9 quarts take 18."""
    sheet = run_sheet.html(day(DAYS[1]), stillroom.shelf())
    stove, recipe = sheet.split('<section class="second">')
    assert "Recipe for 9 quarts" in recipe and "Acid, never less" in recipe
    assert "Acid in each quart jar: 2 tablespoons of bottled lemon juice" in recipe
    assert "18 tablespoons (1 cup plus 2 tablespoons)" in recipe
    assert "Heat one sixth of the quarters fast" in recipe  # 3-7
    for words in ("Required for safety", "Timing starts", "Clock of a load", "Log of the process", "If the pressure"):
        assert words in stove and words not in recipe
    marked = run_sheet.markdown(day(DAYS[1]), stillroom.shelf())
    assert "## Recipe for 9 quarts" in marked and "Heat one sixth of the quarters fast" in marked


def test_the_loads_of_the_recipe_do_not_contradict_those_of_the_plan() -> None:
    sheet = run_sheet.html(day(DAYS[0]), stillroom.shelf())
    assert "canner loads of up to" not in sheet and "3 loads: 2 loads of 18 pints" in sheet


@pytest.mark.skipif(shutil.which("chromium") is None, reason="chromium is not installed")
@pytest.mark.parametrize("asked", DAYS[:3], ids=lambda asked: asked["food"])
def test_the_sheet_fits_the_screen_of_a_phone(asked: dict[str, Any], tmp_path: Path) -> None:
    (tmp_path / "day.html").write_text(run_sheet.html(day(asked), stillroom.shelf()), encoding="utf-8")
    (tmp_path / "phone.html").write_text(
        '<iframe id="phone" src="day.html" style="width:390px;height:800px;border:0"></iframe><script>onload = () => {'
        'const page = document.getElementById("phone").contentDocument.documentElement;'
        "document.body.textContent = `wide ${page.scrollWidth}`}</script>",
        encoding="utf-8",
    )
    words = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--allow-file-access-from-files",
             "--virtual-time-budget=3000", "--dump-dom", (tmp_path / "phone.html").as_uri()]  # fmt: skip
    shown = subprocess.run(words, capture_output=True, text=True, timeout=60).stdout
    wide = re.search(r"wide ([0-9]+)", shown)
    assert wide is not None and 300 < int(wide[1]) <= 390


def test_conditions_stand_before_the_numbers() -> None:
    plan = day(DAYS[1])
    for sheet in (run_sheet.html(plan, stillroom.shelf()), run_sheet.markdown(plan, stillroom.shelf())):
        assert 0 < sheet.index("bottled lemon juice") < sheet.index(f"{plan.option.minutes} min")


@pytest.mark.parametrize("asked", DAYS, ids=lambda asked: asked["food"])
def test_the_log_has_a_line_every_5_minutes_to_the_end(asked: dict[str, Any]) -> None:
    plan = day(asked)
    sheet = run_sheet.html(plan, stillroom.shelf())
    written = [int(cell) for cell in re.findall(r'class="minute">([0-9]+)<', sheet)]
    needed = sorted({*range(0, plan.option.minutes, 5), plan.option.minutes})
    assert sorted(set(written)) == needed
    assert len(written) in (len(needed), 2 * len(needed))


def test_a_hostile_name_is_text_and_never_markup() -> None:
    sheet = run_sheet.html(hostile(), stillroom.shelf())
    assert "<script" not in sheet
    assert "&lt;script&gt;" in sheet
    assert "caf\u00e9" in sheet
    marked = run_sheet.markdown(hostile(), stillroom.shelf())
    assert "<script" not in marked
    assert "\\|" in marked.splitlines()[0]
    assert "\\`x\\`" in marked.splitlines()[0]


def test_the_command_writes_the_sheet_it_names(tmp_path: Path, capsys: Any) -> None:
    for name in ("day.md", "day.html", "caf\u00e9.HTML"):
        path = tmp_path / name
        assert main(["plan", *BEANS, "--jars", "40", "--holds", "18", "--sheet", str(path)]) == 0
        assert run_sheet.MARK in path.read_text(encoding="utf-8")
    assert "Run sheet written" in capsys.readouterr().out
    assert sorted(p.name for p in tmp_path.iterdir()) == ["caf\u00e9.HTML", "day.html", "day.md"]


def test_a_sheet_replaces_a_sheet_but_no_other_file(tmp_path: Path) -> None:
    notes = tmp_path / "notes.md"
    notes.write_text("my notes", encoding="utf-8")
    plan = day(DAYS[0])
    with pytest.raises(BadInput, match="was not written by stillroom"):
        run_sheet.write(str(notes), plan, stillroom.shelf())
    assert notes.read_text(encoding="utf-8") == "my notes"
    run_sheet.write(str(tmp_path / "day.md"), plan, stillroom.shelf())
    run_sheet.write(str(tmp_path / "day.md"), plan, stillroom.shelf())


@pytest.mark.parametrize("name", ["day.pdf", "day", ".", "missing/day.md"])
def test_a_sheet_that_cannot_be_written_is_bad_input(name: str, tmp_path: Path, capsys: Any) -> None:
    assert main(["plan", *BEANS, "--jars", "4", "--sheet", str(tmp_path / name)]) == 2
    error = capsys.readouterr().err
    assert error.startswith("stillroom: sheet ")
    assert error.count("\n") == 1


def test_a_refusal_exits_3_with_the_text_of_find(capsys: Any, tmp_path: Path) -> None:
    asked = ["snap beans", "--jar", "pint", "--pack", "hot", "--altitude", "500 ft", "--canner", "boiling-water"]
    for json_too in ([], ["--json"]):
        assert main(["find", *asked, *json_too]) == 3
        found = capsys.readouterr().out
        assert main(["plan", *asked, "--jars", "9", "--sheet", str(tmp_path / "day.md"), *json_too]) == 3
        assert capsys.readouterr().out == found
    assert not (tmp_path / "day.md").exists()


@pytest.mark.parametrize(
    "bad",
    [
        ["--jars", "0"], ["--jars", "-3"], ["--jars", "1e9"], ["--jars", "many"], ["--jars", "9", "--holds", "0"],
        ["--jars", "9", "--gauge-reads-high", "0.5"], ["--jars", "9", "--gauge-reads-high", "3 psi"],
        ["--jars", "9", "--start", "25:00"], ["--jars", "9", "--option-minutes", "7"], ["--jars", "9", "--holds", "19"],
    ],
)  # fmt: skip
def test_bad_input_exits_2_in_one_line(bad: list[str], capsys: Any) -> None:
    assert main(["plan", *BEANS, *bad]) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert shown.err.count("\n") == 1
    assert shown.err.startswith("stillroom: ")


def test_a_gauge_that_reads_low_can_be_said_on_the_command_line(capsys: Any) -> None:
    assert main(["plan", *BEANS, "--jars", "9", "--gauge-reads-high", "-1 psi"]) == 0
    assert "the gauge reads 1 psi low" in " ".join(capsys.readouterr().out.split())

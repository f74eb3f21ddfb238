"""Charts of why: their data against the outside and against the checks, their words against their data, their looks."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import xml.etree.ElementTree as ET
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

import stillroom
from stillroom.commands.main import main
from stillroom.findings.checks import physics
from stillroom.package import patterns
from stillroom.package.csv_table import kind
from stillroom.run import lethality
from stillroom.sheets import drawing, why, why_bands, why_boiling, why_charts, why_dip, why_folder
from stillroom.sheets.why import Why
from tests.conftest import ROOT, table

SVG = "{http://www.w3.org/2000/svg}"
IDS = ["steam-over-altitude", "band-tops-dial", "band-tops-weighted", "dip", "boiling-water"]
HALF_DIGIT = 0.006
"""The data have two decimals; the libraries differ by less than a thousandth of a degree."""


@pytest.fixture(scope="module")
def charts() -> dict[str, Why]:
    return {chart.id: chart for chart in why_charts.every(stillroom.shelf())}


@pytest.fixture(scope="module")
def drawn(charts: dict[str, Why]) -> dict[str, str]:
    return {name: chart.svg() for name, chart in charts.items()}


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("charts")
    why_folder.write(str(folder), stillroom.shelf())
    return folder


def rows(chart: Why) -> list[dict[str, Any]]:
    return [dict(zip(chart.columns, row, strict=True)) for row in chart.rows]


def outside_F(psi: float, feet: float) -> float:  # noqa: N802
    """Steam by the library iapws (IAPWS-IF97), air by the library ambiance (ICAO standard atmosphere, 1993): neither is
    used by the package."""
    from ambiance import Atmosphere
    from iapws.iapws97 import _TSat_P

    pascals = float(Atmosphere(feet * 0.3048).pressure[0]) + psi * 6894.757293168
    return (float(_TSat_P(pascals / 1e6)) - 273.15) * 1.8 + 32


@pytest.fixture
def undrawn(charts: dict[str, Why], monkeypatch: pytest.MonkeyPatch) -> None:
    """Spare the drawing where only the files matter."""
    monkeypatch.setattr(why_charts, "every", lambda shelf: tuple(charts.values()))
    monkeypatch.setattr(Why, "svg", lambda chart: "<?xml")
    monkeypatch.setattr(Why, "png", lambda chart: b"")


# the data against the outside


def test_every_chart_is_there_in_its_order(charts):
    assert list(charts) == IDS


def test_steam_over_altitude_agrees_with_two_other_libraries(charts):
    found = rows(charts["steam-over-altitude"])
    assert {row["gauge_psi"] for row in found} == {0, 5, 10, 11, 15}
    assert (found[0]["altitude_ft"], found[-1]["altitude_ft"]) == (0, 10_000)
    for row in found:
        assert row["steam_F"] == pytest.approx(outside_F(row["gauge_psi"], row["altitude_ft"]), abs=HALF_DIGIT)
        assert row["steam_C"] == pytest.approx((row["steam_F"] - 32) / 1.8, abs=0.01)
        assert row["altitude_m"] == pytest.approx(row["altitude_ft"] * 0.3048, abs=0.051)


def test_water_boils_at_its_published_normal_boiling_point(charts):
    # Wagner and Pruss, IAPWS formulation 1995, J. Phys. Chem. Ref. Data 31 (2002) 387: 373.1243 K at 101.325 kPa
    (sea,) = [row for row in rows(charts["steam-over-altitude"]) if (row["gauge_psi"], row["altitude_ft"]) == (0, 0)]
    assert sea["steam_C"] == pytest.approx(373.1243 - 273.15, abs=HALF_DIGIT)


@pytest.mark.parametrize("name", ["band-tops-dial", "band-tops-weighted"])
def test_the_tops_of_bands_agree_with_two_other_libraries(charts, name):
    found = rows(charts[name])
    first = {row["pattern"]: row["pressure_psi"] for row in reversed(found)}
    for row in found:
        top = row["looked_at_ft"]
        assert row["steam_of_first_pressure_F"] == pytest.approx(outside_F(first[row["pattern"]], top), abs=HALF_DIGIT)
        if row["pressure_psi"] is None:
            assert row["steam_F"] is None
        else:
            assert row["steam_F"] == pytest.approx(outside_F(row["pressure_psi"], top), abs=HALF_DIGIT)


def test_eleven_to_fourteen_psi_stay_within_a_degree_and_eleven_alone_would_not(charts):
    low_acid = [row for row in rows(charts["band-tops-dial"]) if row["pattern"] == 1]
    assert [row["pressure_psi"] for row in low_acid] == [11, 12, 13, 14]
    assert [f"{row['steam_F']:.1f}" for row in low_acid][::3] == ["239.3", "239.8"]
    assert max(row["steam_F"] for row in low_acid) - min(row["steam_F"] for row in low_acid) < 1
    assert low_acid[-1]["steam_of_first_pressure_F"] < low_acid[-1]["least_F"] < low_acid[-1]["steam_F"]


def test_lethal_rates_are_those_of_published_tables(charts):
    # lethal rate 10 ** ((T - 250) / 18): 0.278 at 240 degF, 0.00774 at 212 degF (general method, z 18 degF)
    by_place = {row["where"]: row for row in rows(charts["boiling-water"])}
    assert by_place["steam of 240 degF"]["lethal_rate"] == pytest.approx(0.278, abs=0.0005)
    sea = by_place["boiling water at sea level"]
    assert sea["lethal_rate"] == pytest.approx(0.00774, rel=0.01)
    assert sea["times_as_slow_as_240_F"] == pytest.approx(0.278 / 0.00774, rel=0.01)
    assert by_place["steam of 240 degF"]["times_as_slow_as_240_F"] == 1


# the data against the checks and the tables


def test_every_run_of_pressures_that_is_printed_is_drawn_once(charts):
    printed = [
        (row["band_set"], int(row["pattern"]), int(row["altitude_from_ft"]), row["pressure_psi"])
        for row in table("shared/band-patterns.csv")
        if row["band_set"] in ("dial", "weighted")
    ]
    found = [row for name in why_bands.NAMES.values() for row in rows(charts[name])]
    said = [(row["gauge"], row["pattern"], row["altitude_from_ft"], str(row["pressure_psi"] or "")) for row in found]
    assert said == printed


def test_the_least_and_the_open_top_are_those_of_the_check(charts):
    for name, gauge in ((name, gauge) for gauge, name in why_bands.NAMES.items()):
        for number in {row["pattern"] for row in rows(charts[name])}:
            run = [row for row in rows(charts[name]) if row["pattern"] == number]
            psi = tuple(float(row["pressure_psi"]) for row in run if row["pressure_psi"] is not None)
            assert {row["least_F"] for row in run} == {physics.FLOORS[gauge, psi]}
            for row in run:
                assert row["looked_at_ft"] == (row["altitude_to_ft"] or physics.OPEN_TOP_FT)
                assert row["steam_F"] is None or row["steam_F"] >= row["least_F"]


@pytest.mark.parametrize("change", [{"pressure_psi": 9}, {"altitude_from_ft": 2002}])
def test_a_pattern_that_no_check_knows_is_said_and_not_drawn(monkeypatch, change):
    read = patterns.band_patterns(str(ROOT))
    at = next(at for at, row in enumerate(read) if (row.band_set, row.altitude_from_ft) == ("dial", 2001))
    odd = (*read[:at], read[at]._replace(**change), *read[at + 1 :])
    monkeypatch.setattr(why_bands, "band_patterns", lambda root: odd)
    with pytest.raises(stillroom.BadPackage, match="a pattern has a band"):
        why_bands.runs(stillroom.shelf())


def test_the_record_of_a_pattern_has_the_columns_of_its_schema():
    schema = json.loads((ROOT / "schema/band-patterns.json").read_text(encoding="utf-8"))
    kinds = {"string": "Text", "integer": "int"}
    said = {
        field["name"]: kinds[field["type"]] + ("" if field.get("constraints", {}).get("required") else " | None")
        for field in schema["fields"]
    }
    assert {name: kind(told) for name, told in patterns.BandPattern.__annotations__.items()} == said


def test_no_low_acid_food_has_a_time_in_boiling_water_as_the_chart_says(schedules):
    acidity = {row["id"]: row["acidity"] for row in table("schedules/foods.csv")}
    boiled = {acidity[row["food"]] for row in schedules if row["method"] == "boiling-water"}
    assert "low-acid" not in boiled and "acid" in boiled
    assert "low-acid" in {acidity[row["food"]] for row in schedules if row["method"] == "pressure"}


# the dip


def plain_F0(minutes: list[float], degrees: list[float]) -> float:  # noqa: N802
    """Minutes at 250 degF by the trapezoid rule, in plain arithmetic."""
    rate = [10 ** ((hot - 250) / 18) for hot in degrees]
    return sum((minutes[at + 1] - minutes[at]) * (rate[at] + rate[at + 1]) / 2 for at in range(len(minutes) - 1))


def test_the_sums_of_the_dip_agree_with_plain_arithmetic_over_another_steam_table(charts):
    found = rows(charts["dip"])
    minutes = [row["minute"] for row in found]
    assert (minutes[0], minutes[-1]) == (15, 87)
    for psi, summed in (("gauge_psi", "F0_min"), ("undisturbed_psi", "undisturbed_F0_min")):
        degrees = [outside_F(row[psi], 1650) for row in found]
        assert found[-1][summed] == pytest.approx(plain_F0(minutes, degrees), abs=0.002)
    assert found[-1]["F0_min"] < found[-1]["undisturbed_F0_min"]


def test_the_dip_is_what_judge_says_of_the_invented_run():
    found = stillroom.judge(str(ROOT / why_dip.RUN))
    drawn = why_dip.course(stillroom.shelf())
    assert found.verdict == "delivered" and drawn.counts == found.judged.hold
    assert float(drawn.sum_min[-1]) == pytest.approx(found.lethality_F0_min)
    assert float(drawn.even_min[-1]) == pytest.approx(drawn.beside.undisturbed_F0_min)
    log = [row for row in table("shared/demo/dip.csv") if row["gauge_psi"]]
    before = [int(row["minute"]) for row in log if float(row["gauge_psi"]) >= 11 and int(row["minute"]) < 34]
    assert drawn.before.us == (before[-1] - before[0]) * 60_000_000
    assert drawn.counts.us >= found.needs.required_us > drawn.before.us


def test_what_the_dip_costs_by_its_steam_is_little_beside_what_it_costs_by_the_rule(charts):
    drawn = why_dip.course(stillroom.shelf())
    needed, low = outside_F(11, 1650), outside_F(8, 1650)
    assert drawn.worth == pytest.approx(10 ** ((low - needed) / 18), abs=0.001)
    lacking = float(drawn.even_min[-1] - drawn.sum_min[-1])
    assert drawn.lost_min == pytest.approx(lacking / 10 ** ((needed - 250) / 18), abs=0.01)
    assert drawn.lost_min < drawn.before.us / 60_000_000
    told = {said.id: said for said in charts["dip"].sentences}
    assert told["restart-rule"].page == "1-22" and "again from zero" in told["restart-rule"].text
    assert f"{drawn.lost_min:.1f} minutes" in told["invented-dip"].text
    assert "no verdict" in charts["dip"].cautions[0].text


def test_the_run_says_that_it_is_invented_wherever_it_is_shown(charts, drawn):
    chart = charts["dip"]
    for text in (chart.alt, chart.sentences[0].text, drawn["dip"], (ROOT / why_dip.RUN).read_text(encoding="utf-8")):
        assert "invented" in text.casefold()


def test_a_run_without_a_dip_is_no_chart_of_one(monkeypatch):
    monkeypatch.setattr(why_dip, "RUN", "shared/demo/beans.yaml")
    with pytest.raises(stillroom.BadPackage, match="no dip"):
        why_dip.course(stillroom.shelf())


# the words


@pytest.mark.parametrize("name", IDS)
def test_every_figure_of_the_words_is_one_of_the_data(charts, name):
    chart = charts[name]
    numbers = [cell for row in chart.rows for cell in row if isinstance(cell, float)]
    figures = re.findall(r"(?<![\d.])\d+\.\d+(?![\d.])", chart.alt)
    needed = (why_dip._needed_F(why_dip.course(stillroom.shelf())),) if name == "dip" else ()
    assert figures
    for figure in figures:
        half = 0.5 * 10 ** -len(figure.partition(".")[2]) + HALF_DIGIT
        assert any(abs(float(figure) - number) <= half for number in (*numbers, *needed)), figure


@pytest.mark.parametrize("name", IDS)
def test_each_chart_has_two_or_three_sentences_one_with_a_page_and_says_that_it_is_no_schedule(charts, name):
    chart = charts[name]
    assert 2 <= len(chart.sentences) <= 3 and any(said.page for said in chart.sentences)
    assert "no-schedule" in {said.id for said in chart.cautions}
    assert "degF" not in " ".join(said.text for said in chart.sentences), "it is read aloud"
    assert len(chart.title) <= 50


def test_boiling_is_told_in_times_as_slow_and_never_in_minutes(charts, drawn):
    chart = charts["boiling-water"]
    said = " ".join((chart.title, chart.alt, *(each.text for each in chart.sentences), *chart.columns))
    assert "slow" in said
    assert not re.search(r"\bmin(utes?)?\b", said)
    assert not re.search(r"\bmin(utes?)?\b", " ".join(texts(drawn["boiling-water"])))


# the looks


def texts(svg: str) -> list[str]:
    return ["".join(node.itertext()).strip() for node in ET.fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("name", IDS)
def test_a_screen_reader_finds_title_and_description(charts, drawn, name):
    root = ET.fromstring(drawn[name])
    assert root.get("role") == "img"
    by_id = {node.get("id"): node for node in root}
    title, told = by_id[root.get("aria-labelledby")], by_id[root.get("aria-describedby")]
    assert (title.tag, title.text) == (f"{SVG}title", charts[name].title)
    assert (told.tag, told.text) == (f"{SVG}desc", charts[name].alt)


def test_words_with_marks_of_markup_do_not_break_a_drawing():
    made = drawing.spoken(
        '<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg"></svg>', "a", "1 < 2", "b & c"
    )
    assert [node.text for node in ET.fromstring(made)] == ["1 < 2", "b & c"]


def contrast(one: str, other: str) -> float:
    """Contrast of two colors: WCAG 2.2, definitions of contrast ratio and relative luminance."""

    def light(color: str) -> float:
        parts = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    low, high = sorted((light(one), light(other)))
    return (high + 0.05) / (low + 0.05)


def test_words_and_lines_stand_out_in_gray():
    # WCAG 2.2, success criteria 1.4.3 (4.5 for text) and 1.4.11 (3 for lines)
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    for color in (why.INK, why.PALE):
        assert contrast(color, why.PAPER) >= 4.5
    assert contrast("#999999", why.PAPER) < 4.5
    assert contrast(why.INK, why.PALE) >= 1.5


@pytest.mark.parametrize("name", IDS)
def test_one_ink_and_grays_are_all_the_colors(drawn, name):
    colors = set(re.findall(r"#[0-9a-f]{6}\b", drawn[name]))
    assert why.INK in colors
    assert {color for color in colors if len({color[1:3], color[3:5], color[5:7]}) > 1} == {why.INK}


def test_the_lines_over_altitude_are_told_apart_by_their_strokes_and_their_labels(drawn):
    svg = drawn["steam-over-altitude"]
    lines = re.findall(rf'style="fill: none; ([^"]*stroke: {why.INK}; stroke-width: 2[^"]*)"', svg)
    assert len(lines) == len(set(lines)) == 5
    assert {"15 psi", "11 psi", "10 psi", "5 psi", "boiling water"} <= set(texts(svg))


@pytest.mark.parametrize("name", IDS)
def test_letters_can_be_read_at_the_width_of_a_telephone(drawn, name):
    wide = float(ET.fromstring(drawn[name]).get("viewBox", "").split()[2])
    sizes = [float(size) for size in re.findall(r"font-size: ([\d.]+)px", drawn[name])]
    assert sizes and min(sizes) * 390 / wide >= 9.5


@pytest.mark.parametrize("name", IDS)
def test_no_words_lie_on_other_words_or_leave_the_drawing(charts, name, monkeypatch):
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.text import Text

    words: dict[int, Text] = {}
    draw = Text.draw
    monkeypatch.setattr(Text, "draw", lambda word, *a, **k: (words.setdefault(id(word), word), draw(word, *a, **k))[1])
    with drawing.canvas(charts[name].size_in, why.FONT_PT) as figure:
        charts[name].into(figure)
        FigureCanvasAgg(figure).draw()
        boxes = [(word.get_text(), word.get_window_extent()) for word in words.values()]
        width, height = figure.bbox.width, figure.bbox.height
    inside = [(text, box) for text, box in boxes if text]
    assert len(inside) > 10
    for text, box in inside:
        assert box.x0 >= -1 and box.y0 >= -1 and box.x1 <= width + 1 and box.y1 <= height + 1, text
    for (one, box), (other, beside) in combinations(inside, 2):
        across = min(box.x1, beside.x1) - max(box.x0, beside.x0)
        down = min(box.y1, beside.y1) - max(box.y0, beside.y0)
        assert across <= 1 or down <= 1, (one, other)


# the files


def test_every_chart_is_written_with_its_data_and_words_and_the_page_shows_all(charts, drawn, written):
    kinds = ("svg", "png", "csv", "txt")
    assert {path.name for path in written.iterdir()} == {f"{i}.{kind}" for i in IDS for kind in kinds} | {"index.html"}
    page = (written / "index.html").read_text(encoding="utf-8")
    for name, chart in charts.items():
        assert (written / f"{name}.svg").read_text(encoding="utf-8") == drawn[name]
        assert (written / f"{name}.png").read_bytes().startswith(b"\x89PNG")
        read = list(csv.reader(io.StringIO((written / f"{name}.csv").read_text(encoding="utf-8"))))
        assert read == [
            list(chart.columns), *([str("" if cell is None else cell) for cell in row] for row in chart.rows)
        ]  # fmt: skip
        said = " ".join((written / f"{name}.txt").read_text(encoding="utf-8").split())
        assert chart.alt in said and all(str(each) in said for each in (*chart.sentences, *chart.cautions))
        assert f'src="{name}.svg" alt="{chart.alt}"' in page
    assert "Follow the cited publication" in page and "no schedule" in page


def test_a_folder_of_ours_is_written_again(written, tmp_path, undrawn):
    folder = tmp_path / "charts"
    shutil.copytree(written, folder)
    why_folder.write(str(folder), stillroom.shelf())
    assert {path.name for path in folder.iterdir()} == {path.name for path in written.iterdir()}
    assert (folder / "dip.svg").read_text() == "<?xml" and (folder / "dip.csv").read_bytes() == (
        written / "dip.csv"
    ).read_bytes()


def test_a_drawing_to_png_is_the_same_bytes_each_time(charts, written):
    assert charts["boiling-water"].png() == (written / "boiling-water.png").read_bytes()


@pytest.mark.parametrize("name", ["dip.csv", "index.html", "boiling-water.txt", "band-tops-dial.png", "dip.svg"])
def test_where_one_file_is_not_ours_nothing_is_written(tmp_path, capsys, name, undrawn):
    (tmp_path / name).write_text("mine")
    assert main(["steam", "--why", str(tmp_path)]) == 2
    assert "not written by stillroom" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == [name] and (tmp_path / name).read_text() == "mine"


# the command


def test_the_command_says_what_it_wrote_and_needs_no_altitude(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(why_folder, "write", lambda folder, shelf: (f"{folder}/a.svg", f"{folder}/index.html"))
    assert main(["steam", "--why", str(tmp_path)]) == 0
    assert "index.html" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "no altitude"),
        (["--psi", "11"], "no altitude"),
        (["--why", "x", "--altitude", "5000 ft"], "leave out --altitude"),
        (["--why", "x", "--psi", "11"], "leave out --psi"),
        (["--why", "x", "--plot", "x.svg"], "leave out --plot"),
        (["--why", "x", "--json"], "leave out --json"),
    ],
)
def test_what_does_not_go_together_is_bad_input_in_one_line(words, said, capsys):
    assert main(["steam", *words]) == 2
    out, err = capsys.readouterr()
    assert out == "" and said in err and err.count("\n") == 1


def test_a_folder_that_is_a_file_is_bad_input(tmp_path, undrawn):
    (tmp_path / "file").write_text("mine")
    with pytest.raises(stillroom.BadInput, match="is no folder"):
        why_folder.write(str(tmp_path / "file"), stillroom.shelf())


def test_the_rate_is_that_of_the_run():
    assert why_boiling._rate(lethality.REFERENCE_F) == 1
    assert why_boiling._rate(lethality.REFERENCE_F - lethality.Z_F) == pytest.approx(0.1)

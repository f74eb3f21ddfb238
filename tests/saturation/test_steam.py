"""``stillroom steam`` against published tables of steam and of boiling water, and the laws that hold between."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

import stillroom
from stillroom.answers import saturation
from stillroom.answers import steam as steam_table
from stillroom.answers.pressure import KPA_IN_PSI
from stillroom.commands.main import main
from tests.conftest import ROOT

SCHEMA = json.loads((ROOT / "schema/steam.json").read_text(encoding="utf-8"))


def steam_F(altitude: str, psi: str) -> float:  # noqa: N802
    return stillroom.steam(altitude, psi).points[0].steam_F


# against published figures


@pytest.mark.parametrize(
    ("absolute_psi", "degrees_F"),
    [
        (10.0, 193.21),
        (11.0, 197.75),
        (12.0, 201.96),
        (13.0, 205.88),
        (14.0, 209.56),
        (14.696, 212.00),
        (16.0, 216.32),
        (17.0, 219.44),
        (20.0, 227.96),
        (25.0, 240.07),
        (30.0, 250.33),
        (35.0, 259.28),
    ],
)
def test_steam_agrees_with_a_printed_table_of_saturated_steam(absolute_psi, degrees_F):  # noqa: N803
    """J. H. Keenan and F. G. Keyes, Thermodynamic Properties of Steam, Wiley, 1936, saturation by pressure. Its water
    boils at 212 degF, that of the formulation of 1997 at 211.95: the temperature scale has changed since."""
    gauge = absolute_psi - saturation.outside_psi(0)
    assert steam_F("sea level", f"{gauge:.6f} psi") == pytest.approx(degrees_F, abs=0.06)


@pytest.mark.parametrize(("celsius", "megapascal"), [(80, 0.04741), (85, 0.05787), (90, 0.07018), (95, 0.08461)])
def test_steam_below_the_pressure_of_the_air_agrees_with_a_printed_table(celsius, megapascal):
    # Saturation Properties for Steam, Temperature Table, property tables of Ohio University, mechanical engineering
    gauge_kpa = megapascal * 1000 - saturation.outside_psi(0) * float(KPA_IN_PSI)
    assert steam_F("0 ft", f"{gauge_kpa:.6f} kPa") == pytest.approx(celsius * 1.8 + 32, abs=0.02)


@pytest.mark.parametrize(
    ("altitude", "degrees_F"),
    [
        ("sea level", 212),  # Colorado State University, Preserve Smart: Why Elevation Matters
        ("5000 ft", 203),  # the same
        ("2000 ft", 208),  # USDA, Food Safety and Inspection Service, Cooking at High Altitude (spoken)
    ],
)
def test_water_boils_as_hot_as_a_university_and_a_government_say(altitude, degrees_F):  # noqa: N803
    assert stillroom.steam(altitude).boiling_F == pytest.approx(degrees_F, abs=0.5)


def test_240_degrees_take_the_pressure_of_the_publication_at_sea_level_within_a_quarter_of_a_psi():
    """USDA, Complete Guide to Home Canning, 2015, page 1-19: 10.5 psi gives 240 degF in pure steam at sea level."""
    printed = float(stillroom.shelf().rules.figure("sea-level-pressure-for-240F"))
    assert printed == 10.5
    found = stillroom.steam("sea level")
    assert found.gauge_psi_at_240_F == pytest.approx(printed, abs=0.25)
    assert found.gauge_psi_at_240_F < printed, "the caution says that steam tables need less"


def test_the_temperatures_with_a_pressure_are_those_that_sterilize_low_acid_food():
    """USDA, Complete Guide to Home Canning, 2015, page 1-8: 240 to 250 degF."""
    rules = stillroom.shelf().rules
    assert tuple(map(float, rules.figures("low-acid-temperature"))) == steam_table.NAMED_F == (240, 250)
    assert rules.rule("low-acid-temperature").page == "1-8"


# laws


ALTITUDES = st.integers(-1_400, 12_000)
GAUGES = st.integers(-400, 3_000).map(lambda hundredths: hundredths / 100)


@given(ALTITUDES, GAUGES, st.integers(1, 200))
def test_more_pressure_is_hotter_and_a_higher_place_cooler(feet, psi, more):
    here = steam_F(f"{feet} ft", f"{psi} psi")
    if psi + more / 100 <= 30:
        assert steam_F(f"{feet} ft", f"{psi + more / 100:.2f} psi") > here
    above = stillroom.steam(f"{feet + more} ft", f"{psi} psi")
    below = stillroom.steam(f"{feet} ft", f"{psi} psi")
    assert above.points[0].steam_F < here
    assert above.boiling_F < below.boiling_F
    assert above.outside_psi < below.outside_psi
    assert above.gauge_psi_at_240_F > below.gauge_psi_at_240_F


@given(ALTITUDES)
def test_the_pressure_for_a_temperature_gives_that_temperature_back(feet):
    found = stillroom.steam(f"{feet} ft")
    for psi, degrees in ((found.gauge_psi_at_240_F, 240), (found.gauge_psi_at_250_F, 250)):
        assert saturation.steam_F(psi, feet) == pytest.approx(degrees, abs=0.002)
    assert found.boiling_F == found.points[0].steam_F
    assert found.points[0].gauge_psi == 0


# what is asked, and how


def test_one_pressure_in_three_units_is_one_pressure():
    bar = steam_F("5000 ft", "0.75 bar")
    assert steam_F("5000 ft", "75 kPa") == pytest.approx(bar, abs=1e-9)
    assert steam_F("1524 m", f"{75 / float(KPA_IN_PSI):.9f} psi") == pytest.approx(bar, abs=1e-6)


def test_without_a_pressure_there_is_a_table():
    found = stillroom.steam("5000 ft")
    assert not found.asked
    assert [point.gauge_psi for point in found.points] == [0, *range(5, 16)]
    assert [point.steam_F for point in found.points] == sorted(point.steam_F for point in found.points)
    assert steam_F("5000 ft", "11 psi") == found.points[7].steam_F


def test_a_bare_number_is_psi_in_the_shell_and_bad_input_in_python(capsys):
    assert main(["steam", "--altitude", "5000 ft", "--psi", "11"]) == 0
    bare = capsys.readouterr().out
    assert main(["steam", "--altitude", "5000 ft", "--psi", "11 psi"]) == 0
    assert capsys.readouterr().out == bare
    assert "11 psi on a true gauge: 236.0 degF" in bare
    with pytest.raises(stillroom.BadInput, match="no unit"):
        stillroom.steam("5000 ft", 11)


@pytest.mark.parametrize(
    ("altitude", "psi", "said"),
    [
        ("5000 ft", "31 psi", "outside any home canner"),
        ("5000 ft", "300 kPa", "outside any home canner"),
        ("5000 ft", "-16 psi", "outside any home canner"),
        ("5000 ft", "-14 psi", "less than no pressure"),
        ("5000 ft", "hot", "not a number with a unit"),
        ("5000 ft", "1 atm", "neither in psi"),
        ("5000 ft", "", "empty"),
        ("5000", "11 psi", "no unit"),
        ("50000 ft", "11 psi", "no ground"),
    ],
)
def test_what_has_no_sense_is_refused_in_one_line(altitude, psi, said, capsys):
    assert main(["steam", "--altitude", altitude, f"--psi={psi}"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err and err.count("\n") == 1


@pytest.mark.parametrize(("altitude", "psi"), [("5000 ft", "30 psi"), ("-1400 ft", "-15 psi"), ("5000 ft", "-12 psi")])
def test_near_misses_of_what_is_refused_are_answered(altitude, psi):
    assert stillroom.steam(altitude, psi).asked


def test_every_answer_says_that_it_is_no_schedule_and_that_air_makes_steam_cooler():
    for found in (
        stillroom.steam("sea level"),
        stillroom.steam("-1000 ft", "5 psi"),
        stillroom.steam("9000 ft", "11 psi"),
    ):
        said = {caution.id: caution for caution in found.cautions}
        assert "no schedule" in said["no-schedule"].text
        assert "cooler" in said["vent-time"].text and said["vent-time"].page == "1-20"
        assert "Caution: Follow the cited publication" in str(found)
    beyond = stillroom.steam("9000 ft", "11 psi")
    assert beyond.gauge_psi_at_250_F > 15 and "pressure-limit" in {caution.id for caution in beyond.cautions}
    near = stillroom.steam("-1000 ft", "5 psi")
    assert near.gauge_psi_at_250_F < 15 and "pressure-limit" not in {caution.id for caution in near.cautions}


@pytest.mark.parametrize("psi", [None, "11 psi", "-2.5 psi"])
def test_the_document_keeps_to_its_schema_and_says_what_was_found(psi, capsys):
    asked = [] if psi is None else [f"--psi={psi}"]
    assert main(["steam", "--altitude", "1650 ft", *asked, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    jsonschema.validate(told, SCHEMA)
    found = stillroom.steam("1650 ft", psi)
    assert told == found.to_dict()
    assert [point["steam_F"] for point in told["points"]] == [round(point.steam_F, 2) for point in found.points]
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**told, "minutes": 25}, SCHEMA)


def test_what_people_read_is_no_wider_than_a_terminal():
    for found in (stillroom.steam("5000 ft"), stillroom.steam("5000 ft", "11 psi")):
        assert max(map(len, str(found).splitlines())) <= 80


def test_a_steam_canner_is_asked_for_as_a_food_is(capsys):
    assert main(["steam", "canner", "for", "meat"]) == 3
    assert "No tested schedule" in capsys.readouterr().out


# drawn


def _texts(path) -> set[str]:
    return {"".join(node.itertext()).strip() for node in ET.parse(path).iter("{http://www.w3.org/2000/svg}text")}


def test_the_plot_names_both_heights_and_the_point_and_is_the_same_twice(tmp_path, capsys):
    one, two = tmp_path / "one.svg", tmp_path / "two.svg"
    for path in (one, two):
        assert main(["steam", "--altitude", "5000 ft", "--psi", "11", "--plot", str(path)]) == 0
    assert one.read_bytes() == two.read_bytes()
    assert {"sea level", "5,000 ft", "asked: 11 psi, 236.0 degF", "240 degF", "250 degF"} <= _texts(one)
    assert b"stroke-dasharray" in one.read_bytes(), "the lines are told apart without color"
    capsys.readouterr()


def test_at_sea_level_one_curve_is_drawn_and_a_table_has_no_point(tmp_path, capsys):
    path = tmp_path / "sea.svg"
    assert main(["steam", "--altitude", "sea level", "--plot", str(path)]) == 0
    found = _texts(path)
    assert "sea level" in found and not any("asked" in text for text in found)
    capsys.readouterr()


def test_a_plot_that_cannot_be_written_costs_no_answer(tmp_path, capsys):
    other = tmp_path / "mine.svg"
    other.write_text("mine")
    assert main(["steam", "--altitude", "5000 ft", "--plot", str(other)]) == 2
    out, err = capsys.readouterr()
    assert "Steam without air" in out and "not written by stillroom" in err
    assert other.read_text() == "mine"


def test_the_pressures_that_are_answered_are_those_of_a_log():
    from stillroom.run import log_readings

    assert (steam_table.LOWEST_PSI, steam_table.HIGHEST_PSI) == (log_readings.LOWEST_PSI, log_readings.HIGHEST_PSI)

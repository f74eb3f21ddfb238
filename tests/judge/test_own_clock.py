"""One's own clock: what the logs of a season show of heating, coming up and cooling, and what a plan takes of it.

Printed ranges are those of pages 1-17 and 1-22; venting (page 1-20), the process and the waits are never one's own.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import stillroom
from stillroom.commands.main import main
from stillroom.package import schemas

HEATING, COMING_UP, COOLING = (14, 18, 16), (4, 6, 5), (30, 42, 36)
BEANS = {"jar": "pint", "pack": "raw", "canner": "dial", "altitude": "1650 ft"}


def log(heat: int, up: int, cool: int) -> str:
    """A load of the invented season: 20 minutes at 11 psi, vented 10 minutes."""
    on = heat + 10
    hold = "".join(f"{on + up + minute},11.5,\n" for minute in range(0, 21, 2))
    off = on + up + 20
    return (
        f"minute,gauge_psi,event\n0,0,\n{heat},0,vent-start\n{on},0,weight-on\n{hold}{off},11.5,heat-off\n"
        f"{off + 5},6,\n{off + cool},0,lock-dropped\n"
    )


@pytest.fixture
def shelf(write, tmp_path: Path) -> Path:
    for number, times in enumerate(zip(HEATING, COMING_UP, COOLING, strict=True), 1):
        record = write(log(*times), jars=16 + number, date=f"2026-08-{number:02}")
        assert main(["judge", str(record), "--save", str(tmp_path / "shelf")]) == 0
    return tmp_path / "shelf"


def steps(plan: stillroom.Plan) -> dict[str, tuple[int, int, str]]:
    return {step.id: (step.lasts.from_min, step.lasts.to_min, step.page) for step in plan.loads[0].steps}


def test_three_loads_give_their_median_and_their_range(shelf: Path, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    assert main(["season", str(shelf), "--clock", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    schemas.validator(schemas.schema("season")).validate(document)
    (own,) = document["clock"]
    assert (own["canner"], own["jar"], own["jars_from"], own["jars_to"]) == ("dial", "pint", 17, 19)
    assert own["stages"]["heat"] == {"loads": 3, "median_min": 16, "from_min": 14, "to_min": 18}
    assert own["stages"]["hold"] == {"loads": 3, "median_min": 20, "from_min": 20, "to_min": 20}
    assert own["stages"]["come-up"]["median_min"] == 5 and own["stages"]["cool"]["to_min"] == 42
    assert main(["season", str(shelf), "--clock"]) == 0
    assert "14 to 18 min" in capsys.readouterr().out


def test_a_plan_takes_them_and_says_so_and_leaves_what_is_fixed(shelf: Path) -> None:
    printed = stillroom.plan("snap beans", jars=18, holds=18, **BEANS)
    own = stillroom.plan("snap beans", jars=18, holds=18, season=shelf, **BEANS)
    assert steps(printed)["heat"] == (12, 15, "1-17") and steps(own)["heat"] == (14, 18, "")
    assert steps(own)["come-up"] == (4, 6, "") and steps(own)["cool"] == (30, 42, "")
    for fixed in ("vent", "process", "wait"):
        assert steps(own)[fixed] == steps(printed)[fixed]
    (said,) = (caution.text for caution in own.cautions if caution.id == "own-clock")
    assert "heating 14 to 18 min (3 loads)" in said
    assert not [caution for caution in printed.cautions if caution.id == "own-clock"]


def test_other_jars_other_canners_and_fewer_loads_leave_the_print(shelf: Path) -> None:
    quarts = stillroom.plan("snap beans", jars=7, season=shelf, **{**BEANS, "jar": "quart"})
    weighted = stillroom.plan("snap beans", jars=9, season=shelf, **{**BEANS, "canner": "weighted"})
    next(iter(sorted(shelf.glob("*.yaml")))).unlink()
    two = stillroom.plan("snap beans", jars=9, season=shelf, **BEANS)
    for plan in (quarts, weighted, two):
        assert steps(plan)["heat"] == (12, 15, "1-17")
        (said,) = (caution.text for caution in plan.cautions if caution.id == "own-clock")
        assert "the printed ranges stand" in said


def test_smoked_fish_in_cool_water_is_heated_as_printed_whatever_other_loads_took(shelf: Path) -> None:
    """Four quarts of cool tap water, not heated beforehand (page 5-13): what hot water took says nothing of it."""
    asked = {"jars": 9, "jar": "pint", "altitude": "500 ft", "canner": "dial"}
    printed = stillroom.plan("smoked fish", **asked)
    own = stillroom.plan("smoked fish", season=shelf, **asked)
    assert steps(own)["heat"] == steps(printed)["heat"] and steps(own)["cool"] == (30, 42, "")


def test_where_the_print_says_how_long_at_least_heating_is_never_ones_own(write, tmp_path: Path) -> None:
    """Fish in quarts: heated with the vent open 20 minutes or longer before it is vented (page 5-12)."""
    fish = {"food": "fish", "pack": "raw", "jar": "quart", "altitude": "500 ft"}
    option = stillroom.find("fish", jar="quart", altitude="500 ft", canner="dial").options[0]
    minutes, psi = option.minutes, option.pressure_psi
    for number in (1, 2, 3):
        rows = "".join(f"{15 + minute},{psi},\n" for minute in range(0, minutes + 1, 5))
        said = f"minute,gauge_psi,event\n0,0,\n1,0,vent-start\n11,0,weight-on\n{rows}{15 + minutes},{psi},heat-off\n"
        record = write(said + f"{minutes + 45},0,lock-dropped\n", **fish, jars=7, date=f"2026-09-{number:02}")
        assert main(["judge", str(record), "--save", str(tmp_path / "fish")]) == 0
    asked = {"jars": 7, "jar": "quart", "altitude": "500 ft", "canner": "dial"}
    printed = stillroom.plan("fish", **asked)
    own = stillroom.plan("fish", season=tmp_path / "fish", **asked)
    assert steps(own)["heat"] == steps(printed)["heat"] and steps(own)["come-up"] == (4, 4, "")


def test_a_load_that_is_not_shown_or_was_cooled_by_force_tells_nothing(write, tmp_path: Path) -> None:
    for number in (1, 2, 3):
        short = write(log(13, 5, 30).replace("11.5", "9"), jars=18, date=f"2026-08-{number:02}")
        main(["judge", str(short), "--save", str(tmp_path / "shelf")])
        forced = write(log(13, 5, 6), jars=18, date=f"2026-07-{number:02}")
        main(["judge", str(forced), "--save", str(tmp_path / "shelf")])
    own = stillroom.plan("snap beans", jars=9, season=tmp_path / "shelf", **BEANS)
    assert steps(own)["heat"] == (13, 13, "") and steps(own)["cool"] == (20, 60, "1-17")

"""Atmospheric steam canners: boiling-water processes of acid foods, 45 minutes at most, altitude included.

University of Wisconsin-Madison with the National Center for Home Food Preservation, 2015. The 2015 guide withheld them
(page 1-10).
"""

from __future__ import annotations

from typing import Any

import pytest

import stillroom


def _ask(food: str, altitude: str = "0 ft", jar: str = "pint", pack: str | None = "hot", canner: str = "steam") -> Any:
    return stillroom.find(food, jar=jar, altitude=altitude, canner=canner, pack=pack)


def test_a_steam_canner_takes_the_boiling_water_time_and_says_it_is_derived() -> None:
    steam, water = _ask("peaches"), _ask("peaches", canner="boiling-water")
    assert [o.minutes for o in steam.options] == [o.minutes for o in water.options] == [20]  # page 2-19
    option = steam.options[0]
    assert option.by_rule is not None and option.by_rule.page is None
    assert "Derived from University of Wisconsin-Madison" in option.by_rule.text
    assert "not part of the 2015 publication" in option.by_rule.text
    assert any("manual" in caution.text and "1-10" in caution.text for caution in option.cautions)
    assert (option.source.id, option.page) == ("usda-2015", "2-19")
    assert water.options[0].by_rule is None


def test_45_minutes_pass_and_50_are_refused() -> None:
    """Tomatoes, crushed, page 3-7: quarts 45 minutes to 1,000 ft and 50 above."""
    assert _ask("crushed tomatoes", "1000 ft", "quart").options[0].minutes == 45
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        _ask("crushed tomatoes", "1001 ft", "quart")
    assert refused.value.code == "canner-not-tested"
    assert "50 minutes at this altitude" in refused.value.reason
    assert "45 minutes or less" in refused.value.reason
    assert refused.value.source is not None and refused.value.source.id == "uw-madison-2015"
    assert refused.value.source.cite().endswith("2015")
    assert refused.value.tested[0].canner == "boiling-water"
    assert refused.value.tested[0].differs == ("canner: boiling-water instead of steam",)


def test_no_steam_answer_is_longer_than_45_minutes_or_for_a_low_acid_food() -> None:
    from stillroom.answers.charts import chart

    shelf = stillroom.shelf()
    answered = 0
    refused: list[tuple[str, str]] = []
    for group in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads"):
        rows = shelf.package.schedules(group)
        for food in dict.fromkeys(row.food for row in rows):
            for combination, bands in chart(row for row in rows if row.food == food).items():
                for band in bands:
                    ask: Any = {
                        "jar": combination.jar,
                        "altitude": f"{band.from_ft} ft",
                        "pack": combination.pack or None,
                        "form": combination.form or None,
                    }
                    try:
                        answer = stillroom.find(food, canner="steam", **ask)
                    except stillroom.NoTestedSchedule as error:
                        refused.append((food, error.code))
                        continue
                    answered += 1
                    assert shelf.foods[food].acidity in ("acid", "acidified")
                    water = stillroom.find(food, canner="boiling-water", **ask)
                    assert [o.minutes for o in answer.options] == [o.minutes for o in water.options if o.minutes <= 45]
                    assert answer.options[0].requires == water.options[0].requires
                    assert all(option.by_rule for option in answer.options)
    assert answered > 300
    assert len(refused) > 300
    assert {code for food, code in refused if shelf.foods[food].acidity == "low-acid"} == {"method-unsafe"}


def test_a_jar_rule_and_the_steam_rule_are_both_said() -> None:
    rule = _ask("peaches", jar="half-pint").options[0].by_rule
    assert rule is not None and "page 1-23" in rule.text and "Derived from" in rule.text


@pytest.mark.parametrize("food", ["snap beans", "crab", "tomatoes with okra", "chicken"])
def test_low_acid_foods_are_unsafe_in_steam_without_pressure(food: str) -> None:
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        _ask(food)
    assert refused.value.code == "method-unsafe"


def test_what_is_untested_in_boiling_water_is_untested_in_steam() -> None:
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        _ask("peaches", jar="half-gallon")
    assert refused.value.code == "jar-not-tested"
    assert "only boiling-water processes" in refused.value.reason
    assert all(tested.differs[0].endswith("instead of steam") for tested in refused.value.tested)


def test_low_temperature_pasteurization_stays_separate() -> None:
    """It needs a canner full of water (page 6-5)."""
    said = {c.text for c in _ask("bread-and-butter pickles", canner="boiling-water").options[0].cautions}
    steam = {c.text for c in _ask("bread-and-butter pickles").options[0].cautions}
    assert any("pasteurization" in text for text in said)
    assert not any("pasteurization" in text for text in steam)


def test_asking_for_the_canner_itself_still_gives_the_word_of_the_guide() -> None:
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.find("steam canner", jar="pint", altitude="0 ft", canner="dial")
    assert refused.value.code == "withheld"
    assert "ask for canner steam" in refused.value.reason


def test_the_sheet_shows_the_rule_and_the_manual(capsys: pytest.CaptureFixture[str]) -> None:
    from stillroom.commands.main import main

    words = ["find", "peaches", "--pack", "hot", "--jar", "pint", "--altitude", "0 ft", "--canner", "steam"]
    assert main(words) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "By rule: An atmospheric steam canner takes" in text
    assert "follow its manual" in text

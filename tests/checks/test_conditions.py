from __future__ import annotations

CONDITIONS, CAUTIONS, FRUIT = "schedules/conditions.csv", "shared/cautions.csv", "schedules/fruit.csv"


def test_the_published_conditions_pass(published):
    assert published.found("conditions") == ()


def test_a_short_time_without_sterile_jars_is_found(package):
    package.drop(CONDITIONS, package.line(CONDITIONS, food="apple-butter", jar="pint", statement="sterile-jars"))
    line = package.line(FRUIT, food="apple-butter", jar="pint", altitude_from_ft="0")
    (finding,) = package.found("conditions")
    assert (finding.file, finding.line, finding.column, finding.value) == (FRUIT, line, "minutes", "5")
    assert "page 1-14" in finding.published


def test_a_near_miss_ten_minutes_need_no_sterile_jars(package):
    package.drop(CONDITIONS, package.line(CONDITIONS, food="apple-butter", jar="pint", statement="sterile-jars"))
    package.edit(FRUIT, package.line(FRUIT, food="apple-butter", jar="pint", altitude_from_ft="0"), minutes="10")
    assert package.found("conditions") == ()


def test_a_condition_that_fits_no_schedule_is_found(package):
    line = package.line(CONDITIONS, food="14-day-sweet-pickles", statement="sterile-jars")
    package.edit(CONDITIONS, line, pack="hot")
    assert (CONDITIONS, line, "pack") in package.places("conditions")


def test_a_statement_that_is_gone_and_one_that_is_never_used_are_found(package):
    line = package.line(CAUTIONS, id="no-blender")
    package.edit(CAUTIONS, line, id="no-mixer")
    used = package.line(CONDITIONS, statement="no-blender")
    assert set(package.places("conditions")) == {(CONDITIONS, used, "statement"), (CAUTIONS, line, "id")}


def test_the_standing_caution_must_be_there(package):
    package.drop(CAUTIONS, package.line(CAUTIONS, id="always"))
    assert [finding.wrong for finding in package.found("conditions")] == ["statement always is missing"]

from __future__ import annotations

FOODS, VEGETABLES, RELATIONS = "schedules/foods.csv", "schedules/vegetables.csv", "schedules/relations.csv"


def test_the_published_foods_are_covered(published):
    assert published.found("coverage") == ()


def test_a_food_without_a_schedule_is_found(package):
    line = package.line(RELATIONS, food="apricots")
    package.drop(RELATIONS, line)
    assert package.places("coverage") == [(FOODS, package.line(FOODS, id="apricots"), "id")]


def test_a_schedule_of_a_food_that_is_not_there_is_found(package):
    package.edit(VEGETABLES, 2, food="celery")
    assert (VEGETABLES, 2, "food") in package.places("coverage")


def test_a_schedule_in_the_table_of_another_group_is_found(package):
    line = package.line(FOODS, id="asparagus")
    package.edit(FOODS, line, group="fruit")
    findings = package.found("coverage")
    assert len(findings) == 24 and all("belongs to group fruit" in finding.wrong for finding in findings)


def test_a_combination_with_one_gauge_only_is_found(package):
    rows = package.read(VEGETABLES)
    at = rows[0].index("gauge")
    kept = [
        row for row in rows if not (row[0] == "asparagus" and row[at] == "weighted" and row[2:4] == ["hot", "pint"])
    ]
    package.write(VEGETABLES, kept)
    (finding,) = package.found("coverage")
    assert finding.column == "gauge" and finding.wrong == "is the only gauge of asparagus hot pint dial"


def test_a_near_miss_a_food_with_one_pack_only_is_no_finding(package):
    rows = package.read(VEGETABLES)
    package.write(VEGETABLES, [row for row in rows if row[0] != "asparagus" or row[2] == "hot"])
    assert package.found("coverage") == ()

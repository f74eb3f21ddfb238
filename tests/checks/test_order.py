from __future__ import annotations

VEGETABLES, TOMATOES, EXCEPTIONS = "schedules/vegetables.csv", "schedules/tomatoes.csv", "shared/exceptions.csv"


def _set(package, file, minutes, **cells):
    rows = package.read(file)
    at = {name: rows[0].index(name) for name in cells}
    for row in rows[1:]:
        if all(row[at[name]] == value for name, value in cells.items()):
            row[rows[0].index("minutes")] = minutes
    package.write(file, rows)


def test_the_published_order_passes(published):
    assert published.found("order") == ()


def test_a_quart_below_its_pint_is_found(package):
    _set(package, VEGETABLES, "25", food="asparagus", jar="quart")
    findings = package.found("order")
    assert findings and {f.column for f in findings} == {"minutes"} and {f.value for f in findings} == {"25"}
    assert all("is less than 30 for another jar of the same food" in f.wrong for f in findings)
    assert len(findings) == 12, "two packs, six bands"


def test_a_near_miss_a_quart_equal_to_its_pint_is_no_finding(package):
    _set(package, VEGETABLES, "40", food="asparagus")
    assert package.found("order") == ()


def test_raw_pack_below_hot_pack_is_found(package):
    _set(package, VEGETABLES, "29", food="asparagus", jar="pint", pack="raw")
    findings = package.found("order")
    assert findings and all("another pack of the same food" in finding.wrong for finding in findings)


def test_jars_are_compared_across_two_sets_of_bands(package):
    """Boiling-water tables have three bands or four: a quart with three bands is held against a pint with four."""
    rows = package.read("schedules/fruit.csv")
    at = {name: rows[0].index(name) for name in rows[0]}
    kept = [
        row
        for row in rows
        if not (row[0] == "apples-sliced" and row[at["jar"]] == "quart" and row[at["altitude_from_ft"]] == "3001")
    ]
    for row in kept[1:]:
        if row[0] == "apples-sliced" and row[at["jar"]] == "quart":
            if row[at["altitude_from_ft"]] == "1001":
                row[at["altitude_to_ft"]] = "6000"
            row[at["minutes"]] = "24"
    package.write("schedules/fruit.csv", kept)
    assert [f for f in package.found("order") if f.value == "24"]


def test_a_time_on_one_gauge_only_is_found(package):
    _set(package, VEGETABLES, "45", food="asparagus", jar="quart", gauge="dial")
    findings = package.found("order")
    assert {(f.value, f.wrong) for f in findings if "gauge only" in f.wrong} == {
        ("45", "stands on a dial gauge only, not on a weighted gauge"),
        ("40", "stands on a weighted gauge only, not on a dial gauge"),
    }


def test_a_published_exception_without_its_row_and_a_needless_one_are_found(package):
    gone = package.drop(EXCEPTIONS, package.line(EXCEPTIONS, check="order"))
    finding, *_ = package.found("order")
    assert finding.file == TOMATOES and finding.value == gone[6] and "weighted gauge only" in finding.wrong
    line = package.add(EXCEPTIONS, check="order", food="asparagus", pack="hot", jar="pint", gauge="dial", minutes="30",
                       statement="made up", source="usda-2015", page="4-5")  # fmt: skip
    assert (EXCEPTIONS, line, "") in package.places("order")


def test_an_exception_with_another_page_is_found(package):
    line = package.line(EXCEPTIONS, check="order")
    package.edit(EXCEPTIONS, line, page="3-9")
    assert package.places("order") == [(EXCEPTIONS, line, "page")]

"""Each changed cell is called weaker, stronger, added, withdrawn or wording, with its old and new value.

What is weaker is said by the design (less time, less pressure, a wider band, a lost condition, a new row). The rows
edited here are printed on the pages that each test names in the 2015 guide.
"""

from __future__ import annotations

import csv
import json
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from stillroom.desk import changelog
from stillroom.desk.comparison import Comparison, compare_versions
from stillroom.desk.documents_compared import document_changes
from stillroom.errors import BadPackage
from stillroom.package.documents import read_json
from stillroom.package.versions import Held, Version
from stillroom.sheets.comparison_sheet import comparison_document, comparison_sheet
from tests.repository import contents

HOME = Path(__file__).resolve().parents[2]
BEANS = "snap-beans,,raw,quart,pressure,dial,0,2000,25,11,usda-2015,4-9,Snap and Italian Beans,\n"
VEGETABLES = "schedules/vegetables.csv"


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return dict(contents())


Compare = Callable[..., Comparison]


@pytest.fixture
def compared(files: dict[str, bytes]) -> Compare:
    def compare(path: str, old: str, new: str) -> Comparison:
        text = files[path].decode()
        assert old in text, f"{old!r} is not in {path}"
        edited = {**files, path: text.replace(old, new, 1).encode()}
        return compare_versions(Version("before", Held(files)), Version("after", Held(edited)))

    return compare


def kinds(found: Comparison) -> list[tuple[str, str, str | None, str | None]]:
    return [(change.kind, change.column, change.old, change.new) for change in found.changes]


@pytest.mark.parametrize(
    ("cell", "value", "kind", "column"),
    [
        ("2000,25,11", "2000,24,11", "weaker", "minutes"),
        ("2000,25,11", "2000,26,11", "stronger", "minutes"),
        ("2000,25,11", "2000,25,10", "weaker", "pressure_psi"),
        ("2000,25,11", "2000,25,12", "stronger", "pressure_psi"),
        ("dial,0,2000", "dial,0,4000", "weaker", "altitude_to_ft"),
        ("dial,0,2000", "dial,0,", "weaker", "altitude_to_ft"),
        ("dial,0,2000", "dial,0,1000", "stronger", "altitude_to_ft"),
        ("dial,0,2000", "dial,1,2000", "stronger", "altitude_from_ft"),
        ("4-9", "4-8", "wording", "page"),
        ("Snap and Italian", "Snap or Italian", "wording", "caption"),
        ("usda-2015", "usda-2027", "weaker", "source"),
    ],
)
def test_a_schedule_cell_of_page_4_9_is_judged_by_its_side(
    compared: Compare, cell: str, value: str, kind: str, column: str
) -> None:
    found = compared(VEGETABLES, BEANS, BEANS.replace(cell, value, 1))
    assert [(change.kind, change.column) for change in found.changes] == [(kind, column)]
    assert found.changes[0].name == "snap-beans"
    assert (HOME / VEGETABLES).read_text().splitlines()[found.changes[0].line - 1] + "\n" == BEANS  # type: ignore[operator]


def test_a_changed_cell_is_told_with_old_and_new_value_source_and_page(compared: Compare) -> None:
    found = compared(VEGETABLES, BEANS, BEANS.replace(",25,", ",20,"))
    assert changelog.section(found) == (
        "## Unreleased\n\n### Answers\n"
        "- snap-beans (low-acid): 2 answers weakened, first: raw pack, pint-and-half, dial, 0 to 2,000 ft:"
        " 25 min at 11 psi, headspace 1 inch -> 20 min at 11 psi, headspace 1 inch (usda-2015, 4-9)\n"
        "\n### Data: weaker\n"
        "- snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 20 (usda-2015, 4-9)\n"
    )


def test_a_row_for_another_jar_is_one_withdrawn_and_one_added(compared: Compare) -> None:
    found = compared(VEGETABLES, BEANS, BEANS.replace("quart", "half-gallon"))
    assert [(change.kind, change.column) for change in found.changes] == [("added", ""), ("withdrawn", "")]


def test_a_renamed_food_is_withdrawn_and_added(compared: Compare) -> None:
    found = compared(VEGETABLES, BEANS, BEANS.replace("snap-beans", "beets"))
    assert [(change.kind, change.name) for change in found.changes] == [("added", "beets"), ("withdrawn", "snap-beans")]


def test_one_of_two_equal_options_of_page_3_8_is_withdrawn(compared: Compare) -> None:
    row = "tomatoes-crushed,,hot,pint,pressure,dial,0,2000,20,6,usda-2015,3-8,Crushed Tomatoes,\n"
    assert kinds(compared("schedules/tomatoes.csv", row, "")) == [("withdrawn", "", "20 min at 6 psi", None)]


def test_a_lost_warning_of_page_3_8_is_weaker(compared: Compare) -> None:
    row = "tomatoes-crushed,,hot,pint,pressure,weighted,1001,,10,usda-2015,3-8,Crushed Tomatoes,\n"
    assert [change.kind for change in compared("schedules/not-recommended.csv", row, "").changes] == ["weaker"]


def test_rows_in_another_order_are_no_change(compared: Compare) -> None:
    other = "snap-beans,,raw,quart,pressure,dial,2001,4000,25,12,usda-2015,4-9,Snap and Italian Beans,\n"
    assert not compared(VEGETABLES, BEANS + other, other + BEANS).changes


def test_a_row_that_stands_twice_is_added(compared: Compare) -> None:
    assert [change.kind for change in compared(VEGETABLES, BEANS, BEANS + BEANS).changes] == ["added"]


@pytest.mark.parametrize(
    ("path", "old", "new", "kind"),
    [
        ("schedules/foods.csv", ",vegetables,low-acid,", ",vegetables,acid,", "weaker"),
        ("schedules/foods.csv", ",fruit,acid,", ",fruit,low-acid,", "stronger"),
        ("schedules/foods.csv", "snap-beans,Snap and Italian beans,", "snap-beans,Sauerkraut,", "weaker"),
        ("schedules/foods.csv", "snap-beans,Snap and Italian beans,", "snap-beans,Snap and green beans,", "wording"),
        ("schedules/acid.csv", "figs,pint,bottled lemon juice,1,", "figs,pint,bottled lemon juice,0.5,", "weaker"),
        ("schedules/acid.csv", "figs,pint,bottled lemon juice,1,", "figs,pint,bottled lemon juice,2,", "stronger"),
        (
            "schedules/acid.csv",
            "figs,pint,bottled lemon juice,1,tablespoon",
            "figs,pint,bottled lemon juice,1,teaspoon",
            "weaker",
        ),
        (
            "schedules/acid.csv",
            "figs,pint,bottled lemon juice,1,tablespoon,jar,jar,a,,usda-2015,2-14\n",
            "",
            "withdrawn",
        ),
        (
            "schedules/acid.csv",
            "asian-pears,pint,bottled lemon juice,1,tablespoon,jar,jar,,,usda-2015,2-20\n",
            "",
            "weaker",
        ),
        ("schedules/headspace.csv", "apple-butter,,,,0.25,", "apple-butter,,,,0.125,", "weaker"),
        ("schedules/headspace.csv", "apple-butter,,,,0.25,", "apple-butter,,,,0.5,", "stronger"),
        ("schedules/relations.csv", "tomatillos,tomatoes-in-water,hot,", "tomatillos,tomatoes-in-water,,", "weaker"),
        ("schedules/relations.csv", "apricots,peaches,,", "apricots,peaches,hot,", "stronger"),
        ("schedules/relations.csv", "apricots,peaches,,", "apricots,apple-juice,,", "weaker"),
        ("shared/canner-words.csv", "\nwater bath,boiling-water,word,\n", "\nwater bath,dial,word,\n", "weaker"),
        ("shared/canner-words.csv", "\nwater bath,boiling-water,word,\n", "\n", "withdrawn"),
        ("shared/canner-words.csv", "\noven,,word,oven-canning\n", "\n", "weaker"),
        ("shared/jar-words.csv", "\npt,,us-unit,16,\n", "\npt,,us-unit,32,\n", "weaker"),
        ("shared/pack-words.csv", "\nuncooked,raw\n", "\nuncooked,hot\n", "weaker"),
        ("schedules/form-words.csv", "chicken-or-rabbit,boneless,without-bones\n", "", "withdrawn"),
        ("shared/jar-rules.csv", ",pint-and-half,quart,", ",pint-and-half,pint,", "weaker"),
        ("shared/jars.csv", "quarts,qt,", "quarts,pt,", "weaker"),
        ("shared/cautions.csv", "do-not-thicken,must,", "do-not-thicken,caution,", "weaker"),
        ("shared/cautions.csv", "Do not thicken.", "Thicken.", "weaker"),
        ("shared/altitude-bands.csv", "dial,0,2000", "dial,0,3000", "weaker"),
        ("schedules/readings/schedules-first.csv", ",1001,6000,10,", ",1001,6000,15,", "weaker"),
        ("schema/schedule.json", '"minimum": 5,', '"minimum": 1,', "weaker"),
        ("schema/schedule.json", '"maximum": 15', '"maximum": 14', "stronger"),
        ("schema/schedule.json", '"Process time, minutes"', '"Minutes of processing"', "wording"),
        ("datapackage.json", '"path": "schedules/fruit.csv"', '"path": "schedules/fruits.csv"', "weaker"),
        ("datapackage.json", '"version": "0.1.0"', '"version": "0.2.0"', "wording"),
    ],
)
def test_a_change_elsewhere_is_judged_by_its_side(compared: Compare, path: str, old: str, new: str, kind: str) -> None:
    assert [change.kind for change in compared(path, old, new).changes] == [kind]


@pytest.mark.parametrize(
    ("path", "old", "new", "kind", "names"),
    [
        (
            "schedules/withheld-names.csv",
            "180 degree pickles,low-temperature-pasteurization\n",
            "",
            "no longer refused",
            ["180 degree pickle"],
        ),
        (
            "schedules/aliases.csv",
            "acorn squash,winter-squash,",
            "acorn squash,apple-butter,",
            "retargeted",
            ["acorn squash"],
        ),
        ("schedules/aliases.csv", "acorn squash,winter-squash,,\n", "", "withdrawn", ["acorn squash"]),
        (
            "schedules/aliases.csv",
            "acorn squash,",
            "my own squash,winter-squash,,\nacorn squash,",
            "added",
            [],
        ),
    ],
)
def test_a_name_is_told_by_what_it_means_not_as_a_cell(
    compared: Compare, path: str, old: str, new: str, kind: str, names: list[str]
) -> None:
    found = compared(path, old, new)
    assert not found.changes
    (told,) = found.people.told
    assert (told.about, told.kind) == ("names", kind)
    assert not names or told.example.startswith(names[0])


def test_a_lost_condition_is_weaker_and_one_more_is_stronger(compared: Compare, files: dict[str, bytes]) -> None:
    lines = files["schedules/conditions.csv"].decode().splitlines(keepends=True)
    sterile = next(line for line in lines if ",sterile-jars," in line)
    assert [change.kind for change in compared("schedules/conditions.csv", sterile, "").changes] == ["weaker"]
    more = sterile.replace(sterile.split(",")[0], "snap-beans", 1)
    assert [change.kind for change in compared("schedules/conditions.csv", lines[-1], lines[-1] + more).changes] == [
        "stronger"
    ]


def test_a_lost_column_is_weaker(compared: Compare, files: dict[str, bytes]) -> None:
    header = files[VEGETABLES].decode().splitlines(keepends=True)[0]
    found = compare_versions(
        Version("before", Held(files)),
        Version("after", Held({**files, "shared/jars.csv": b"id,title\nquart,quart\n"})),
    )
    assert "a column is lost" in {change.why for change in found.changes if change.kind == "weaker"}
    assert header.startswith("food,")


def test_a_table_that_is_gone_loses_every_row(files: dict[str, bytes]) -> None:
    left = {path: content for path, content in files.items() if path != VEGETABLES}
    found = compare_versions(Version("before", Held(files)), Version("after", Held(left)))
    rows = len(files[VEGETABLES].splitlines()) - 1
    assert len([change for change in found.changes if change.name]) == rows
    assert found.count("withdrawn") == rows


def test_the_document_is_as_its_schema_says_and_the_sheet_fits_the_page(compared: Compare) -> None:
    import jsonschema

    found = compared(VEGETABLES, BEANS, BEANS.replace(",25,", ",20,"))
    schema = json.loads((HOME / "schema" / "comparison.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(comparison_document(found), schema)
    shown = comparison_sheet(found).split("For CHANGELOG.md:")[0]
    assert max(map(len, shown.splitlines())) <= 80
    assert f"{VEGETABLES}:218" in shown


def test_the_command_says_that_a_version_is_the_same_as_itself(tmp_path: Path) -> None:
    said = subprocess.run(
        [sys.executable, "-m", "stillroom", "compare", str(HOME), str(HOME)], capture_output=True, text=True
    )
    assert (said.returncode, said.stderr) == (0, "")
    assert said.stdout.endswith("the data are the same.\n")


def test_the_command_refuses_what_is_no_version_in_one_line() -> None:
    said = subprocess.run(
        [sys.executable, "-m", "stillroom", "compare", "no-such-ref", str(HOME)], capture_output=True, text=True
    )
    assert said.returncode == 2
    assert said.stderr.count("\n") == 1


def document_seconds(old: object, new: object) -> tuple[int, float]:
    """Number of changes between two JSON documents, and seconds of processor time to find them."""
    path, before, after = "schema/any.json", json.dumps(old).encode(), json.dumps(new).encode()
    begun = time.process_time()
    found = len(list(document_changes(path, before, after)))
    return found, time.process_time() - begun


MANY = 20_000
"""Entries of a document. Each kind below took minutes or hours while it was compared in the square of them."""


@pytest.mark.parametrize(
    ("old", "new", "changes"),
    [
        ({f"k{i}": i for i in range(MANY)}, {f"k{i}": i for i in range(MANY + 1)}, 1),
        ({f"k{i}": i for i in range(MANY)}, {f"j{i}": i for i in range(MANY)}, 2 * MANY),
        (list(range(MANY)), list(range(MANY))[::-1], 0),
        ([1, 2] * MANY, [2, 1, 1] * MANY, MANY),
        ([f"a{i}" for i in range(MANY)], [f"b{i}" for i in range(MANY)], 2 * MANY),
        ([{"name": f"a{i}", "is": 1} for i in range(MANY)], [{"name": f"a{i}", "is": 2} for i in range(MANY)], MANY),
        ([{"x": i, "is": 1} for i in range(MANY)], [{"x": i, "is": 2} for i in range(MANY)], MANY),
        ([{"name": "same", "is": i} for i in range(MANY)], [{"name": "same", "is": -1}] * MANY, MANY),
    ],
    ids=["one key more", "other keys", "backward", "repeated", "other texts", "named", "nameless", "the same name"],
)
def test_a_document_of_twenty_thousand_entries_is_compared_in_seconds(old: object, new: object, changes: int) -> None:
    found, seconds = document_seconds(old, new)
    assert found == changes
    assert seconds < 10


def test_the_work_grows_with_the_entries_and_not_with_their_square() -> None:
    def keys(number: int) -> dict[str, int]:
        return {f"k{i}": i for i in range(number)}

    once = min(document_seconds(keys(MANY), {})[1] for _ in range(3))
    fourfold = document_seconds(keys(4 * MANY), {})[1]
    assert fourfold < 10 * once  # the square would be sixteen times


@pytest.mark.parametrize("place", [0, MANY])
def test_a_key_that_stands_twice_among_many_is_found_at_once(place: int) -> None:
    keys = [f'"k{i}": 1' for i in range(MANY)]
    keys.insert(place, f'"k{MANY - 1}": 2')
    text = ("{" + ", ".join(keys) + "}").encode()
    begun = time.process_time()
    with pytest.raises(BadPackage, match=f'has the key "k{MANY - 1}" twice'):
        read_json(text, "any.json")
    assert time.process_time() - begun < 2


@pytest.mark.parametrize(
    ("old", "new"), [([1], [True]), (["1"], [1]), ([1], [1.0]), ([None], ["null"]), ([0], [False])]
)
def test_entries_that_only_look_the_same_are_a_change(old: object, new: object) -> None:
    assert document_seconds(old, new)[0] > 0
    assert document_seconds(old, old)[0] == 0


@pytest.mark.parametrize("deep", [41, 400, 900, 5_000])
def test_a_document_nested_too_deeply_is_refused_in_one_line(deep: int) -> None:
    for text in ("[" * deep + "]" * deep, '{"a":' * deep + "1" + "}" * deep):
        with pytest.raises(BadPackage, match="nested deeper than 40 levels"):
            read_json(text.encode(), "any.json")
    assert read_json(b"[" * 40 + b"]" * 40, "any.json")


def test_comparing_leaves_the_limit_of_the_csv_reader_as_it_is(compared: Compare) -> None:
    for limit in (131_072, 7_777_777):
        before = csv.field_size_limit(limit)
        try:
            compared(VEGETABLES, BEANS, BEANS.replace("2000,25,11", "2000,24,11", 1))
            assert csv.field_size_limit() == limit
        finally:
            csv.field_size_limit(before)


def test_a_cell_without_end_is_refused_whatever_the_limit_of_the_csv_reader(files: dict[str, bytes]) -> None:
    before = csv.field_size_limit(2**31 - 1)
    try:
        for hostile in (b"x" * 200_000 + b"\n", b'"' + b"x\n" * 100_000):
            edited = {**files, VEGETABLES: files[VEGETABLES] + hostile}
            with pytest.raises(BadPackage, match=r"vegetables\.csv:\d+: .* over 100,000 characters"):
                compare_versions(Version("before", Held(files)), Version("after", Held(edited)))
    finally:
        csv.field_size_limit(before)

"""Every cell of the second reading against the answers, and the tables against both readings.

Source: two separate readings of the process tables of AIB 539, revised 2015; schedules/readings/.
"""

from __future__ import annotations

import csv
import shutil

import pytest

import stillroom
from stillroom.errors import BadPackage
from stillroom.findings import rebuilt
from tests.conftest import ROOT, table

WORDS = {"half_pint": "half-pint", "half_gallon": "half-gallon", "other:12-ounce": "12-ounce"}


def _asked(row, food, form):
    return {
        "food": food,
        "form": form or None,
        "pack": None if row["pack"] == "none" else row["pack"],
        "jar": WORDS.get(row["jar"], row["jar"]),
        "canner": row["gauge"] or "boiling-water",
    }


def test_every_cell_of_the_second_reading_is_answered():
    captions = table("schedules/readings/captions.csv")
    compared = 0
    for row in table("schedules/readings/schedules-second.csv"):
        entry = next(
            c
            for c in captions
            if (c["guide"], c["caption"]) == (row["guide"], row["food"]) and c["when_note_says"] in row["note"]
        )
        if "Not recommended above" in row["note"]:
            continue
        for altitude in (row["alt_lo_ft"], row["alt_hi_ft"] or str(int(row["alt_lo_ft"]) + 500)):
            answer = stillroom.find(**_asked(row, entry["food"], entry["form"]), altitude=f"{altitude} ft")
            wanted = (int(row["minutes"]) if row["minutes"] else None, int(row["psi"]) if row["psi"] else None)
            given = [(o.minutes, o.pressure_psi) for o in answer.options]
            if wanted[0] is None:
                assert wanted[1] in [psi for _, psi in given]
            else:
                assert wanted in given, row
            compared += 1
    assert compared > 3000


def test_schedule_tables_are_exactly_what_the_two_readings_rebuild():
    tables = rebuilt.rebuild(str(ROOT))
    assert sum(map(len, tables.values())) == 1611
    for name, rows in tables.items():
        with (ROOT / f"schedules/{name}.csv").open(encoding="utf-8", newline="") as file:
            header, *kept = csv.reader(file)
        assert tuple(header) == rebuilt.columns_of(name)
        assert [tuple(row) for row in kept] == rows


def test_the_readings_agree_but_for_the_listed_lost_cells():
    assert rebuilt.conflicts_of(str(ROOT)) == []
    lost = table("schedules/readings/lost-cells.csv")
    assert len(lost) == 27
    assert {row["reading"] for row in lost} == {"first", "second"}
    assert all(row["third"] == row["kept"] for row in lost), "each was found in a third copy of the 2015 text"


def test_a_third_reading_that_says_something_else_stops_the_build(copy):
    def change(rows):
        rows[1][rows[0].index("third")] = "8"

    _rewrite(copy / "schedules/readings/lost-cells.csv", change)
    with pytest.raises(
        BadPackage, match=r'first: schedules/readings/lost-cells.csv:2: .*third "8" is not what was kept, '
    ):
        rebuilt.rebuild(str(copy))


@pytest.fixture
def copy(tmp_path):
    for folder in ("schedules", "shared", "schema"):
        shutil.copytree(ROOT / folder, tmp_path / folder)
    shutil.copy(ROOT / "datapackage.json", tmp_path)
    return tmp_path


def _rewrite(path, change):
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))
    change(rows)
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)


def test_a_real_conflict_stops_the_build_and_says_where(copy):
    def change(rows):
        row = next(r for r in rows if r[1] == "Carrots" and r[5] == "quart" and r[3] == "weighted")
        row[8] = "25"

    _rewrite(copy / "schedules/readings/schedules-second.csv", change)
    with pytest.raises(
        BadPackage,
        match=r"conflict in 1 places; first: .*-first.csv:[0-9]+: .*carrots .*30 min at 10 psi .*25 min at 10 psi",
    ):
        rebuilt.rebuild(str(copy))


def test_a_lost_cell_without_a_record_stops_the_build(copy):
    _rewrite(copy / "schedules/readings/lost-cells.csv", lambda rows: rows.pop(1))
    with pytest.raises(BadPackage, match="conflict"):
        rebuilt.rebuild(str(copy))


def test_a_record_of_a_cell_that_was_not_lost_stops_the_build(copy):
    def change(rows):
        needless = list(rows[1])
        needless[1:3], needless[6], needless[10] = ["4", "Carrots"], "pint", "minutes"
        needless[3:6] = ["pressure", "weighted", "hot"]
        needless[7:9] = ["0", "1000"]
        rows.append(needless)

    _rewrite(copy / "schedules/readings/lost-cells.csv", change)
    with pytest.raises(BadPackage, match=r"explains nothing: the .* reading did not lose this minutes"):
        rebuilt.rebuild(str(copy))


@pytest.mark.parametrize(
    ("file", "column"),
    [("schedules-first", "food"), ("schedules-second", "food"), ("footnotes", "caption"), ("lost-cells", "caption")],
)
def test_a_caption_that_is_not_in_captions_stops_the_build_at_its_line(copy, file, column):
    def change(rows):
        rows[1][rows[0].index(column)] = "Celery"

    _rewrite(copy / f"schedules/readings/{file}.csv", change)
    with pytest.raises(BadPackage, match=f'readings/{file}.csv:2: .*caption "Celery" is not in captions.csv'):
        rebuilt.rebuild(str(copy))


@pytest.mark.parametrize("spoil", [lambda data: data.replace(b"\n", b",more\n", 2), lambda data: None])
def test_a_reading_that_is_damaged_or_gone_stops_the_build(copy, spoil):
    path = copy / "schedules/readings/schedules-second.csv"
    data = spoil(path.read_bytes())
    path.unlink() if data is None else path.write_bytes(data)
    with pytest.raises(BadPackage, match=r"schedules-second\.csv"):
        rebuilt.rebuild(str(copy))


def test_damaged_schedule_tables_are_written_again_byte_for_byte(copy):
    for name in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads", "not-recommended"):
        (copy / f"schedules/{name}.csv").write_bytes(b"\xff,spoiled\n")
    rebuilt.write(str(copy))
    for path in (copy / "schedules").rglob("*"):
        if path.is_file():
            assert path.read_bytes() == (ROOT / path.relative_to(copy)).read_bytes(), path


def test_how_a_figure_was_copied_stays_in_the_data_and_a_minute_is_said_to_be_printed_so():
    answer = stillroom.find("tomatoes in water", pack="hot", jar="pint", altitude="500 ft", canner="weighted")
    assert [option.minutes for option in answer.options] == [15, 10, 1], "the odd one last"
    told = {o.minutes: any("is what the table prints" in c.text for c in o.cautions) for o in answer.options}
    assert told == {15: False, 10: False, 1: True}
    said = " ".join(c.text for option in answer.options for c in option.cautions)
    assert "cop" not in said and "scan" not in said
    rows = [row for row in table("schedules/tomatoes.csv") if row["minutes"] == "1"]
    assert rows and all("reading" in row["note"] for row in rows)

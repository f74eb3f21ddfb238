"""The corrected handout: published values in the wrong cells, and no wrong cell left as if it were right."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest

import stillroom
from stillroom.errors import BadInput
from stillroom.foreign.grid import Said
from tests.audit import made
from tests.audit.test_reports import _of_workbook, _workbook
from tests.conftest import ROOT

EXPECTED = [
    ["Food", "Pints", "Quarts"],
    ["Apples", "20", "25"],
    ["Berries", "51", "20 min"],
    ["TAKE OUT: Citrons", "", ""],
    ["Damsons", "25", "TAKE OUT"],
    ["CHECK: Elfroots", "CHECK: 30", "CHECK: 5 or 6"],
]


def _rows(found, path: Path) -> list[list[str]]:
    found.corrected(str(path))
    return list(csv.reader(path.read_text().splitlines()))


def test_wrong_cells_hold_what_is_published_and_what_has_nothing_published_is_marked(tmp_path):
    rows = _rows(made.audit(), tmp_path / "c.csv")
    assert rows[:6] == EXPECTED
    assert rows[6] == ["CHECK: Finish in the oven."]
    assert rows[7][0].startswith(
        "Corrected by stillroom against data version 9.9.9: check it before printing. 5 places"
    )


def test_a_handout_that_is_as_published_stays_as_it_is(tmp_path):
    rows = _rows(made.clean(), tmp_path / "c.csv")
    assert rows == [["20", "5"], ["Corrected by stillroom against data version 9.9.9: check it before printing."]]


def test_no_wrong_cell_is_left_as_it_was_in_either_form(tmp_path):
    found = _of_workbook(_workbook(tmp_path / "w.xlsx"))
    found.corrected(str(tmp_path / "c.xlsx"))
    sheet = openpyxl.load_workbook(tmp_path / "c.xlsx")["table 1"]
    rows = _rows(made.audit(), tmp_path / "c.csv")
    for cell in found.cells:
        if cell.verdict in ("weaker", "missing", "unread", "withheld", "untested"):
            assert rows[cell.row][cell.column] != cell.text, cell
            assert str(sheet.cell(cell.line, cell.column + 1).value) != cell.text, cell


def test_the_workbook_keeps_its_sheets_formats_and_words_and_strikes_what_is_withheld(tmp_path):
    path = _workbook(tmp_path / "w.xlsx")
    book = openpyxl.load_workbook(path)
    book["table 1"]["B3"].number_format = "0"
    book["table 1"].merge_cells("A9:C9")
    book["table 1"]["A9"] = None
    book.save(path)
    found = _of_workbook(path)
    found.corrected(str(tmp_path / "c.xlsx"))
    kept = openpyxl.load_workbook(tmp_path / "c.xlsx")
    sheet = kept["table 1"]
    assert [[str(cell.value or "") for cell in row] for row in sheet.iter_rows(max_row=6)] == EXPECTED
    assert sheet["B3"].value == 51 and sheet["B3"].number_format == "0" and sheet["B3"].comment.text == "my own words"
    assert all(sheet.cell(4, column).font.strike for column in (1, 2, 3)) and not sheet["A3"].font.strike
    assert [str(one) for one in sheet.merged_cells.ranges] == ["A9:C9"]
    assert kept.sheetnames == ["cover", "table 1", "other", "Audit"]
    said = " ".join(str(cell.value) for row in kept["Audit"] for cell in row)
    assert "could not be corrected" in said and "Not judged, and left as before: cover, other." in said


def test_lines_beside_a_table_stay_in_their_order(tmp_path):
    found = made.audit()
    said = (Said(1, "Our chart", 0), Said(9, "Finish in the oven.", 1), Said(10, "=1+1", 1))
    found = found._replace(foreign=found.foreign._replace(said=said))
    rows = _rows(found, tmp_path / "c.csv")
    assert rows[0] == ["Our chart"] and rows[1:7] == EXPECTED
    assert rows[7:9] == [["CHECK: Finish in the oven."], ["'=1+1"]]
    found.corrected(str(tmp_path / "c.xlsx"))
    sheet = openpyxl.load_workbook(tmp_path / "c.xlsx")["table 1"]
    assert [sheet.cell(row, 1).value for row in (1, 2, 3, 8, 9)] == [
        "Our chart", "Food", "Apples", "CHECK: Finish in the oven.", "'=1+1"
    ]  # fmt: skip
    assert sheet["B4"].value == 51


def test_a_dash_and_a_signed_number_stay_and_a_formula_is_made_words(tmp_path):
    texts = ["-", "--", "+5", "=1+1", "-cmd", "@x"]
    cells = [made.audit().cells[0]._replace(column=column, text=text) for column, text in enumerate(texts)]
    found = made.clean(cells=tuple(cells))
    found = found._replace(foreign=found.foreign._replace(grids=(made.grid([texts]),)))
    assert _rows(found, tmp_path / "c.csv")[0] == ["-", "--", "+5", "'=1+1", "'-cmd", "'@x"]


def test_an_audit_at_one_height_says_that_not_all_was_judged(tmp_path):
    rows = _rows(made.audit(altitude_ft=1650.0, left_out=("0-1,000 ft",)), tmp_path / "c.csv")
    assert "Not all of it was judged" in rows[-1][0] and "0-1,000 ft" in rows[-1][0]


@pytest.mark.parametrize("end", ["csv", "xlsx"])
def test_a_corrected_table_of_ours_is_replaced_and_another_file_never(tmp_path, end):
    path = tmp_path / f"c.{end}"
    made.audit().corrected(str(path))
    made.audit().corrected(str(path))
    path.write_bytes(b"Corrected by hand\nFood,Pints\n")
    with pytest.raises(BadInput, match="was not written by stillroom"):
        made.audit().corrected(str(path))


@pytest.mark.parametrize("end", ["csv", "xlsx"])
def test_the_corrected_demo_has_nothing_wrong_left_and_what_nobody_knows_stays_unread(tmp_path, end):
    before = stillroom.audit(ROOT / "shared/demo/roots.csv")
    assert before.counts["weaker"] and before.counts["missing"] and before.counts["withheld"]
    before.corrected(str(tmp_path / f"c.{end}"))
    after = stillroom.audit(tmp_path / f"c.{end}")
    assert [after.counts[kind] for kind in ("weaker", "missing", "withheld", "untested")] == [0, 0, 0, 0]
    assert after.counts["unread"] == before.counts["unread"] and not after.ok
    assert after.counts["same"] == before.counts["same"] + before.counts["weaker"] + before.counts["missing"]

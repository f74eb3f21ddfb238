"""Workbooks of two different writers: merged cells, what is hidden, numbers as people see them, and bombs."""

from __future__ import annotations

import datetime
import io
import zipfile
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.styles import Font

from stillroom.errors import BadInput
from stillroom.foreign.forms import read
from stillroom.foreign.number_format import number_shown
from tests.foreign.grids import lines, own, texts, told


def test_a_sheet_of_one_writer(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    sheet["A1"] = "An invented chart"
    sheet.merge_cells("A1:F1")
    for row, cells in enumerate(
        [("Food", "Minutes", None, "Head"), ("Peas", 40.0, 45, 0.5), ("Corn", 55, "=50+5", 1)], 3
    ):
        for column, value in enumerate(cells, 1):
            sheet.cell(row, column, value)
    sheet.merge_cells("B3:C3")
    sheet["D4"].number_format = "# ?/?"
    sheet["B5"].number_format = '0" min"'
    sheet["A5"].font = Font(strike=True)
    sheet["B4"].comment = Comment("look this up", "somebody")
    sheet["A7"] = CellRichText("35", TextBlock(InlineFont(vertAlign="superscript"), "1"))
    sheet["B7"] = CellRichText(TextBlock(InlineFont(strike=True), "35"), " 40")
    sheet.row_dimensions[4].hidden = True
    sheet.column_dimensions["D"].hidden = True
    book.save(tmp_path / "a.xlsx")
    foreign = read(tmp_path / "a.xlsx")
    assert foreign.form == "xlsx" and [grid.name for grid in foreign.grids] == [""]
    assert own(foreign.grids[0]) == [
        ["An invented chart", "<", "<", "<"], ["Food", "Minutes", "<", "Head"], ["Peas", "40", "45", "1/2"],
        ["Corn", "55 min", "=FORMULA", "1"], ["35 [1]", "~~35~~ 40", "", ""],
    ]  # fmt: skip
    assert lines(foreign.grids[0]) == [1, 3, 4, 5, 7]
    assert told(foreign) == [
        (1, "column D is hidden", 0), (4, "comment on B4: look this up", 0), (4, "row 4 is hidden", 0),
        (5, "A5 is struck out: Corn", 0), (5, "C5 holds a formula without a saved result", 0),
    ]  # fmt: skip


def test_a_workbook_of_another_writer_with_several_sheets(tmp_path: Path) -> None:
    path = tmp_path / "a.xlsx"
    with xlsxwriter.Workbook(path) as book:
        one, two, three = (book.add_worksheet(name) for name in ("Roots", "Empty", "Beans"))
        one.merge_range("B2:B3", "25\u201330 min")
        one.write_row("A2", ["Carrots"])
        one.write_formula("C2", "=20+5", None, 25)
        one.write_rich_string("A3", "Beets", book.add_format({"font_script": 1}), "a")
        one.write_datetime("D2", datetime.date(2026, 1, 2), book.add_format({"num_format": "d-mmm"}))
        one.write_datetime("D3", datetime.date(2026, 11, 12), book.add_format({"num_format": "m/d"}))
        two.write_blank("C9", None, book.add_format({"bold": True}))
        three.write("C5", "Peas")
        three.write("D5", True)
        three.hide()
    foreign = read(path)
    assert [grid.name for grid in foreign.grids] == ["Roots", "Beans"]
    assert own(foreign.grids[0]) == [
        ["Carrots", "25\u201330 min", "25", "2-Jan"], ["Beets [a]", "<", "", "2026-11-12"],
    ]  # fmt: skip
    assert texts(foreign.grids[1]) == [["", "", "Peas", "TRUE"]] and lines(foreign.grids[1]) == [5]
    assert [(line, before) for line, _, before in told(foreign)] == [(2, 0), (3, 0), (1, 1)]
    assert texts(read(path, sheet="beans").grids[0]) == [["", "", "Peas", "TRUE"]]
    with pytest.raises(BadInput, match="has no sheet 'Peas': it has Roots, Empty, Beans"):
        read(path, sheet="Peas")
    with pytest.raises(BadInput, match="holds no table"):
        read(path, sheet="Empty")


@pytest.mark.parametrize(
    ("value", "code", "text"),
    [  # ECMA-376, part 1, 18.8.31 numFmts
        (35.0, "General", "35"), (0.1 + 0.2, "General", "0.3"), (35, "0", "35"), (2.5, "0", "3"),
        (0.25, "0.00", "0.25"), (1000, "#,##0", "1,000"), (0.5, "# ?/?", "1/2"), (1.25, "# ??/??", "1 1/4"),
        (1.5, "# ?/8", "1 4/8"),
        (40, '0" min"', "40 min"), (40, "0\\ \\m", "40 m"), (0.05, "0%", "5%"), (1.5, "0.0#", "1.5"),
        (-3, "0;(0)", "(3)"), (40, "0_)", "40"), (12, "[Red]0", "12"), (3, "??? what", "3"), (-2, "General", "-2"),
    ],
)  # fmt: skip
def test_numbers_are_written_as_their_cells_show_them(value: float, code: str, text: str) -> None:
    assert number_shown(value, code) == text


def packed(parts: dict[str, str]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in parts.items():
            archive.writestr(name, text)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (packed({"word/document.xml": ""}), "a text document is not read"),
        (packed({"mimetype": "application/vnd.oasis"}), "an OpenDocument file is not read: save it as .xlsx or .csv"),
        (packed({"a.txt": ""}), "a zip file without a workbook"),
        (packed({"xl/workbook.xml": "<workbook"}), "is a damaged workbook"),
        (packed({"xl/workbook.xml": ""})[:-9], "is a damaged or locked workbook"),
        (packed({"xl/workbook.xml": '<!DOCTYPE a [<!ENTITY b "c">]>'}), "declares entities"),
        (packed({"xl/workbook.xml": "", "xl/a.xml": '<mergeCell ref="A1:XFD1048576"/>'}), "merges more cells"),
    ],
)
def test_what_is_no_workbook_or_a_bomb_is_refused(data: bytes, why: str, tmp_path: Path) -> None:
    (tmp_path / "a.xlsx").write_bytes(data)
    with pytest.raises(BadInput) as refused:
        read(tmp_path / "a.xlsx")
    assert why in str(refused.value)


def test_a_workbook_that_unpacks_to_too_much_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("stillroom.foreign.unpacked.MOST_UNPACKED", 1_000)
    (tmp_path / "a.xlsx").write_bytes(packed({"xl/workbook.xml": " " * 1_001}))
    with pytest.raises(BadInput, match="unpacks to more than is read"):
        read(tmp_path / "a.xlsx")


def test_a_sheet_with_one_cell_in_its_last_corner_is_read_and_a_few_rows_are(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active["A1"] = "Food"
    book.active["B1"] = "Min"
    book.active.cell(1_048_576, 2, 40)
    book.save(tmp_path / "a.xlsx")
    grid = read(tmp_path / "a.xlsx").grids[0]
    assert texts(grid) == [["Food", "Min"], ["", "40"]] and lines(grid) == [1, 1_048_576]

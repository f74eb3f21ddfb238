"""The report in each of its forms: every finding with its page, nothing that runs, nothing over another's file."""

from __future__ import annotations

import csv
import html
import io
import os
import re
import zipfile
from pathlib import Path

import openpyxl
import pytest
from openpyxl.comments import Comment

import stillroom
from stillroom.errors import BadInput
from stillroom.foreign.grid import Cell, Foreign, Grid, GridRow
from tests.audit import made
from tests.conftest import ROOT
from tests.foreign.grids import texts

HOSTILE = (
    "<script>alert(1)</script>",
    "=HYPERLINK(0)",
    "\u202e54",
    "\x1b[2J",
    "a|b`*_",
    "{{ 7*7 }}",
    "'\"><img src=x>",
)


def _report(found, path: Path) -> str:
    found.report(str(path))
    return path.read_text()


def _hostile():
    rows = [[text, "20"] for text in HOSTILE]
    foreign = Foreign("h.csv", "0" * 64, "csv", (made.grid(rows),))
    cells = [
        made.audit().cells[0]._replace(row=number, column=column, line=number + 1, text=text, verdict="weaker")
        for number, row in enumerate(rows)
        for column, text in enumerate(row)
    ]
    findings = [
        made.finding("weaker", 2, (1,), label=text, cell=text, stated=text, why=text, cells=((0, number, 0),))
        for number, text in enumerate(HOSTILE)
    ]
    return made.audit(
        file="<b>h</b>.csv", cells=tuple(cells), findings=tuple(findings), foreign=foreign, reading=HOSTILE
    )


def test_page_and_markdown_say_the_verdict_first_and_each_finding_with_all_it_has(tmp_path):
    page = html.unescape(
        re.sub(r"<style>.*?</style>|<[^>]+>", " ", _report(made.audit(), tmp_path / "a.html"), flags=re.S)
    )
    marked = re.sub(r"\\(.)", r"\1", html.unescape(_report(made.audit(), tmp_path / "a.md")))
    for text in (" ".join(page.split()), " ".join(marked.split())):
        assert (
            text.index("NOT SAFE TO HAND OUT. 4 of 5 rows") < text.index("How it was read") < text.index("The handout")
        )
        for one in made.findings():
            for said in (one.label, one.column, one.stated, one.why.rstrip("."), one.looks_like, one.history, one.page):
                assert said is None or str(said) in text, (one.verdict, said)
        for said in ("Freeze citrons.", "Finish in the oven.", "Invented reason not to use an oven (page 7-9).",
                     "Apples: half-pints", made.audit().sha256, "ata version 9.9.9", "Checked by ____"):  # fmt: skip
            assert said in text, said
        assert text.count(str(stillroom.shelf().standing)) == 1


def test_each_wrong_cell_of_the_page_has_sign_class_published_value_and_a_link_that_leads_somewhere(tmp_path):
    page = _report(made.audit(), tmp_path / "a.html")
    for kind, sign, count in (("weaker", "▼", 2), ("withheld", "✖", 3), ("missing", "○", 1), ("unread", "…", 2)):
        cells = re.findall(rf'<t[dh][^>]*class="wrong {kind}".*?</t[dh]>', page, flags=re.S)
        assert len(cells) == count and all(sign in cell for cell in cells), kind
    assert "<small>published 51</small>" in page
    links, targets = set(re.findall(r'href="#(f\d+)"', page)), set(re.findall(r'id="(f\d+)"', page))
    assert links == targets == {f"f{number}" for number in range(1, 8)}
    assert page.count('scope="row"') == len(made.ROWS) and page.count('scope="col"') == len(made.HEADS)


def test_an_audit_at_one_height_says_so_in_every_form(tmp_path):
    found = made.audit(altitude_ft=1650.0, left_out=("0-1,000 ft",))
    for end in ("html", "md"):
        text = _report(found, tmp_path / f"a.{end}")
        assert "At 1,650 ft alone" in text and "left out, as they do not hold there" in text
    found.report(str(tmp_path / "a.xlsx"))
    said = " ".join(str(cell.value) for row in openpyxl.load_workbook(tmp_path / "a.xlsx")["Audit"] for cell in row)
    assert "At 1,650 ft alone" in said and "left out, as they do not hold there" in said


def test_hostile_words_are_words_in_the_page_and_in_markdown(tmp_path):
    for end in ("html", "md"):
        text = _report(_hostile(), tmp_path / f"h.{end}")
        assert text.replace("\n", "").isprintable()
        assert not re.search(r"<(script|img|b)\b", text)
        assert "&lt;script&gt;" in text and r"\u202e54" in text.replace("\\\\", "\\")
        assert "{{ 7*7 }}" in text.replace("\\", "")
    assert "a\\|b\\`\\*\\_" in (tmp_path / "h.md").read_text()


def test_no_cell_of_the_table_of_findings_is_a_formula(tmp_path):
    rows = list(csv.DictReader(io.StringIO(_report(_hostile(), tmp_path / "h.csv"))))
    assert len(rows) == len(HOSTILE)
    assert not [value for row in rows for value in row.values() if value.startswith(("=", "+", "-", "@"))]
    assert rows[1]["cell"] == "'=HYPERLINK(0)" and rows[2]["stated"] == r"\u202e54"


def test_the_table_of_findings_has_a_row_for_each_with_page_and_published_value(tmp_path):
    rows = list(csv.DictReader(io.StringIO(_report(made.audit(), tmp_path / "a.csv"))))
    assert [row["verdict"] for row in rows] == [one.verdict for one in made.findings()]
    assert (rows[2]["row"], rows[2]["published"], rows[2]["page"]) == ("3", "51 min (page 7-3)", "page 7-3")


def test_merged_cells_of_the_handout_are_merged_in_the_page(tmp_path):
    first, other = Cell("both", (0, 0)), Cell("x", (1, 1))
    grid = Grid("", (GridRow(1, (first, first)), GridRow(2, (first._replace(text="both"), other))))
    cells = (made.audit().cells[0]._replace(text="both"), made.audit().cells[0]._replace(row=1, column=1, text="x"))
    found = made.audit(cells=cells, findings=(), foreign=Foreign("a", "0" * 64, "csv", (grid,)))
    page = _report(found, tmp_path / "a.html")
    assert 'rowspan="2" colspan="2"' in page and page.count(">both<") + page.count("both\n") == 1


def test_a_title_above_the_table_is_one_line_across_it_and_a_row_with_a_blank_is_not(tmp_path):
    found = stillroom.audit(ROOT / "shared/demo/roots.csv")
    page = _report(found, tmp_path / "a.html")
    assert re.search(r'<td colspan="8">Root vegetables of an invented county', page)
    assert page.count('colspan="8"') == 2 and page.count('scope="col"') == 8 and page.count('scope="row"') == 7


# workbooks


def _workbook(path: Path) -> Path:
    """Sheets of which the first is laid out but empty, and the second is the handout."""
    book = openpyxl.Workbook()
    book.active.title = "cover"
    book.active["C9"].number_format = "0.0"
    sheet = book.create_sheet("table 1")
    for row in [made.HEADS, *([text for text, *_ in row] for row in made.ROWS)]:
        sheet.append([int(text) if text.isdigit() else text or None for text in row])
    sheet["B3"].comment = Comment("my own words", "me")
    book.create_sheet("other").append(["Food", "Pints"])
    book.properties.creator = "the educator"
    book.save(path)
    return path


def _of_workbook(path: Path):
    from stillroom.foreign import workbook

    grid = workbook.workbook(path.read_bytes(), "w", "table 1")[0][0]
    assert texts(grid)[2] == ["Berries", "15", ""]
    found = made.audit(path, "xlsx")
    return found._replace(foreign=found.foreign._replace(grids=(grid,)))


def test_the_sheet_that_was_judged_is_marked_and_no_other(tmp_path):
    found = _of_workbook(_workbook(tmp_path / "w.xlsx"))
    before = (tmp_path / "w.xlsx").read_bytes()
    found.report(str(tmp_path / "r.xlsx"))
    book = openpyxl.load_workbook(tmp_path / "r.xlsx")
    assert book.sheetnames == ["cover", "table 1", "other", "Audit"]
    wrong = {cell.coordinate for row in book["table 1"] for cell in row if cell.fill.fill_type is not None}
    assert wrong == {"C2", "B3", "C3", "A4", "B4", "C4", "C5", "A6", "B6", "C6"}
    assert not [cell for name in ("cover", "other") for row in book[name] for cell in row if cell.comment]
    said = book["table 1"]["B3"].comment.text
    assert said.startswith("WEAKER: published 51") and "page 7-3" in said and said.endswith("my own words")
    assert len({book["table 1"][place].fill.fill_type for place in ("C2", "B3", "C3", "A4", "C5", "A6")}) == 6
    assert book.properties.creator == "the educator" and (tmp_path / "w.xlsx").read_bytes() == before


def test_two_sheets_that_hold_the_same_table_are_refused_and_one_is_not(tmp_path):
    path = _workbook(tmp_path / "w.xlsx")
    book = openpyxl.load_workbook(path)
    book.copy_worksheet(book["table 1"])
    book.save(path)
    with pytest.raises(BadInput, match="table 1 and table 1 Copy hold the table"):
        _of_workbook(path).report(str(tmp_path / "r.xlsx"))
    assert not (tmp_path / "r.xlsx").exists()


def test_a_workbook_that_has_been_changed_since_it_was_read_is_not_marked(tmp_path):
    found = _of_workbook(_workbook(tmp_path / "w.xlsx"))
    with (tmp_path / "w.xlsx").open("ab") as file:
        file.write(b" ")
    with pytest.raises(BadInput, match="has been changed since it was read"):
        found.report(str(tmp_path / "r.xlsx"))


def test_a_handout_of_another_kind_becomes_a_workbook_with_every_hostile_word_as_a_word(tmp_path):
    _hostile().report(str(tmp_path / "h.xlsx"))
    book = openpyxl.load_workbook(tmp_path / "h.xlsx")
    assert [cell.value for row in book["table 1"].iter_rows(max_col=1) for cell in row][1:4] == [
        "'=HYPERLINK(0)", r"\u202e54", r"\x1b[2J"
    ]  # fmt: skip
    assert all(cell.data_type != "f" for sheet in book for row in sheet for cell in row)
    assert all(cell.comment is not None for row in book["table 1"] for cell in row)


# what is there already


@pytest.mark.parametrize("end", ["html", "md", "csv", "xlsx"])
def test_a_report_of_ours_is_replaced_and_another_file_never(tmp_path, end):
    path = tmp_path / f"a.{end}"
    made.audit().report(str(path))
    made.audit().report(str(path))
    path.write_bytes(b"somebody's")
    with pytest.raises(BadInput, match="was not written by stillroom"):
        made.audit().report(str(path))
    assert path.read_bytes() == b"somebody's"


def test_a_workbook_of_ours_that_somebody_has_saved_since_is_not_replaced(tmp_path):
    path = tmp_path / "a.xlsx"
    made.audit().report(str(path))
    book = openpyxl.load_workbook(path)
    book.properties.lastModifiedBy = "the educator"
    book.save(path)
    with pytest.raises(BadInput, match="was not written by stillroom"):
        made.audit().report(str(path))
    with zipfile.ZipFile(path) as kept:
        assert b"the educator" in kept.read("docProps/core.xml")


def test_a_report_and_a_corrected_table_do_not_replace_each_other(tmp_path):
    made.audit().report(str(tmp_path / "a.xlsx"))
    with pytest.raises(BadInput, match="was not written by stillroom"):
        made.audit().corrected(str(tmp_path / "a.xlsx"))


def test_the_handout_itself_is_never_written_over_by_no_name_of_it(tmp_path):
    handout = tmp_path / "h.csv"
    handout.write_text("Food,Pints\n")
    os.link(handout, tmp_path / "hard.csv")
    (tmp_path / "soft.csv").symlink_to(handout)
    found = made.audit(handout)
    for name in ("h.csv", "hard.csv", "soft.csv"):
        for write in (found.report, found.corrected):
            with pytest.raises(BadInput, match="is the handout itself"):
                write(str(tmp_path / name))
    assert handout.read_text() == "Food,Pints\n"


@pytest.mark.parametrize("name", ["a.pdf", "a", "a.html.txt", "a\0.html"])
def test_a_name_that_no_report_can_have_is_refused_in_one_line(tmp_path, name):
    with pytest.raises(BadInput) as refused:
        made.audit().report(str(tmp_path / name))
    assert "\n" not in str(refused.value)

"""A handout says in every form what find answers, and a merged column is never weaker than a band it covers."""

from __future__ import annotations

import csv
import io
import itertools
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

import stillroom
from stillroom.answers.names import Meaning
from stillroom.answers.printed_table import FoodTable, printed
from stillroom.commands.main import main
from stillroom.errors import BadInput
from stillroom.sheets import handout, handout_bands, handout_files
from stillroom.sheets.handout import Handout, HandoutColumn, HandoutRow, HandoutTable

SHELF = stillroom.shelf()
HIGH = 29_032.0
"""Above every place on land (height of Mount Everest in feet, survey of 2020): stands for no upper limit."""


def _tables(feet: float | None = None, *foods: str) -> list[FoodTable]:
    return [printed(SHELF, Meaning(food, ""), feet) for food in foods or SHELF.foods]


def _rows(sheet: Handout) -> list[tuple[HandoutTable, HandoutRow]]:
    return [(table, row) for table in sheet.tables for row in table.rows]


def _found(table: HandoutTable, row: HandoutRow, pack: str | None, feet: float) -> set[tuple[int, int | None]] | None:
    form = {title.title: title.form for title in SHELF.package.forms if title.food == SHELF.owner(row.food)}
    try:
        answer = stillroom.find(
            row.food, form=form.get(row.form), pack=pack, jar=row.jar, canner=table.canner, altitude=f"{feet} ft"
        )
    except stillroom.NoTestedSchedule as refused:
        return None if refused.code == "altitude-not-tested" else {(0, None)}
    return {(option.minutes, option.pressure_psi) for option in answer.options}


def _heights(one: HandoutColumn) -> tuple[float, ...]:
    low = 0.0 if one.above_ft is None else one.above_ft + 0.5
    high = HIGH if one.to_ft is None else float(one.to_ft)
    return low, (low + high) / 2, high


@pytest.mark.parametrize("carried", [False, True])
def test_every_cell_of_all_foods_says_what_find_answers(carried: bool) -> None:
    sheet = handout.handout(_tables(), SHELF, carried=carried)
    rows = _rows(sheet)
    assert {row.food for _, row in rows} == set(SHELF.foods)
    assert any(row.by_rule for _, row in rows) is carried
    asked = 0
    for table, row in rows:
        for pack in row.packs[:1] or (None,):
            for one, cell in zip(table.columns, row.cells, strict=True):
                for feet in _heights(one)[:: 2 if carried else 1]:
                    assert _found(table, row, pack, feet) == (set(cell.processes) or None), (row, one)
                    asked += 1
    assert asked > 4_000 if not carried else asked > 3_000


def test_every_printed_row_stands_in_the_handout_once() -> None:
    tables = _tables()
    told = [
        (row.food, row.form, pack, row.jar, table.canner)
        for table, row in _rows(handout.handout(tables, SHELF))
        for pack in row.packs or ("",)
    ]
    cells = {
        (found.food, SHELF.in_words("form", cell.form), cell.pack, cell.jar, cell.canner)
        for found in tables
        for cell in found.cells
    }
    assert len(told) == len(set(told)) == len(cells)
    assert set(told) == cells


@pytest.mark.parametrize(
    "bands", ["0-3,000 ft, above 3,000 ft", "0-8000 ft", "0-2500, 2501-7,000 and 7001-8000 ft", "up to 6000 ft"]
)
def test_a_merged_band_is_never_weaker_than_any_band_it_covers(bands: str) -> None:
    """One of the processes of each printed band has no more minutes and no more pressure than a stated process."""
    columns, several = handout_bands.read(bands), 0
    tables = _tables()
    for table, row in _rows(handout.handout(tables, SHELF, columns)):
        cells = [cell for found in tables if found.food == row.food for cell in found.cells]
        own = [
            cell
            for cell in cells
            if (cell.canner, cell.jar, cell.pack) == (table.canner, row.jar, (row.packs or ("",))[0])
            and SHELF.in_words("form", cell.form) == row.form
        ]
        for one, stated in zip(columns, row.cells, strict=True):
            low, _, high = _heights(one)
            by_band = [list(group) for _, group in itertools.groupby(own, key=lambda cell: cell.altitude_from_ft)]
            touched = [b for b in by_band if b[0].altitude_from_ft <= high and (b[0].altitude_to_ft or HIGH) > low - 1]
            several += len(touched) > 1
            whole = (touched[-1][0].altitude_to_ft or HIGH) >= high
            assert bool(stated.processes) == whole
            for minutes, psi in stated.processes:
                assert all(_holds(minutes, psi, [c for c in b if c.result == "tested"]) for b in touched)
                assert any((minutes, psi) == (c.minutes, c.pressure_psi) for b in touched for c in b)  # is printed
    assert several > 50


def _holds(minutes: int, psi: int | None, tested: list[object]) -> bool:
    return any(minutes >= c.minutes and (psi or 0) >= (c.pressure_psi or 0) for c in tested)  # type: ignore[attr-defined]


def test_options_are_merged_each_with_its_own_pressure() -> None:
    """Page 3-8: on a dial 20 minutes at 6 to 9 psi or 15 at 11 to 14; on a weight 20 at 10 or 15 at 15."""
    sheet = handout.handout(_tables(None, "tomatoes-crushed"), SHELF, handout_bands.read("0-4,000 ft"))
    cells = {table.canner: table.rows[0].cells[0].text for table in sheet.tables}
    assert cells["dial"] == "20 min at 7 psi or 15 min at 12 psi"
    assert cells["weighted"] == "20 min at 10 psi or 15 min at 15 psi"
    notes = {table.canner: table.notes for table in sheet.tables}
    assert "0-4,000 ft: the process printed for 2,001-4,000 ft" in notes["dial"][0]
    assert not any("10 min" in note for note in notes["weighted"])  # printed as not recommended: never as a time
    assert any("not recommended" in note for note in notes["weighted"])


def test_where_a_part_of_a_band_has_no_published_value_none_is_stated() -> None:
    sheet = handout.handout(_tables(None, "snap-beans"), SHELF, handout_bands.read("0-8,000 ft, above 8,000 ft"))
    assert [cell.text for cell in sheet.tables[0].rows[0].cells] == ["20 min at 14 psi", "no tested process"]
    wider = handout.handout(_tables(None, "snap-beans"), SHELF, handout_bands.read("0-8,001 ft"))
    assert [cell.text for cell in wider.tables[0].rows[0].cells] == ["no tested process"]  # never that of 8,000 ft


@pytest.mark.parametrize("feet", [1_000.0, 1_000.5, 1_650.0, 8_000.5])
def test_for_one_height_there_is_one_column(feet: float) -> None:
    sheet = handout.handout(_tables(feet), SHELF)
    assert {len(table.columns) for table in sheet.tables} == {1}
    assert {table.canner for table in sheet.tables} == {"boiling-water", "weighted"} | (
        {"dial"} if feet < 8e3 else set()
    )
    for table, row in _rows(sheet):
        assert _found(table, row, (row.packs or (None,))[0], feet) == set(row.cells[0].processes)


@pytest.mark.parametrize(
    ("words", "heads"),
    [
        ("0-1000, 1001-3000 ft", ["0-1,000 ft", "1,001-3,000 ft"]),
        ("0\u20131,000 feet; above 1,000 feet", ["0-1,000 ft", "above 1,000 ft"]),
        ("up to 3,000 ft and 3,001 ft and up", ["0-3,000 ft", "above 3,000 ft"]),
    ],
)
def test_bands_are_understood(words: str, heads: list[str]) -> None:
    assert [one.head for one in handout_bands.read(words)] == heads


@pytest.mark.parametrize(
    "words",
    [
        "",
        "0-1000",
        "0-300 m",
        "0-1000 ft, 1000-3000 ft",
        "3001-6000 ft, 0-3000 ft",
        "above 3000 ft, 6000-8000 ft",
        "1650 ft",
        "low",
    ],
)
def test_bands_that_are_not_understood_are_refused_in_one_line(words: str) -> None:
    with pytest.raises(BadInput, match="write them like"):
        handout_bands.read(words)


# forms


class _Cells(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self._in = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "tr":
            self.rows.append([])
        elif tag in ("td", "th"):
            self._in = True
            self.rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        self._in = self._in and tag not in ("td", "th")

    def handle_data(self, data: str) -> None:
        if self._in:
            self.rows[-1][-1] += data


def _markdown_rows(text: str) -> list[list[str]]:
    lines = [line for line in text.splitlines() if line.startswith("| ")]
    return [[re.sub(r"\\(.)", r"\1", part.strip()) for part in re.split(r"(?<!\\)\|", line)[1:-1]] for line in lines]


def test_all_forms_hold_the_same_cells() -> None:
    openpyxl, docx = pytest.importorskip("openpyxl"), pytest.importorskip("docx")
    sheet = handout.handout(_tables(None, "tomatoes-crushed", "snap-beans", "crab", "soups"), SHELF)
    own = [handout.laid(table) for table in sheet.tables]
    bodies = [list(row) for laid in own for row in laid.rows]
    made = {form: write.written(sheet) for form, write in handout_files.FORMS.items()}
    assert [row for row in _markdown_rows(made["md"].decode()) if row[0] != "Food"] == bodies
    html = _Cells()
    html.feed(made["html"].decode())
    assert [row for row in html.rows if row in bodies] == bodies
    book = openpyxl.load_workbook(io.BytesIO(made["xlsx"]))
    in_book = [
        ["" if value is None else value for value in row[: len(laid.heads)]]
        for page, laid in zip(book.worksheets[:-1], own, strict=True)
        for row in page.iter_rows(min_row=4, max_row=3 + len(laid.rows), values_only=True)
    ]
    assert in_book == bodies
    tables = docx.Document(io.BytesIO(made["docx"])).tables
    assert [[cell.text for cell in row.cells] for table in tables for row in table.rows[2:]] == bodies
    merged = [str(area) for area in book.worksheets[0].merged_cells.ranges]
    assert any(area.endswith("2") and area.split(":")[0].endswith("2") for area in merged)  # one head over the bands


def test_csv_is_one_table_of_all_canners_under_one_row_of_heads() -> None:
    tables = _tables()
    sheet = handout.handout(tables, SHELF, handout.shared_columns(tables))
    text = handout_files.FORMS["csv"].written(sheet).decode()
    body = list(csv.reader(io.StringIO(text.split("\n\n")[0])))
    assert len({len(row) for row in body}) == 1
    assert len(body) == 1 + len(_rows(sheet))
    assert [row for row in body if row[0] == "Canner"] == body[:1]
    assert not any(cell == "" for row in body[1:] for cell in row[4:])  # no empty cell among the values


def test_files_are_replaced_as_long_as_nobody_has_changed_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for form in handout_files.FORMS:
        path = tmp_path / f"own.{form}"
        command = ["table", "peaches", "--to", form, "--out", str(path)]
        assert main(command) == main(command) == 0
        if form in ("md", "html", "csv"):
            path.write_bytes(path.read_bytes().replace(b"20 min", b"21 min"))
        if form == "xlsx":  # saved by another program
            book = pytest.importorskip("openpyxl").load_workbook(path)
            book.save(path)
        elif form == "docx":
            path.write_bytes(b"PK\x03\x04 somebody's")
        assert main(command) == 2
        assert "was not written by stillroom" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["peaches", "--to", "xlsx"], "--out"),
        (["peaches", "--to", "md", "--json"], "two forms"),
        (["peaches", "--to", "md", "--as", "csv"], "two forms"),
        (["peaches", "--bands", "0-1000 ft"], "--to"),
        (["peaches", "--to", "md", "--bands", "0-1000 ft", "--at", "5 ft"], "leave one"),
        (["peaches", "--all", "--to", "md"], "leave one"),
        (["--to", "md"], "name a food"),
    ],
)
def test_what_does_not_go_together_is_refused(words: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["table", *words]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert len(error.splitlines()) == 1


def test_words_are_escaped_in_each_form() -> None:
    hostile = "<script>=cmd|'|*"
    sheet = handout.handout([found._replace(title=hostile) for found in _tables(None, "peaches")], SHELF)
    assert b"<script" not in handout_files.FORMS["html"].written(sheet)
    assert b"<script" not in handout_files.FORMS["md"].written(sheet)
    formula = sheet._replace(tables=tuple(t._replace(title="=1+1") for t in sheet.tables))
    assert b"'=1+1" in handout_files.FORMS["csv"].written(formula)


def test_a_handout_carries_the_caution_the_venting_and_the_publication() -> None:
    sheet = handout.handout(_tables(None, "snap-beans"), SHELF)
    text = handout_files.FORMS["md"].written(sheet).decode()
    assert text.count("when in doubt, throw it out") == 1
    assert "Vent a pressure canner 10 minutes" in text  # page 1-20
    assert "revised 2015" in text
    assert (
        "Vent" not in handout_files.FORMS["md"].written(handout.handout(_tables(None, "apple-butter"), SHELF)).decode()
    )

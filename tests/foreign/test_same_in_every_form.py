"""One table, written in every form, reads back as one grid; and nothing that is read ends in a traceback."""

from __future__ import annotations

import csv
import html
import io
import random
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

import openpyxl
import pandas as pd
import polars as pl
import pyarrow as pa
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from stillroom.errors import BadInput
from stillroom.foreign.forms import read, read_frame, read_text
from stillroom.foreign.grid import Foreign
from tests.foreign.grids import texts
from tests.trials import trials

Rows = list[list[str]]
NAMES = (
    "Peas, green",
    "Corn | cream style",
    "Beets",
    "O\u2019Henry * peaches",
    "A_B & C",
    "Jalape\u00f1os <hot>",
    "\u00bd in.",
)
FIGURES = ("40", "1,000 ft", "30\u201335", "11 psi", "1/2 in.", "35 [a]", "", "45")


@st.composite
def tables(draw: st.DrawFn) -> Rows:
    columns = draw(st.integers(2, 5))
    head = [f"Col {number}" for number in range(columns)]
    rows = draw(st.lists(st.integers(0, 10**6), min_size=1, max_size=5))
    return [head, *(_row(seed, columns) for seed in rows)]


def _row(seed: int, columns: int) -> list[str]:
    chance = random.Random(seed)
    return [chance.choice(NAMES), *(chance.choice(FIGURES) for _ in range(columns - 2)), chance.choice(FIGURES[:5])]


def delimited(rows: Rows, delimiter: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter).writerows(rows)
    return out.getvalue()


def markdown(rows: Rows) -> str:
    escaped = [[cell.replace("|", "\\|").replace("*", "\\*").replace("<", "&lt;").replace("_", "\\_") for cell in row]
               for row in rows]  # fmt: skip
    lines = ["| " + " | ".join(row) + " |" for row in escaped]
    return "\n".join([lines[0], "|" + "---|" * len(rows[0]), *lines[1:]])


def page(rows: Rows) -> str:
    return (
        "<table>"
        + "".join("<tr>" + "".join(f"<td>{html.escape(c)}</td>" for c in r) + "</tr>" for r in rows)
        + "</table>"
    )


def columns(rows: Rows) -> str:
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return "\n".join("   ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in rows)


def ruled(rows: Rows) -> str:
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    rule = "+" + "+".join("-" * (width + 2) for width in widths) + "+"
    lines = ["| " + " | ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)) + " |" for row in rows]
    return "\n".join([rule, lines[0], rule, *lines[1:], rule])


WRITERS = {
    "csv": lambda rows: delimited(rows, ","),
    "csv ;": lambda rows: delimited(rows, ";"),
    "csv tab": lambda rows: delimited(rows, "\t"),
    "markdown": markdown,
    "html": page,
    "text": columns,
    "text ruled": ruled,
}
"""By the form and how it is written."""


@pytest.mark.parametrize("kind", WRITERS)
@given(rows=tables())
@settings(max_examples=trials(20), deadline=None)
def test_a_table_reads_back_as_it_was_written(kind: str, rows: Rows) -> None:
    if kind == "text ruled":
        rows = [[cell.replace("|", "/") for cell in row] for row in rows]
    foreign = read_text(WRITERS[kind](rows), "a")
    assert foreign.form == kind.split()[0] and len(foreign.grids) == 1
    assert texts(foreign.grids[0]) == rows


def _sheet_of(rows: Rows, path: Path, writer: str) -> Foreign:
    if writer == "openpyxl":
        book = openpyxl.Workbook()
        for row in rows:
            book.active.append(row)
        book.save(path)
    else:
        with xlsxwriter.Workbook(path) as book:
            sheet = book.add_worksheet()
            for number, row in enumerate(rows):
                sheet.write_row(number, 0, row)
    return read(path)


@pytest.mark.parametrize("writer", ["openpyxl", "xlsxwriter"])
def test_a_workbook_of_each_writer_reads_back(writer: str, tmp_path: Path) -> None:
    rows = [["Food", "Min", "Head"], *(_row(seed, 3) for seed in range(20))]
    foreign = _sheet_of(rows, tmp_path / "a.xlsx", writer)
    assert foreign.form == "xlsx" and texts(foreign.grids[0]) == rows


@pytest.mark.parametrize("frame", [pd.DataFrame, pl.DataFrame, pa.table, lambda data: pl.DataFrame(data).lazy()])
def test_frames_read_back_whole_numbers_without_a_point_and_missing_values_blank(frame: object) -> None:
    assert callable(frame)
    foreign = read_frame(frame({"food": ["Peas", "Corn", None], "min": [40.0, None, 0.5]}))
    assert (foreign.name, foreign.form, foreign.grids[0].heads) == ("a table in memory", "frame", 1)
    assert texts(foreign.grids[0]) == [["food", "min"], ["Peas", "40"], ["Corn", ""], ["", "0.5"]]
    assert [row.line for row in foreign.grids[0].rows] == [1, 2, 3, 4]
    assert foreign.sha256 == read_frame(pd.DataFrame({"food": ["Peas", "Corn", None], "min": [40, None, 0.5]})).sha256


def test_a_frame_with_an_index_of_names_keeps_it_and_one_that_counts_is_left_out() -> None:
    frame = pd.DataFrame({"food": ["Peas"], "min": [40]})
    assert texts(read_frame(frame.set_index("food")).grids[0]) == [["food", "min"], ["Peas", "40"]]
    assert texts(read_frame(frame[frame["min"] > 1]).grids[0]) == [["food", "min"], ["Peas", "40"]]
    assert texts(read_frame(pd.DataFrame([["Food", "Min"], ["Peas", 40]])).grids[0]) == [
        ["Food", "Min"],
        ["Peas", "40"],
    ]
    with pytest.raises(BadInput, match="a list is no data frame"):
        read_frame([1])
    with pytest.raises(BadInput, match="is empty"):
        read_frame(pd.DataFrame())


def _read_or_refused(asked: Callable[[], Foreign]) -> Foreign | None:
    """What is read; None where it is refused in one line. Anything else fails the test."""
    with suppress(BadInput):
        foreign = asked()
        assert foreign.grids
        return foreign
    return None


PIECES = (
    "|", "||", "\n", "\n\n", "|-|-|\n", "---", "  ", "\t", ",", ";", '"', "40", "Peas", "<table>", "<tr>",
    "<td rowspan=3>", "</table>", "<td colspan=0", ">", "<sup>", "</sup>", "<!--", "-->", "<script>", "\0", "\ud800",
    "\u202e", "\ufeff",
    "+--+", "===", "`", "**", "[^1]", "\\", "~~", "&#0;", "&#xd800;", "\r", "\x0c", "\u2028", "<td hidden>", "</tr>",
    "\ue000", "a",
)  # fmt: skip


@given(pieces=st.lists(st.one_of(st.sampled_from(PIECES), st.integers(0, 0x10FFFF).map(chr)), max_size=60))
@settings(max_examples=trials(60), deadline=None)
def test_no_text_ends_in_a_traceback_and_every_grid_keeps_its_shape(pieces: list[str]) -> None:
    foreign = _read_or_refused(lambda: read_text("".join(pieces), "a.txt"))
    if foreign is None:
        return
    assert foreign.grids
    for grid in foreign.grids:
        assert len({len(row.cells) for row in grid.rows}) == 1
        assert 0 <= grid.heads <= len(grid.rows)
        assert [row.line for row in grid.rows] == sorted(row.line for row in grid.rows)
        for number, row in enumerate(grid.rows):
            assert any(cell.text for cell in row.cells)
            for column, cell in enumerate(row.cells):
                first = grid.rows[cell.first[0]].cells[cell.first[1]]
                assert first.text == cell.text and first.first == cell.first <= (number, column)
    assert all(0 <= said.before <= len(foreign.grids) and said.text for said in foreign.said)


@given(damage=st.lists(st.tuples(st.integers(0, 10**6), st.integers(0, 255)), min_size=1, max_size=8))
@settings(max_examples=trials(20), deadline=None)
def test_a_damaged_workbook_is_read_or_refused_in_one_line(
    damage: list[tuple[int, int]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    folder = tmp_path_factory.mktemp("damaged")
    _sheet_of([["Food", "Min"], ["Peas", "40"]], folder / "a.xlsx", "openpyxl")
    data = bytearray((folder / "a.xlsx").read_bytes())
    for place, value in damage:
        data[place % len(data)] = value
    (folder / "b.xlsx").write_bytes(data)
    _read_or_refused(lambda: read(folder / "b.xlsx"))

"""Workbook: the sheets of a workbook in the form xlsx (ECMA-376), each cell as people see it."""

from __future__ import annotations

import datetime
import io
import re
import warnings
from collections.abc import Iterable
from typing import Any

from stillroom import screen
from stillroom.errors import BadInput
from stillroom.extras import needed
from stillroom.foreign.grid import Grid, Said
from stillroom.foreign.gridding import bound, folded, gridded
from stillroom.foreign.number_format import date_shown, number_shown
from stillroom.foreign.unpacked import unpacked

UNREAD_FORMULA = "=FORMULA"
"""Text of a cell with a formula whose result was not saved: no figure, so that nobody judges it."""
_CONTROL = re.compile(r"_x000[AaDd]_")
_Read = tuple[dict[int, dict[int, str]], list[tuple[int, str]]]


def workbook(data: bytes, shown: str, sheet: str | None = None) -> tuple[tuple[Grid, ...], tuple[Said, ...]]:
    """Read the sheets of a workbook.

    Parameters
    ----------
    data : bytes
    shown : str
        Name of the file for messages.
    sheet : str, optional
        Only the one of this name; all if not given.

    Returns
    -------
    grids : tuple of Grid
        Sheets that hold something, with their names where there are several.
    said : tuple of Said
        What a person has to know of a sheet: what is hidden, struck out, was turned into a date, or has a comment.

    Raises
    ------
    BadInput
        It is damaged or too large, or has no such sheet.
    StillroomError
        The library that reads it is not installed.
    """
    unpacked(data, shown)
    with needed("desk"):
        import openpyxl  # noqa: F401
    formulas = _opened(data, shown, values=False)
    sheets = _chosen(formulas, shown, sheet)
    values = _opened(data, shown, values=True) if any(_has_formula(one) for one in sheets) else formulas
    grids: list[Grid] = []
    said: list[Said] = []
    cells = 0
    for one in sheets:
        if one.sheet_state != "visible":
            said.append(Said(1, f"the sheet {one.title} is hidden", len(grids)))
        grid, told = _sheet(one, values[one.title], shown)
        said.extend(Said(line, text, len(grids)) for line, text in told)
        if grid is not None:
            cells += len(grid.rows) * len(grid.rows[0].cells)
            bound(shown, cells, 1)
            grids.append(grid)
    if len(grids) == 1:
        grids[0] = grids[0]._replace(name="")
    return tuple(grids), tuple(said)


def _opened(data: bytes, shown: str, values: bool) -> Any:
    from openpyxl import load_workbook

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of what is no cell: charts, validations
            return load_workbook(io.BytesIO(data), data_only=values, rich_text=True, keep_links=False)
    except Exception:  # whatever the library meets in a damaged file
        raise BadInput(f"{shown}: is a damaged workbook: open it, and save it as .xlsx or .csv") from None


def _chosen(book: Any, shown: str, sheet: str | None) -> list[Any]:
    if sheet is None:
        return list(book.worksheets)
    for one in book.worksheets:
        if one.title == sheet or one.title.strip().casefold() == sheet.strip().casefold():
            return [one]
    names = ", ".join(screen.shown(one.title) for one in book.worksheets[:20])
    raise BadInput(f"{shown}: has no sheet {screen.shown(sheet)!r}: it has {names}")


def _cells(sheet: Any) -> Iterable[Any]:
    """Cells that are stored; a sheet with a single cell in its last row has a milliard that are not."""
    return list(sheet._cells.values())


def _has_formula(sheet: Any) -> bool:
    return any(cell.data_type == "f" for cell in _cells(sheet))


def _sheet(sheet: Any, values: Any, shown: str) -> tuple[Grid | None, list[tuple[int, str]]]:
    rows: dict[int, dict[int, str]] = {}
    told: list[tuple[int, str]] = []
    for cell in _cells(sheet):
        text = _text(cell, values, told)
        if text:
            rows.setdefault(cell.row, {})[cell.column] = text
        if cell.comment is not None and (words := folded(str(cell.comment.text))):
            told.append((cell.row, f"comment on {cell.coordinate}: {words}"))
    spans = [(one.min_row, one.min_col, one.max_row, one.max_col) for one in sheet.merged_cells.ranges]
    for first_row, first_column, last_row, _ in spans:
        if rows.get(first_row, {}).get(first_column):
            for row in range(first_row, last_row + 1):
                rows.setdefault(row, {})
    width = max((max(cells) for cells in rows.values() if cells), default=0)
    bound(shown, len(rows), width)
    numbers = sorted(rows)
    place = {row: number for number, row in enumerate(numbers)}
    laid = [(row, [rows[row].get(column, "") for column in range(1, width + 1)]) for row in numbers]
    merged = {
        (place[row], column - 1): (place[first_row], first_column - 1)
        for first_row, first_column, last_row, last_column in spans
        if first_row in place
        for row in range(first_row, last_row + 1)
        if row in place
        for column in range(first_column, min(last_column, width) + 1)
        if (row, column) != (first_row, first_column)
    }
    told.extend(_hidden(sheet, numbers, width))
    return gridded(shown, laid, name=folded(sheet.title), merged=merged), sorted(told)


def _text(cell: Any, values: Any, told: list[tuple[int, str]]) -> str:
    """Text of a cell as people see it; what they have to know of it is told."""
    value = cell.value
    if cell.data_type == "f":
        value = values.cell(cell.row, cell.column).value
        if value is None:
            told.append((cell.row, f"{cell.coordinate} holds a formula without a saved result"))
            return UNREAD_FORMULA
    if value is None:
        return ""
    text = _written(value, str(cell.number_format or "") if cell.has_style else "")
    if isinstance(value, (datetime.date, datetime.time, datetime.timedelta)):
        told.append((cell.row, f"{cell.coordinate} holds a date or a time of day, {text}: look what was meant"))
    text = folded(_CONTROL.sub("\n", text))
    if text and ((cell.has_style and cell.font.strike) or _all_struck(value)):
        told.append((cell.row, f"{cell.coordinate} is struck out: {text}"))
    return text


def _written(value: Any, code: str) -> str:
    if isinstance(value, bool):
        return str(value).upper()
    if isinstance(value, (int, float)):
        return number_shown(value, code)
    if isinstance(value, (datetime.date, datetime.time, datetime.timedelta)):
        return date_shown(value, code)
    if isinstance(value, list):
        return "".join(_run(part, _all_struck(value)) for part in value)
    return str(value)


def _run(part: Any, all_struck: bool) -> str:
    """Text of a stretch of one script: raised figures are footnote marks."""
    font = getattr(part, "font", None)
    text = str(part)
    if font is None or not text.strip():
        return text
    if font.vertAlign in ("superscript", "subscript"):
        return f" [{text.strip()}] "
    return f"~~{text}~~" if font.strike and not all_struck else text


def _all_struck(value: Any) -> bool:
    if not isinstance(value, list):
        return False
    return all(bool(getattr(getattr(part, "font", None), "strike", False)) for part in value if str(part).strip())


def _hidden(sheet: Any, rows: list[int], width: int) -> list[tuple[int, str]]:
    """Tell what is hidden of the rows and columns that hold something."""
    from openpyxl.utils import get_column_letter

    found = []
    dimensions = sheet.row_dimensions
    hidden = [row for row in rows if row in dimensions and dimensions[row].hidden]
    for first, last in _stretches(hidden):
        found.append((first, f"row {first} is hidden" if first == last else f"rows {first} to {last} are hidden"))
    columns: set[int] = set()
    for one in list(sheet.column_dimensions.values()):
        if one.hidden and one.min:
            columns.update(range(one.min, min(one.max, width) + 1))
    for first, last in _stretches(sorted(columns)):
        start, end = get_column_letter(first), get_column_letter(last)
        found.append((1, f"column {start} is hidden" if first == last else f"columns {start} to {end} are hidden"))
    return found


def _stretches(numbers: list[int]) -> list[tuple[int, int]]:
    made: list[tuple[int, int]] = []
    for number in numbers:
        if made and number == made[-1][1] + 1:
            made[-1] = (made[-1][0], number)
        else:
            made.append((number, number))
    return made

"""Audit corrected: the handout with published values in its wrong cells, and what is withheld struck out."""

from __future__ import annotations

import csv
import io
import re

from stillroom import screen
from stillroom.errors import BadInput
from stillroom.foreign.audited import Audit, AuditCell
from stillroom.sheets import audit_workbook, output

TAKE_OUT = "TAKE OUT: "
"""Before the first words of a row that must not be printed; its figures are left out."""


def write(asked: tuple[Audit, str]) -> None:
    """Write a corrected handout, of the kind that the end of its name says.

    Parameters
    ----------
    asked : tuple
        The audit, and the file to write.

    Raises
    ------
    BadInput
        Another end, the handout itself, another's file, or it cannot be written.
    """
    found, path = asked
    end = re.search(r"\.(csv|xlsx)$", path, re.IGNORECASE)
    if end is None:
        raise BadInput(f'corrected table "{screen.shown(path)}": its name must end with .csv or .xlsx')
    audit_workbook.not_itself(found, path, "the corrected table")
    if end[1].casefold() == "xlsx":
        _workbook(found, path)
        return
    begins = _mark(found).encode()
    output.write(path, _csv(found).encode(), "the corrected table", lambda beginning: beginning.startswith(begins[:24]))


_MARK = "Corrected by stillroom against data version "
"""In the last line of a table of ours."""
_MOST = 1 << 26
"""Bytes of a file in which it is looked for."""


def _mark(found: Audit) -> str:
    left = sum(1 for cell in found.cells if cell.corrected is None and _wrong(cell) and not cell.struck)
    more = f"; {left} cells that could not be corrected stand as they were" if left else ""
    return f"{_MARK}{found.data_version}{more}: check it before printing."


def _wrong(cell: AuditCell) -> bool:
    return cell.verdict in ("withheld", "untested", "weaker", "missing", "unread")


def _csv(found: Audit) -> str:
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    if found.foreign is None:
        return out.getvalue()
    texts = {(cell.grid, cell.row, cell.column): _text(cell) for cell in found.cells}
    firsts = _firsts(found)
    for at, grid in enumerate(found.foreign.grids):
        if at:
            rows.writerow([])
        if grid.name:
            rows.writerow([grid.name])
        for number, row in enumerate(grid.rows):
            values = [texts.get((at, number, column), "") for column in range(len(row.cells))]
            if (at, number) in firsts:
                column, text = firsts[at, number]
                values[column] = TAKE_OUT + text
            rows.writerow([screen.cell(value) for value in values])
    rows.writerow([_mark(found)])
    return out.getvalue()


def _text(cell: AuditCell) -> str:
    if cell.struck:
        return ""
    return cell.text if cell.corrected is None else cell.corrected


def _firsts(found: Audit) -> dict[tuple[int, int], tuple[int, str]]:
    """First filled cell of each row that is taken out."""
    firsts: dict[tuple[int, int], tuple[int, str]] = {}
    for cell in found.cells:
        if cell.struck and cell.text.strip():
            firsts.setdefault((cell.grid, cell.row), (cell.column, cell.text))
    return firsts


def _workbook(found: Audit, path: str) -> None:
    """Keep the user's workbook as it is, with values exchanged; a row that is withheld is struck out."""
    from copy import copy

    book, places = audit_workbook.opened(found)
    firsts = _firsts(found)
    for cell in found.cells:
        there = audit_workbook.at(book, places, cell)
        if cell.struck:
            first = firsts.get((cell.grid, cell.row))
            if first is not None and first[0] == cell.column:
                there.value = TAKE_OUT + cell.text
            font = copy(there.font)
            font.strike = True
            there.font = font
        elif cell.corrected is not None:
            there.value = int(cell.corrected) if cell.corrected.isdigit() else screen.cell(cell.corrected)
    audit_workbook.saved(book, path, "the corrected table")

"""Audit corrected: the handout with published values in its wrong cells, and what is withheld struck out."""

from __future__ import annotations

import copy
import csv
import io
import re
from collections.abc import Iterator

from stillroom import screen
from stillroom.answers import wording
from stillroom.errors import BadInput
from stillroom.foreign.audited import Audit, AuditCell
from stillroom.sheets import audit_sheet, audit_workbook, output

TAKE_OUT = "TAKE OUT"
"""In place of a figure that must not be printed, and before the first words of a row that must not."""
CHECK = "CHECK: "
"""Before what is wrong or not understood, and what nobody can correct but the one who wrote it."""
_MARK = "Corrected by stillroom against data version "
"""Begins the last line of a table of ours."""
_MOST = 1 << 26
"""Bytes of a file in which it is looked for."""
_PLACES = dict[tuple[int, int], int]


def write(asked: tuple[Audit, str]) -> None:
    """Write a corrected handout, of the kind that the end of its name says.

    What has a published value gets it. A figure that is withheld or untested has none: ``TAKE OUT`` stands in its
    place. What could not be read, or has no one right value, keeps its words with ``CHECK:`` before them. No cell that
    is wrong is left as it was.

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
    else:
        output.write(path, _csv(found).encode(), "the corrected table", _ours, _MOST)


def _ours(content: bytes) -> bool:
    return content.rstrip(b"\n").rpartition(b"\n")[2].lstrip(b'"').startswith(_MARK.encode())


def _lines(found: Audit) -> Iterator[str]:
    yield f"{_MARK}{found.data_version}: check it before printing."
    if found.altitude_ft is not None or found.left_out:
        yield f"Not all of it was judged: {'; '.join(audit_sheet.one_height(found))}."
    left = sum(1 for cell in found.cells if _left(cell)) + len(_doubtful(found))
    if left:
        yield (
            f"{wording.units(left, 'place')} could not be corrected: look for {TAKE_OUT} and {CHECK.rstrip(': ')}, and "
            "do not hand it out before."
        )


def _left(cell: AuditCell) -> bool:
    """Whether a cell is wrong, and no published value can stand in it."""
    wrong = cell.verdict in ("withheld", "untested", "weaker", "missing", "unread")
    return wrong and cell.corrected is None and not cell.struck


def _labels(found: Audit) -> _PLACES:
    """Column of the first filled cell of each row."""
    labels: _PLACES = {}
    for cell in found.cells:
        if cell.text.strip():
            labels.setdefault((cell.grid, cell.row), cell.column)
    return labels


def _doubtful(found: Audit) -> set[tuple[int, str]]:
    """Line and words of each note that names what is withheld."""
    return {(note.line, note.text) for note in found.read_yourself if note.warns is not None}


def _texts(found: Audit) -> dict[tuple[int, int, int], str]:
    """Words of each cell in the corrected table, by its place."""
    labels, doubtful = _labels(found), _doubtful(found)
    texts = {}
    for cell in found.cells:
        first = labels.get((cell.grid, cell.row)) == cell.column
        noted = cell.verdict == "text" and (cell.line, cell.text) in doubtful
        texts[cell.grid, cell.row, cell.column] = _checked(cell.text) if noted else _text(cell, first)
    return texts


def _text(cell: AuditCell, first: bool) -> str:
    if cell.struck:
        return f"{TAKE_OUT}: {cell.text}" if first else ""
    if cell.corrected is not None:
        return cell.corrected
    if not _left(cell):
        return cell.text
    if cell.verdict in ("withheld", "untested"):
        return f"{TAKE_OUT}: {cell.text}" if first else TAKE_OUT
    return _checked(cell.text or cell.verdict)


def _checked(text: str) -> str:
    return text if text.startswith(CHECK) else f"{CHECK}{text}"


def _said(found: Audit, before: int) -> Iterator[str]:
    """Lines beside the tables, as they are to be printed."""
    doubtful = {text for _, text in _doubtful(found)}
    for line in audit_workbook.said(found.foreign, before):
        yield _checked(line) if line in doubtful else line


def _csv(found: Audit) -> str:
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    texts = _texts(found)
    grids = () if found.foreign is None else found.foreign.grids
    for at, grid in enumerate(grids):
        if at:
            rows.writerow([])
        for line in (*([grid.name] if grid.name else []), *_said(found, at)):
            rows.writerow([_safe(line)])
        for number, row in enumerate(grid.rows):
            values = [texts.get((at, number, column), "") for column in range(len(row.cells))]
            rows.writerow([_safe(value) for value in values])
    for line in _said(found, len(grids)):
        rows.writerow([_safe(line)])
    first, *more = _lines(found)
    rows.writerow([_safe(" ".join((first, *more)))])
    return out.getvalue()


def _safe(text: str) -> object:
    """Words as a spreadsheet takes them for words; a dash alone, and a number with its sign, stay as they are."""
    return text if re.fullmatch(r"[-+]*\d*\.?\d*", text) else screen.cell(text)


def _workbook(found: Audit, path: str) -> None:
    """Keep the user's workbook as it is, with values exchanged; a row that is withheld is struck out."""
    opened = audit_workbook.of(found, _said)
    texts = _texts(found)
    for cell in found.cells:
        new = texts[cell.grid, cell.row, cell.column]
        if new == cell.text:
            continue
        there = audit_workbook.at(opened, cell)
        there.value = audit_workbook.value(audit_workbook.clean(new)) if new else None
        if cell.struck:
            font = copy.copy(there.font)
            font.strike = True
            there.font = font
    others = [sheet.title for sheet in opened.book.worksheets if sheet.title not in opened.sheets]
    unjudged = [f"Not judged, and left as before: {', '.join(others)}."] if others else []
    audit_workbook.explained(opened, ((line,) for line in (*_lines(found), *unjudged)))
    audit_workbook.saved(opened, path, "the corrected table")

"""Audit report: what an audit found, to be filed or sent: a page, Markdown, a table, or the sheet itself marked."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from stillroom import extras, screen
from stillroom.answers import wording
from stillroom.errors import BadInput
from stillroom.foreign.audited import NOT_ACCEPTED, WORST_FIRST, Audit, AuditCell, AuditFinding
from stillroom.foreign.grid import Grid
from stillroom.sheets import audit_sheet, audit_workbook, output

SIGNS = {
    "withheld": "\u2716",
    "untested": "?",
    "weaker": "\u25bc",
    "missing": "\u25cb",
    "unread": "\u2026",
    "stronger": "\u25b2",
}
"""A sign beside each shade, for print in black and white."""
TITLES = {
    "withheld": "Withheld: take these rows out",
    "untested": "Untested: nothing is published for it",
    "weaker": "Weaker than published: correct before printing",
    "missing": "Missing: published, and not stated",
    "unread": "Unread: not understood, so not judged",
    "stronger": "Stronger: safe, not as published",
}
HTML_MARK = b"<!doctype html>\n<!-- audit by stillroom -->\n"
MD_MARK = b"<!-- audit by stillroom -->\n"
COLUMNS = (
    "number", "verdict", "table", "row", "column", "cell", "label", "stated", "published", "page", "why", "looks_like",
    "instead", "history",
)  # fmt: skip
"""Columns of the table of findings."""


class Shown(NamedTuple):
    """A cell as the page shows it.

    Attributes
    ----------
    text : str
    verdict : str
    published : str
    numbers : tuple of int
        Findings that are about it.
    rows, columns : int
        How far it reaches.
    head : str
        Whether it heads a column (``col``) or a row (``row``); blank where it heads nothing.
    """

    text: str
    verdict: str
    published: str
    numbers: tuple[int, ...]
    rows: int
    columns: int
    head: str


def report(asked: tuple[Audit, str]) -> None:
    """Write a report, of the kind that the end of its name says.

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
    end = re.search(r"\.(html?|md|csv|xlsx)$", path, re.IGNORECASE)
    if end is None:
        raise BadInput(f'report "{screen.shown(path)}": its name must end with .html, .md, .csv or .xlsx')
    kind = end[1].casefold()[:4]
    audit_workbook.not_itself(found, path, "the report")
    if kind == "xlsx":
        audit_workbook.marked(found, path)
        return
    content, begins = {
        "html": (_html, HTML_MARK),
        "htm": (_html, HTML_MARK),
        "md": (_markdown, MD_MARK),
        "csv": (_csv, _head()),
    }[kind]
    data = audit_sheet.fit(content(found)).encode()
    output.write(path, data, "the report", lambda beginning: beginning.startswith(begins))


# as a page


def _html(found: Audit) -> str:
    with extras.needed("desk"):
        import jinja2
    templates = jinja2.Environment(
        loader=jinja2.PackageLoader("stillroom.sheets", "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return templates.get_template("audit.html.jinja").render(**contents(found))


def contents(found: Audit) -> dict[str, Any]:
    """Gather what the page prints."""
    from stillroom import shelf

    return {
        "found": found,
        "verdict": audit_sheet.verdict(found),
        "safe": not any(found.counts[kind] for kind in NOT_ACCEPTED),
        "tiles": [(kind, SIGNS.get(kind, ""), count) for kind, count in _counted(found)],
        "tables": [(grid.name, list(_shown(found, at, grid))) for at, grid in enumerate(_grids(found))],
        "sections": [(kind, TITLES[kind], list(_of(found, kind))) for kind in WORST_FIRST if found.counts[kind]],
        "signs": SIGNS,
        "kinds": [kind for kind in WORST_FIRST if found.counts[kind]],
        "told": audit_sheet.told,
        "why": audit_sheet.why,
        "reading": (*found.reading, *found.assumed, *audit_sheet.one_height(found)),
        "judged": wording.units(found.processes, "figure"),
        "caution": shelf().standing,
    }


def _counted(found: Audit) -> list[tuple[str, int]]:
    order = (*WORST_FIRST, "same", "text")
    return [(kind, found.counts[kind]) for kind in order]


def _of(found: Audit, kind: str) -> Iterator[tuple[int, AuditFinding]]:
    for number, one in enumerate(found.findings, 1):
        if one.verdict == kind:
            yield number, one


def _grids(found: Audit) -> tuple[Grid, ...]:
    return () if found.foreign is None else found.foreign.grids


def _shown(found: Audit, at: int, grid: Grid) -> Iterator[tuple[int, list[Shown]]]:
    """Rows of one table as the page shows them, each with its line."""
    by_place = {(cell.row, cell.column): cell for cell in found.cells if cell.grid == at}
    numbers: dict[tuple[int, int], list[int]] = {}
    for number, one in enumerate(found.findings, 1):
        for cell_grid, row, column in one.cells:
            if cell_grid == at:
                numbers.setdefault((row, column), []).append(number)
    spans = _spans(grid)
    first = min((row for (row, _), cell in by_place.items() if cell.verdict != "text"), default=0)
    for place, grid_row in enumerate(grid.rows):
        here = [by_place[place, column] for column in range(len(grid_row.cells)) if (place, column) in by_place]
        if (line := _line(here, len(grid_row.cells))) is not None:
            yield grid_row.line, [line]
            continue
        side = None if place < first else _side(here)
        cells = []
        for cell in here:
            head = "col" if place < first and cell.text else "row" if cell is side else ""
            told = tuple(numbers.get((place, cell.column), ()))
            cells.append(_cell(cell, told, *spans[place, cell.column], head))
        yield grid_row.line, cells


def _line(row: list[AuditCell], columns: int) -> Shown | None:
    """Show a row with words in its first cell alone, a title or a note, as one line across the table."""
    alone = len(row) == columns > 1 and row[0].text and not any(cell.text for cell in row[1:])
    if not alone or any(cell.verdict != "text" for cell in row):
        return None
    return Shown(row[0].text, "", "", (), 1, columns, "")


def _side(row: list[AuditCell]) -> AuditCell | None:
    """Find the cell that heads a row: the first with words, where figures follow."""
    filled = [cell for cell in row if cell.text.strip()]
    return filled[0] if any(cell.verdict != "text" for cell in filled[1:]) else None


def _cell(cell: AuditCell, numbers: tuple[int, ...], rows: int, columns: int, head: str) -> Shown:
    verdict = cell.verdict if cell.verdict in SIGNS else ""
    published = cell.published if verdict in ("weaker", "missing", "stronger") else ""
    return Shown(cell.text, verdict, published, numbers, rows, columns, head)


def _spans(grid: Grid) -> Mapping[tuple[int, int], tuple[int, int]]:
    reach: dict[tuple[int, int], tuple[int, int]] = {}
    for number, row in enumerate(grid.rows):
        for column, cell in enumerate(row.cells):
            rows, columns = reach.get(cell.first, (1, 1))
            reach[cell.first] = max(rows, number - cell.first[0] + 1), max(columns, column - cell.first[1] + 1)
    return reach


# as Markdown and as a table


def _md(text: object) -> str:
    line = " ".join(str(text).split())
    return re.sub(r"([\\`*_\[\]|#~])", r"\\\1", line).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _markdown(found: Audit) -> str:
    from stillroom import shelf

    lines = [
        MD_MARK.decode().strip(),
        f"# Audit of {_md(found.file)}",
        "",
        f"**{_md(audit_sheet.verdict(found))}**",
        "",
    ]
    lines += ["| " + " | ".join(kind for kind, _ in _counted(found)) + " |", "|" + "---|" * 8]
    lines += ["| " + " | ".join(str(count) for _, count in _counted(found)) + " |", "", "## How it was read", ""]
    lines += [f"- {_md(text)}" for text in (*found.reading, *found.assumed, *audit_sheet.one_height(found))]
    for at, grid in enumerate(_grids(found)):
        lines += ["", f"## The handout{': ' + _md(grid.name) if grid.name else ''}", "", *_md_table(found, at, grid)]
    for kind in WORST_FIRST:
        ones = list(_of(found, kind))
        if ones:
            lines += ["", f"## {SIGNS[kind]} {TITLES[kind]}", ""]
            lines += [f"{number}. {_md(' '.join(audit_sheet.sentences(one)))}" for number, one in ones]
    if found.read_yourself:
        lines += ["", "## Read these yourself", ""]
        for note in found.read_yourself:
            warns = f" **It names what is withheld.** {_md(note.warns)}" if note.warns is not None else ""
            lines.append(f"- line {note.line}: {_md(note.text)}{warns}")
    if found.not_here:
        lines += ["", "## Published, and not on this handout", "", *(f"- {_md(text)}" for text in found.not_here)]
    lines += ["", "Checked by ______________________  Date ______________", ""]
    lines += [f"File {_md(found.file)}, SHA-256 {found.sha256}; data version {found.data_version}; "
              f"{_md(found.source.cite())}.", "", f"Caution: {shelf().standing}"]  # fmt: skip
    return "\n".join(lines) + "\n"


def _md_table(found: Audit, at: int, grid: Grid) -> Iterator[str]:
    columns = len(grid.rows[0].cells) if grid.rows else 0
    yield "| line | " + " | ".join([" "] * columns) + " |"
    yield "|---|" + "---|" * columns
    by_place = {(cell.row, cell.column): cell for cell in found.cells if cell.grid == at}
    for number, row in enumerate(grid.rows):
        texts = []
        for column in range(columns):
            cell = by_place.get((number, column))
            texts.append("" if cell is None else _md_cell(cell))
        yield f"| {row.line} | " + " | ".join(texts) + " |"


def _md_cell(cell: AuditCell) -> str:
    shown = _cell(cell, (), 1, 1, "")
    sign = f"{SIGNS[shown.verdict]} " if shown.verdict else ""
    return f"{sign}{_md(cell.text)}" + (f" ({_md(shown.published)})" if shown.published else "")


def _head() -> bytes:
    return ",".join(COLUMNS).encode()


def _csv(found: Audit) -> str:
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(COLUMNS)
    for number, one in enumerate(found.findings, 1):
        published = audit_sheet.published(one.published) if one.published else ""
        values = (
            number, one.verdict, one.table, one.row, one.column, one.cell, one.label, one.stated, published,
            one.page or "", one.why, one.looks_like or "", one.instead or "", str(one.history or ""),
        )  # fmt: skip
        rows.writerow([screen.cell(value) for value in values])
    return out.getvalue()

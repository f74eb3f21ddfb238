"""Audits made by hand: an invented handout with a cell of every class, so that what is written is tried by itself."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

from stillroom.answers.answer import Citation, Stated
from stillroom.foreign.audited import Audit, AuditCell, AuditFinding, Published, ReadYourself
from stillroom.foreign.grid import Cell, Foreign, Grid, GridRow, Said

GUIDE = Citation("invented", "An invented office", "Invented guide", "", "2001", "7-3")
HEADS = ("Food", "Pints", "Quarts")
ROWS: tuple[tuple[tuple[str, str, str, str | None], ...], ...] = (
    (("Apples", "same", "", None), ("20", "same", "20", None), ("25", "stronger", "20", None)),
    (("Berries", "same", "", None), ("15", "weaker", "51", "51"), ("", "missing", "20 min", "20 min")),
    (("Citrons", "withheld", "", None), ("10", "withheld", "", None), ("10", "withheld", "", None)),
    (("Damsons", "same", "", None), ("25", "same", "25", None), ("40", "untested", "", None)),
    (("Elfroots", "unread", "", None), ("30", "unread", "", None), ("5 or 6", "weaker", "", None)),
)
"""Text, class, published and corrected of each cell."""
STRUCK = 3
"""Row of the grid that is taken out whole."""
KINDS = ("same", "stronger", "weaker", "untested", "withheld", "missing", "unread", "text")
NAMES_AN_OVEN = Stated("oven", "Invented reason not to use an oven.", GUIDE, "7-9")


def grid(rows: list[list[str]], name: str = "", first_line: int = 1) -> Grid:
    """A grid without merged cells."""
    return Grid(
        name,
        tuple(
            GridRow(first_line + number, tuple(Cell(text, (number, column)) for column, text in enumerate(row)))
            for number, row in enumerate(rows)
        ),
    )


def _cells() -> list[AuditCell]:
    cells = [AuditCell(0, 0, column, 1, head, "text", "", None, False) for column, head in enumerate(HEADS)]
    for number, row in enumerate(ROWS, 1):
        for column, (text, verdict, published, corrected) in enumerate(row):
            struck = number == STRUCK
            cells.append(AuditCell(0, number, column, number + 1, text, verdict, published, corrected, struck))
    return cells


def _published(text: str) -> tuple[Published, ...]:
    return (Published("", "pint", "", None, None, int(text.split()[0]), None, text, GUIDE),)


def finding(verdict: str, row: int, columns: tuple[int, ...], **changed: Any) -> AuditFinding:
    """One finding of a row of the grid."""
    texts = [ROWS[row - 1][column] for column in columns]
    made = AuditFinding(
        verdict, "", row + 1, ", ".join(HEADS[column] for column in columns), texts[0][0], ROWS[row - 1][0][0],
        "", "", "", "", "", None, None, texts[0][0] and f"{texts[0][0]} min", (), None, "", None, None, None,
        tuple((0, row, column) for column in columns),
    )  # fmt: skip
    return made._replace(**changed)


def findings() -> tuple[AuditFinding, ...]:
    """One for each class, worst first."""
    return (
        finding("withheld", 3, (0, 1, 2), why="Invented: not safe.", page="page 7-1", instead="Freeze citrons."),
        finding("untested", 4, (2,), why="No quarts are published."),
        finding("weaker", 2, (1,), published=_published("51 min"), page="page 7-3", looks_like="two digits exchanged",
                history=Stated("old", "The leaflet of 1950 printed 15 minutes.", GUIDE, "7-4")),
        finding("weaker", 5, (2,), why="Two figures that disagree."),
        finding("missing", 2, (2,), published=_published("20 min"), page="page 7-3"),
        finding("unread", 5, (0, 1), why='"Elfroots" is no name that is known here.', stated=""),
        finding("stronger", 1, (2,), published=_published("20 min"), page="page 7-3"),
    )  # fmt: skip


def audit(path: Path | None = None, form: str = "csv", **changed: Any) -> Audit:
    """An audit with a cell of every class; of a file of these rows, where one is given."""
    cells = _cells()
    rows = [list(HEADS), *([text for text, *_ in row] for row in ROWS)]
    sha = hashlib.sha256(b"" if path is None else path.read_bytes()).hexdigest()
    said = (Said(9, "Finish in the oven.", 1),) if form != "xlsx" else ()
    made = Audit(
        "invented.csv", sha, "9.9.9", GUIDE, ("Pints -> minutes, pints",), ("minutes are assumed",), 9,
        {kind: sum(cell.verdict == kind for cell in cells) for kind in KINDS}, 5, 4, findings(), tuple(cells),
        (ReadYourself(9, "Finish in the oven.", NAMES_AN_OVEN), ReadYourself(8, "From an aunt.", None)),
        ("Apples: half-pints",), foreign=Foreign("invented.csv", sha, form, (grid(rows),), said),
        path="" if path is None else str(path),
    )  # fmt: skip
    return made._replace(**changed)


def clean(**changed: Any) -> Audit:
    """An audit in which all is as published."""
    cells = tuple(
        AuditCell(0, 0, column, 1, text, "same", text, None, False) for column, text in enumerate(("20", "5"))
    )
    counts = {kind: 2 if kind == "same" else 0 for kind in KINDS}
    foreign = Foreign("invented.csv", "0" * 64, "csv", (grid([["20", "5"]]),))
    made = audit()._replace(
        counts=counts, cells=cells, findings=(), rows_wrong=0, read_yourself=(), not_here=(), foreign=foreign
    )
    return made._replace(**changed)

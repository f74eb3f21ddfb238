"""Grids as plain lists, to be held against what a test writes."""

from __future__ import annotations

from stillroom.foreign.grid import Foreign, Grid


def texts(grid: Grid) -> list[list[str]]:
    return [[cell.text for cell in row.cells] for row in grid.rows]


def own(grid: Grid) -> list[list[str]]:
    """Texts, with ``<`` in the further parts of a merged cell."""
    return [
        [cell.text if cell.first == (number, column) else "<" for column, cell in enumerate(row.cells)]
        for number, row in enumerate(grid.rows)
    ]


def lines(grid: Grid) -> list[int]:
    return [row.line for row in grid.rows]


def told(foreign: Foreign) -> list[tuple[int, str, int]]:
    return [(said.line, said.text, said.before) for said in foreign.said]

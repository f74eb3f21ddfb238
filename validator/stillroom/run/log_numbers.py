"""Log numbers: whole columns of decimal numbers, read by position."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from stillroom.errors import BadInput
from stillroom.run import log_names
from stillroom.run.arrays import Bytes, Real, Small, Truth, Whole
from stillroom.run.log_cells import Cells

PIECE = 32_768
"""Cells that are read at a time: few enough to stay in the processor's cache."""
_MOST_DIGITS = 15
"""Digits whose whole number is exact in a float, whichever they are."""
_LONG = 17
"""Letters of so many digits, a sign and a point."""
_LONGEST = 60
"""Letters of the longest cell that Python's own reader is given."""
_NUMBER = re.compile(rb"[-+]?(?:[0-9]+\.?([0-9]*)|\.([0-9]+))")


class Numbers(NamedTuple):
    """A column of numbers.

    Attributes
    ----------
    value : array of float64, shape (rows,)
        NaN where a cell is empty.
    decimals : int
        Most decimals that are printed.
    """

    value: Real
    decimals: int


class _Decimals(NamedTuple):
    """Cells read digit by digit.

    ``decimals`` counts the digits after the point; ``wrong`` marks what is no number, ``long`` what has too many digits
    to be read this way.
    """

    value: Real
    decimals: Small
    wrong: Truth
    long: Truth


def numbers(cells: Cells, column: str, what: str) -> Numbers:
    """Read a column of decimal numbers.

    Whole digits over a power of ten, both exact in a float, give the float nearest to what is printed (IEEE 754:
    division is correctly rounded). Longer numbers are left to Python's own reader.

    Parameters
    ----------
    cells : Cells
    column : str
    what : str
        What a number of it is, for messages.

    Raises
    ------
    BadInput
        A cell that is no number; names file and line.
    """
    raw, (starts, ends) = cells.bytes, cells.columns[column]
    read = _read(raw, starts, ends)
    value, decimals, rows = read.value, read.decimals, np.flatnonzero(read.wrong)
    if len(rows):
        shorter = _before_unit(raw, starts[rows], ends[rows], log_names.units_of(column))
        without = _read(raw, starts[rows], shorter)
        bad = rows[without.wrong | (shorter == ends[rows])]
        if len(bad):
            raise _no_number(cells, column, int(bad[0]), what)
        value[rows], decimals = without.value, max(decimals, without.decimals)
    return Numbers(value, decimals)


def _no_number(cells: Cells, column: str, row: int, what: str) -> BadInput:
    shown = cells.text(column, row)
    unit = log_names.denied_by(column, shown)
    if unit is not None and shown[:1].isdigit():
        return cells.refuse(row, f'{what} "{shown}" is in {unit}, and its column is {column}')
    return cells.refuse(row, f'{what} "{shown}" is not a number: write it with digits and a point, like 11.5')


class _Read(NamedTuple):
    """Cells as numbers; the most decimals of those that are; and which are none."""

    value: Real
    decimals: int
    wrong: Truth


def _read(raw: Bytes, starts: Whole, ends: Whole) -> _Read:
    value, wrong, long, most = np.empty(len(starts)), _none(starts), _none(starts), 0
    for low in range(0, len(starts), PIECE):
        part = slice(low, low + PIECE)
        read = _decimals(raw, starts[part], ends[part] - starts[part])
        value[part], wrong[part], long[part] = read.value, read.wrong, read.long
        most = max(most, int(read.decimals[~read.long & ~read.wrong].max(initial=0)))
    for row in np.flatnonzero(long).tolist():
        cell = raw[starts[row] : ends[row]].tobytes()
        found = _NUMBER.fullmatch(cell) if len(cell) <= _LONGEST else None
        wrong[row] = found is None
        if found is not None:
            value[row] = float(cell)
            most = max(most, len(found[1] or found[2] or b""))
    return _Read(value, most, wrong)


def digit(letter: Bytes) -> Bytes:
    """Read letters as digits; above 9 where they are none."""
    return letter - np.uint8(ord("0"))


def _before_unit(raw: Bytes, starts: Whole, ends: Whole, units: Sequence[str]) -> Whole:
    """Give the ends of the numbers where the unit of the column is written behind them."""
    rows, ends = np.arange(len(starts)), ends.copy()
    for unit in units:
        word = np.frombuffer(unit.encode(), np.uint8)
        here = rows[ends[rows] - starts[rows] > len(word)]
        for back, letter in enumerate(word[::-1].tolist(), 1):
            here = here[_small(raw[ends[here] - back]) == letter]
        ends[here] -= len(word)
        rows = np.setdiff1d(rows, here, assume_unique=True)
        while len(here := here[(ends[here] > starts[here]) & (raw[ends[here] - 1] == ord(" "))]):
            ends[here] -= 1
    return ends


def _small(letter: Bytes) -> Bytes:
    return np.where((letter >= ord("A")) & (letter <= ord("Z")), letter + np.uint8(32), letter)


def _none(starts: Whole) -> Truth:
    return np.zeros(len(starts), np.bool_)


def _decimals(raw: Bytes, starts: Whole, lengths: Whole) -> _Decimals:
    first = raw[starts]
    signed = (first == ord("-")) | (first == ord("+"))
    whole = np.zeros(len(starts), np.int64)
    digits, decimals, points = (np.zeros(len(starts), np.int8) for _ in range(3))
    wrong = _none(starts)
    for at in range(int(min(lengths.max(initial=0), _LONG))):
        letter = raw[starts + at]
        figure = digit(letter)
        inside = at < lengths
        is_digit = inside & (figure < 10)
        is_point = inside & (letter == ord("."))
        whole = np.where(is_digit, whole * 10 + figure, whole)
        digits += is_digit
        decimals += is_digit & (points > 0)
        points += is_point
        wrong |= inside & ~is_digit & ~is_point & ~(signed & (at == 0))
    empty = lengths == 0
    wrong |= ((digits == 0) | (points > 1)) & ~empty
    value = np.where(first == ord("-"), -whole, whole) / np.power(10.0, decimals)
    value[empty] = np.nan
    return _Decimals(value, decimals, wrong, (lengths > _LONG) | (digits > _MOST_DIGITS))

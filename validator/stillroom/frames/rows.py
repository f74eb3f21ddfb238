"""Rows: the table of answers laid out for many questions: each combination in each zone of altitudes has its rows.

A zone lies between two neighboring edges of any band of the package, above the lower and up to the upper one. Within a
zone no answer changes, so that a question is its combination and its zone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

import numpy as np
import pyarrow as pa
from numpy.typing import NDArray

from stillroom.answers import conditions, wording
from stillroom.answers.answer import NoTestedSchedule
from stillroom.answers.answer_rows import TESTED, AnswerRow
from stillroom.answers.charts import Combination
from stillroom.answers.lookup import Lookup
from stillroom.errors import BadPackage
from stillroom.export.typed import typed

IDS = ("food_id", "form_id", "pack_id", "jar_id", "canner_id")
"""Columns of what was understood, in the order of the keys of the table of answers."""
REASON = "reason"
VENT = "vent_min"
SAYS = ("result", "option", "minutes", "pressure_psi", VENT, "headspace_in", "acid", "requires", "cautions", "by_rule",
        "follows", "source", "page", REASON)  # fmt: skip
"""Columns of what is said."""
_TYPES = {
    "option": pa.int32(),
    "minutes": pa.int32(),
    "pressure_psi": pa.int32(),
    VENT: pa.int32(),
    "headspace_in": pa.float64(),
}
TYPES: Mapping[str, Any] = {name: _TYPES.get(name, pa.large_string()) for name in (*IDS, *SAYS)}
"""Every column that an answer adds, with its Arrow type."""
Row = tuple[Any, ...]
"""Values of one row, in the order of TYPES."""


class Span(NamedTuple):
    """The rows of one answer: the place of the first, and how many equal options there are."""

    first: int
    number: int


class Rows:
    """The table of answers of one package, by combination and zone.

    Parameters
    ----------
    lookup : Lookup

    Attributes
    ----------
    ids : dict of str to dict of str to int
        For each key column the number of each id; a blank id has the number 0.
    place : array of int32
        Number of the combination of five ids; -1 where there is none. Its axes are those of ``ids``.
    first, number : array of int32, combinations by zones
        Place of the first row of an answer, and how many it has.
    edges : tuple of float
        Upper edges of all zones but the last, feet.
    """

    def __init__(self, lookup: Lookup) -> None:
        self._lookup = lookup
        table = typed(lookup.shelf.package.root, "answers")
        rows: Iterable[Any] = table.rows
        self._rows = [AnswerRow(*row) for row in rows]
        self._reasons: dict[int, str] = {}
        self.edges = tuple(sorted({float(row.to_ft) for row in self._rows if row.to_ft is not None}))
        self.ids = {
            name: {
                each: number
                for number, each in enumerate(("", *sorted({str(row[at] or "") for row in self._rows} - {""})))
            }
            for at, name in enumerate(AnswerRow._fields[:5])
        }
        self.place = np.full([len(ids) for ids in self.ids.values()], -1, np.int32)
        self.first, self.number = self._laid_out()
        cells = dict(zip(AnswerRow._fields, zip(*self._rows, strict=True), strict=True))
        cells[VENT] = tuple(map(self._vent_min, self._rows))
        self._columns = {
            name: pa.array(cells[name.removesuffix("_id")], kind) for name, kind in TYPES.items() if name != REASON
        }

    @property
    def heights(self) -> tuple[float, ...]:
        """One height of each zone, feet."""
        return (*self.edges, self.edges[-1] + 1)

    def zones(self, feet: NDArray[np.float64]) -> NDArray[np.int8]:
        """Give the zone of each height, feet; the first of what is no number."""
        zone = np.zeros(len(feet), np.int8)
        for edge in self.edges:
            zone += feet > edge
        return zone

    def span(self, at: tuple[str | None, ...], zone: int) -> Span:
        """Give the rows of one combination in one zone."""
        place = int(self.place[tuple(ids[each or ""] for ids, each in zip(self.ids.values(), at, strict=True))])
        return Span(int(self.first[place, zone]), int(self.number[place, zone]))

    def __len__(self) -> int:
        return len(self._rows)

    def columns(self, used: NDArray[np.intp], more: list[Row]) -> dict[str, Any]:
        """Give the columns of all rows and of further ones after them, with a reason for every refusal that is used.

        Parameters
        ----------
        used : array of int
            Places of the rows that are shown.
        more : list of Row

        Returns
        -------
        dict of str to pyarrow Array
        """
        for place in used:
            if place < len(self._rows) and place not in self._reasons and self._rows[place].result != TESTED:
                self._reasons[place] = self._reason(self._rows[place])
        reasons = pa.array(map(self._reasons.get, range(len(self._rows))), TYPES[REASON])
        own = {name: reasons if name == REASON else self._columns[name] for name in TYPES}
        if not more:
            return own
        further = dict(zip(TYPES, zip(*more, strict=True), strict=True))
        return {name: pa.concat_arrays((own[name], pa.array(further[name], kind))) for name, kind in TYPES.items()}

    def _vent_min(self, row: AnswerRow) -> int | None:
        shelf = self._lookup.shelf
        return shelf.rules.whole(conditions.VENT) if row.pressure_psi is not None and shelf.of_guide(row.food) else None

    def _laid_out(self) -> tuple[NDArray[np.int32], NDArray[np.int32]]:
        last: tuple[Any, ...] | None = None
        first: list[list[int]] = []
        number: list[list[int]] = []
        for at, row in enumerate(self._rows):
            key = tuple(each or "" for each in row[:5])
            if key != last:
                self.place[tuple(ids[each] for ids, each in zip(self.ids.values(), key, strict=True))] = len(first)
                first.append([-1] * len(self.heights))
                number.append([0] * len(self.heights))
                last = key
            for zone, height in enumerate(self.heights):
                if (row.above_ft is None or height > row.above_ft) and (row.to_ft is None or height <= row.to_ft):
                    first[-1][zone] = at if number[-1][zone] == 0 else first[-1][zone]
                    number[-1][zone] += 1
        if not first or min(map(min, first)) < 0:
            raise BadPackage("schedules/answers.csv: an altitude has no row: run stillroom check")
        return np.array(first, np.int32), np.array(number, np.int32)

    def _reason(self, row: AnswerRow) -> str:
        """Say why a row is a refusal, in the words of the library but for the height."""
        height = self.heights[-1] if row.to_ft is None else float(row.to_ft)
        try:
            self._lookup.options(row.food, Combination(*(each or "" for each in row[1:5])), height)
        except NoTestedSchedule as refusal:
            return without_height(refusal.reason, height)
        raise BadPackage(f"schedules/answers.csv: {row.food} is refused there, and answered: run stillroom check")


def without_height(reason: str, height_ft: float) -> str:
    """Say a reason for any height of a zone."""
    return re.sub(rf"(?<![\d,.]){re.escape(wording.height(height_ft))}(?!\w)", "this altitude", reason)

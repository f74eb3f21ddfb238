"""Conformance: questions with the answer or the refusal of the library, for whoever answers from the tables elsewhere.

Run it where a release is built::

    python -m stillroom.desk.conformance FILE

It writes JSON lines, the same bytes each time. A line with ``ask.food`` asks with ids for one combination at one height
in feet; a line with ``ask.name`` asks what a name means, as people say it. ``says.result`` is ``tested`` with all equal
options, the longest time first, or the code of the refusal. Every rule, relation, canner, code and band edge of the
package is among them, each edge at the foot and half a foot above it.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Iterator
from itertools import groupby
from typing import Any

from stillroom.answers.answer import NoTestedSchedule, Option
from stillroom.answers.answer_rows import TESTED, AnswerRow, answer_rows, name_rows
from stillroom.answers.conditions import ACID
from stillroom.answers.lookup import Lookup
from stillroom.answers.question import Question
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadInput, StillroomError
from stillroom.package import files
from stillroom.package.package import Package, home
from stillroom.screen import printable

LOWEST_FT, HIGHEST_FT = -100.0, 9_999.5
"""Heights below every band and in the last one, feet."""
_EVERY_NAME = 3
"""One name of so many is asked for."""
_LARGEST = 2**26
_OURS = b'{"ask": {'
"""How a file of cases begins."""
Case = dict[str, Any]


def cases(shelf: Shelf) -> Iterator[Case]:
    """Ask the library for every kind of answer that there is.

    Parameters
    ----------
    shelf : Shelf

    Yields
    ------
    dict
        ``ask``: food, form, pack, jar, canner (ids, blank where there is none) and altitude_ft, feet; or a name.
        ``says``: result, with options (minutes, pressure_psi, psi, headspace_in, inches, acid in words, requires and
        cautions as lists of ids, source, page); or what the name means.
    """
    lookup = Lookup(shelf)
    for row, altitude_ft in _asked(shelf):
        yield _case(lookup, row, altitude_ft)
    yield from _names(shelf)


def _asked(shelf: Shelf) -> Iterator[tuple[AnswerRow, float]]:
    """One combination for each kind of answer of a food, with the heights that matter for it."""
    for _, of_food in groupby(answer_rows(shelf), key=lambda row: row.food):
        seen = set()
        for _, rows in groupby(of_food, key=lambda row: row[:5]):
            bands = list(rows)
            kind = (bands[0].form, bands[0].canner, *{(row.result, row.by_rule) for row in bands})
            if kind not in seen:
                seen.add(kind)
                yield from ((bands[0], height) for height in _heights(bands))


def _heights(bands: list[AnswerRow]) -> list[float]:
    edges = [float(row.to_ft) for row in bands if row.to_ft is not None]
    return sorted({LOWEST_FT, HIGHEST_FT, *edges, *(edge + 0.5 for edge in edges)})


def _case(lookup: Lookup, row: AnswerRow, altitude_ft: float) -> Case:
    ask = {**dict(zip(AnswerRow._fields[:5], row[:5], strict=True)), "altitude_ft": altitude_ft}
    asked = Question(row.food, row.jar, f"{altitude_ft:g} ft", row.canner, row.pack or None, row.form or None)
    try:
        answer = lookup.find(asked)
    except NoTestedSchedule as refusal:
        return {"ask": ask, "says": {"result": refusal.code}}
    return {"ask": ask, "says": {"result": TESTED, "options": [_option(option) for option in answer.options]}}


def _option(option: Option) -> Case:
    return {
        "minutes": option.minutes,
        "pressure_psi": option.pressure_psi,
        "headspace_in": option.headspace_in,
        "acid": " ".join(stated.text for stated in option.requires if stated.id == ACID),
        "requires": list(dict.fromkeys(stated.id for stated in option.requires)),
        "cautions": list(dict.fromkeys(stated.id for stated in option.cautions)),
        "source": option.source.id,
        "page": option.page,
    }


def _names(shelf: Shelf) -> Iterator[Case]:
    """Names as the table of names holds them: those that are withheld or left open, and one of so many others."""
    for place, (name, rows) in enumerate(groupby(name_rows(shelf), key=lambda row: row.name)):
        means = list(rows)
        if means[0].withheld:
            says: Case = {"result": means[0].result, "withheld": means[0].withheld}
        else:
            says = {"means": [{"food": row.food, "form": row.form, "pack": row.pack} for row in means]}
        if len(means) > 1 or place % _EVERY_NAME == 0:
            yield {"ask": {"name": name}, "says": says}


def text(shelf: Shelf) -> str:
    """Write all cases as JSON lines."""
    return "".join(f"{json.dumps(case, ensure_ascii=False, sort_keys=True)}\n" for case in cases(shelf))


def write(root: str, path: str) -> int:
    """Write the cases of a package into a file, and give their number.

    Parameters
    ----------
    root : str
        Folder of the package.
    path : str
        A file that is not there, or that holds such cases.

    Raises
    ------
    BadInput
        Another file stands there, or the folder cannot be written.
    BadPackage
        Nothing can be answered from the package.
    """
    content = text(Shelf(Package(root))).encode()
    try:
        if os.path.lexists(path) and not files.read(path, _LARGEST).startswith(_OURS):
            raise BadInput(f"{printable(path, 200)} is there already and holds no such cases: give another name")
        files.replace(path, content)
    except files.Unread as error:
        raise BadInput(f"{printable(path, 200)} cannot be replaced: {error.said}") from None
    except OSError as error:
        raise BadInput(f"{printable(path, 200)} cannot be written: {error.strerror}") from None
    return content.count(b"\n")


def main(words: list[str] | None = None) -> int:
    """Run the command; exit status 0: written, 2: it could not be done."""
    parser = argparse.ArgumentParser(prog="python -m stillroom.desk.conformance", allow_abbrev=False)
    parser.add_argument("file", help="file to write, like conformance.jsonl")
    asked = parser.parse_args(words)
    here = "." if os.path.lexists("datapackage.json") else home()
    try:
        number = write(here, asked.file)
    except StillroomError as error:
        sys.stderr.write(f"stillroom: {error}\n")
        return 2
    sys.stdout.write(f"{number:,} cases: {printable(asked.file, 200)}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

"""Label sheet: labels for the jars on the shelf, a sheet of many, to be printed from a browser.

Only jars that are on the shelf get one: of loads that got their schedule, sealed, and not taken since.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from html import escape
from typing import NamedTuple

from stillroom.answers.shelf import Shelf
from stillroom.errors import BadInput
from stillroom.run.season import Entry
from stillroom.sheets import output

MOST_LABELS = 3_000
"""Labels of one file: more than a household puts up in years."""
_LONG, _LONGEST = 45, 100
"""Letters of a title beyond which it is set smaller, so that nothing of it is cut; no food here has so many."""
_OURS = b"<!doctype html>\n<!-- labels by stillroom -->\n"


class Paper(NamedTuple):
    """A sheet: its name in CSS, columns and rows of labels, and their size and margins, as CSS lengths."""

    size: str
    columns: int
    rows: int
    label: tuple[str, str]
    margin: str


PAPERS = {
    "letter": Paper("letter", 3, 10, ("66.675mm", "25.4mm"), "12.7mm 4.7625mm"),
    "a4": Paper("A4", 3, 8, ("70mm", "35mm"), "8.5mm 0mm"),
}
"""Sheets that are known: thirty labels on letter paper, twenty-four on A4."""
_STYLE = """
@page {{ size: {size}; margin: {margin}; }}
* {{ box-sizing: border-box; }}
body {{ margin: 0; color: #000; background: #fff; font: 8.5pt/1.15 "Helvetica Neue", Arial, sans-serif; }}
.sheet {{ display: grid; grid-template-columns: repeat({columns}, {wide}); grid-auto-rows: {high};
  justify-content: space-between; break-after: page; }}
.sheet:last-child {{ break-after: auto; }}
.label {{ padding: 0.05in 0.2in; overflow: hidden; display: flex; flex-direction: column; justify-content: center; }}
.label div {{ flex: none; overflow: hidden; overflow-wrap: anywhere; }}
.food {{ font-size: 10.5pt; line-height: 1.1; font-weight: bold; max-height: 2.2em; }}
.long {{ font-size: 8pt; max-height: 3.3em; }}
.longest {{ font-size: 6pt; max-height: 4.4em; }}
.batch {{ font-size: 7pt; max-height: 2.3em; }}
.by {{ font-weight: bold; }}
@media screen {{ .label {{ outline: 1px dotted #999; }} .sheet {{ padding: 0.3in; }} }}
"""


def write(entries: Iterable[Entry], shelf: Shelf, path: str, paper: str) -> int:
    """Write the labels of all jars on the shelf, and give their number.

    Parameters
    ----------
    entries : iterable of Entry
    shelf : Shelf
        For the titles of jars.
    path : str
        File to write.
    paper : str
        One of :data:`PAPERS`.

    Raises
    ------
    BadInput
        No jar is on the shelf, too many are, or the file is not ours or cannot be written.
    """
    labels = [label for load in entries for label in _labels(load, shelf)]
    if not labels:
        raise BadInput("no jar is on the shelf: labels are for sealed jars of loads that got their schedule")
    if len(labels) > MOST_LABELS:
        raise BadInput(f"{len(labels):,} labels are more than {MOST_LABELS:,}: name one load with --load")
    output.write(path, _page(labels, PAPERS[paper]).encode(), "labels", lambda file: file.startswith(_OURS))
    return len(labels)


def _labels(load: Entry, shelf: Shelf) -> Iterator[str]:
    jar = shelf.jars[load.jar].title if load.jar in shelf.jars else load.jar
    batch = load.file.removesuffix(".yaml").removesuffix(".yml")
    size = " longest" if len(load.title) > _LONGEST else " long" if len(load.title) > _LONG else ""
    lines = (
        f'<div class="food{size}">{escape(load.title)}</div>'
        f"<div>{escape(jar)}, canned {load.date}</div>"
        f'<div class="batch">batch {escape(batch)}</div>'
        f'<div class="by">best by {load.best_by}</div>'
    )
    for _ in range(load.on_shelf):
        yield f'<div class="label">{lines}</div>'


def _page(labels: list[str], paper: Paper) -> str:
    wide, high = paper.label
    style = _STYLE.format(size=paper.size, margin=paper.margin, columns=paper.columns, wide=wide, high=high)
    each = paper.columns * paper.rows
    sheets = [labels[at : at + each] for at in range(0, len(labels), each)]
    body = "\n".join(f'<div class="sheet">{"".join(sheet)}</div>' for sheet in sheets)
    head = '<meta charset="utf-8"><title>Labels</title><meta name="viewport" content="width=device-width">'
    return (
        f'{_OURS.decode()}<html lang="en"><head>{head}<style>{style}</style></head>\n<body>\n{body}\n</body></html>\n'
    )

"""Why folder: every chart as SVG and PNG with its data and its words beside it, and one page that shows them all.

All of it is made before anything is written, and nothing is written where a file of that name is not ours. The page is
written last.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from html import escape
from typing import NamedTuple

from stillroom import screen
from stillroom.answers.answer import Stated
from stillroom.answers.shelf import Shelf
from stillroom.answers.steam import SOURCES
from stillroom.errors import BadInput
from stillroom.sheets import output, page, why_charts
from stillroom.sheets.why import INK, Why

INDEX = "index.html"
_OURS = b"<!doctype html>\n<!-- charts by stillroom -->\n"
_WORDS = "Stillroom chart: "
"""What the words beside a chart begin with."""
_STYLE = f"""
body {{ margin: 0 auto; max-width: 40rem; padding: 1rem; color: #111; background: #fff; font: 1.05rem/1.5 sans-serif; }}
h1, h2 {{ line-height: 1.2; color: {INK}; }}
figure {{ margin: 2.5rem 0; }}
img {{ width: 100%; max-width: 32rem; height: auto; }}
.not {{ padding-left: 0.8rem; border-left: 0.2rem solid {INK}; font-size: 0.9rem; }}
.wide {{ overflow-x: auto; }}
table {{ border-collapse: collapse; font-size: 0.85rem; }}
th, td {{ padding: 0.15rem 0.5rem; border-bottom: 1px solid #ccc; text-align: right; }}
summary {{ cursor: pointer; padding: 0.4rem 0; }}
@media print {{ figure {{ break-inside: avoid; }} details {{ display: none; }} }}
"""


def write(folder: str, shelf: Shelf) -> tuple[str, ...]:
    """Write every chart and the page into a folder, which is made if it is not there.

    Parameters
    ----------
    folder : str
    shelf : Shelf

    Returns
    -------
    tuple of str
        Paths that were written, the page last.

    Raises
    ------
    BadInput
        A file there is not ours, or one cannot be written.
    BadPackage
        The data are damaged or missing.
    StillroomError
        Matplotlib is not installed.
    """
    made = why_charts.every(shelf)
    named = [*(file for chart in made for file in _files(chart)), _index(made, shelf)]
    if os.path.lexists(folder) and not os.path.isdir(folder):
        raise BadInput(f'"{screen.shown(folder, 200)}" is no folder: name one for the charts')
    for file in named:
        output.need_free(os.path.join(folder, file.name), "chart", file.ours)
    contents = [file.content() for file in named]
    try:
        os.makedirs(folder, exist_ok=True)
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or "that is no name of a folder"
        raise BadInput(f'folder "{screen.shown(folder, 200)}" cannot be made: {told}') from None
    for file, content in zip(named, contents, strict=True):
        output.write(os.path.join(folder, file.name), content, "chart", file.ours)
    return tuple(os.path.join(folder, file.name) for file in named)


class _File(NamedTuple):
    """One file: its name, what makes its content, and what tells that one of that name is ours."""

    name: str
    content: Callable[[], bytes]
    ours: output.Ours


def _files(chart: Why) -> Iterator[_File]:
    """Give the files of one chart."""
    header = ",".join(chart.columns).encode() + b"\n"
    begins = f"{_WORDS}{chart.id}\n".encode()
    yield _File(f"{chart.id}.svg", lambda: chart.svg().encode(), output.our_svg)
    yield _File(f"{chart.id}.png", chart.png, output.our_png)
    yield _File(f"{chart.id}.csv", lambda: chart.csv().encode(), lambda file: file.startswith(header))
    yield _File(f"{chart.id}.txt", lambda: words(chart).encode(), lambda file: file.startswith(begins))


def _index(charts: tuple[Why, ...], shelf: Shelf) -> _File:
    return _File(INDEX, lambda: _page(charts, shelf).encode(), lambda file: file.startswith(_OURS))


def words(chart: Why) -> str:
    """Write what is beside a chart as text: its title, sentences to read aloud, what it shows, and what it is not."""
    lines = [f"{_WORDS}{chart.id}", "", *page.wrapped(chart.title)]
    lines += page.section("To read aloud:", map(str, chart.sentences))
    lines += ["", "What the chart shows, for whoever does not see it:", *page.wrapped(chart.alt, "  ", "  ")]
    lines += page.section("What these figures are not:", map(str, chart.cautions))
    lines += ["", *page.wrapped(f"The data are in {chart.id}.csv. {_computed()}")]
    return page.text(lines)


def _computed() -> str:
    return "Computed, not printed, for an ordinary day. " + " ".join(SOURCES)


def _page(charts: Iterable[Why], shelf: Shelf) -> str:
    source = shelf.rules.cite("restart-rule")
    named = ", ".join(part for part in (source.author, source.title, source.series, source.edition) if part)
    figures = "".join(map(_figure, charts))
    return (
        f"{_OURS.decode()}"
        '<html lang="en">\n<head>\n<meta charset="utf-8">\n<meta name="viewport" content="width=device-width">\n'
        f"<title>Why: the physics behind the schedules</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        "<h1>Why: the physics behind the schedules</h1>\n"
        "<p>Each chart has an SVG and a PNG drawing, its data as CSV, and its words as text, under the same name.</p>\n"
        f"{figures}"
        f"<p>{escape(_computed())} Pages are those of {escape(named)}.</p>\n"
        f"<p><strong>Caution:</strong> {escape(str(shelf.standing))}</p>\n</body>\n</html>\n"
    )


def _figure(chart: Why) -> str:
    links = ", ".join(f'<a href="{chart.id}.{kind}">{kind.upper()}</a>' for kind in ("svg", "png", "csv", "txt"))
    return (
        f'<figure id="{chart.id}">\n<h2>{escape(chart.title)}</h2>\n'
        f'<img src="{chart.id}.svg" alt="{escape(chart.alt)}">\n<figcaption>\n'
        f"{_paragraphs(chart.sentences)}"
        f'<div class="not">\n{_paragraphs(chart.cautions)}</div>\n'
        f"<details><summary>What the chart shows, in words</summary>\n<p>{escape(chart.alt)}</p></details>\n"
        f"<details><summary>The data</summary>\n{_table(chart)}</details>\n<p>{links}</p>\n</figcaption>\n</figure>\n"
    )


def _paragraphs(said: Iterable[Stated]) -> str:
    return "".join(f"<p>{escape(str(each))}</p>\n" for each in said)


def _table(chart: Why) -> str:
    head = "".join(f'<th scope="col">{escape(name)}</th>' for name in chart.columns)
    rows = "".join(f"<tr>{''.join(f'<td>{_cell(cell)}</td>' for cell in row)}</tr>\n" for row in chart.rows)
    return f'<div class="wide"><table>\n<tr>{head}</tr>\n{rows}</table></div>\n'


def _cell(cell: object) -> str:
    return "" if cell is None else escape(str(cell))

"""Handout as text: Markdown, CSV and HTML, the same cells in each.

Their last line is a mark with a digest of all before it: a handout that somebody has changed is theirs, and is never
written over.
"""

from __future__ import annotations

import csv
import hashlib
import io
import re
from collections.abc import Iterator

from stillroom import screen
from stillroom.sheets.handout import Handout, Laid, laid, laid_together

_MARK = "stillroom handout "
_LAST_LINE = re.compile(rb'(?:<!-- |")?stillroom handout ([0-9a-f]{16})(?: -->|")?\s*\Z')


def markdown(sheet: Handout) -> bytes:
    """Write it as Markdown."""
    lines = [f"# {_plain(sheet.title)}"]
    for table in sheet.tables:
        own = laid(table)
        lines += [
            "",
            f"## {_plain(own.over)}",
            "",
            _line(own.heads),
            f"|{'---|' * len(own.heads)}",
            *map(_line, own.rows),
        ]
        lines += _listed(table.notes)
    lines += _listed(sheet.notes)
    lines += ["", _plain(sheet.caption), "", f"**{_plain(sheet.caution)}**", ""]
    return _marked("\n".join(lines) + "\n", "<!-- {} -->\n")


def _line(texts: tuple[str, ...]) -> str:
    return f"| {' | '.join(map(_plain, texts))} |"


def _listed(notes: tuple[str, ...]) -> list[str]:
    return ["", *(f"- {_plain(note)}" for note in notes)] if notes else []


def _plain(text: str) -> str:
    """Escape what Markdown or HTML would read as markup."""
    line = " ".join(text.split())
    return re.sub(r"([\\`*_\[\]|#~])", r"\\\1", line).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def comma_separated(sheet: Handout) -> bytes:
    """Write it as CSV: one row of heads, the rows of every canner, and after a blank line the notes."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    own: Laid = laid_together(sheet.tables)
    for row in (own.heads, *own.rows):
        rows.writerow([screen.cell(text) for text in row])
    out.write("\n")
    for note in _said(sheet):
        rows.writerow([screen.cell(note)])
    return _marked(out.getvalue(), "{}\n")


def _said(sheet: Handout) -> Iterator[str]:
    yield from dict.fromkeys(note for table in sheet.tables for note in table.notes)
    yield from sheet.notes
    yield sheet.caption
    yield sheet.caution


def page(sheet: Handout) -> bytes:
    """Write it as HTML, a page of its own without script and without anything from elsewhere."""
    import jinja2

    templates = jinja2.Environment(
        loader=jinja2.PackageLoader("stillroom.sheets", "templates"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    tables = [(table, laid(table)) for table in sheet.tables]
    return _marked(templates.get_template("handout.html.jinja").render(sheet=sheet, tables=tables), "<!-- {} -->\n")


def _marked(text: str, line: str) -> bytes:
    """Add the line by which a file of ours is known again, as long as nobody has changed it."""
    content = text.encode()
    return content + line.format(_MARK + _digest(content)).encode()


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:16]


def ours(file: bytes) -> bool:
    """Tell whether a file is a handout that was written here and changed by nobody since."""
    mark = _LAST_LINE.search(file)
    return mark is not None and _digest(file[: mark.start()]) == mark[1].decode()

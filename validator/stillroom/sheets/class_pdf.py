"""Class page in PDF: as wide as A4 and as high as letter, so that one file prints on either without being scaled.

Its type is that of the fonts every reader of PDF has; a letter outside of Latin-1 is refused, never left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import TYPE_CHECKING, NamedTuple, cast

from stillroom import extras
from stillroom.answers.printed_table import NOT_RECOMMENDED
from stillroom.errors import BadInput
from stillroom.sheets.class_page import OWN, Block, ClassPage, Columns, Heading, Listed, NewPage, Question, Said
from stillroom.sheets.output import CREATOR

if TYPE_CHECKING:
    from fpdf import FPDF

PAGE_MM = (210.0, 279.4)
"""Width of A4 and height of letter, mm."""
_MARGIN = 13.0
_NEVER_CHANGES = datetime(1980, 1, 1, tzinfo=UTC)
"""Date in the file, so that the same page is the same bytes."""
_MM = 25.4 / 72
"""Millimeters in a point."""
_LEAD = 1.22
"""Height of a line over the size of its type."""
_PAD = 1.4
"""Room within a cell, mm."""
_BETWEEN = 3.0
"""Room between two options of a cell that are broken into lines, mm."""
_THIN, _THICK = 0.2, 1.1
"""Widths of lines, mm."""


class Type(NamedTuple):
    """Sizes of type, points; ``label``: share of a table's width that its labels take where it has many bands."""

    title: float
    heading: float
    body: float
    table: float
    small: float
    label: float


SIZES = {
    "normal": Type(18, 14, 10.5, 11, 9, 0.24),
    "large": Type(26, 21, 15, 18, 12, 0.22),
    "large poster": Type(32, 20, 14, 16, 10, 0.3),
    "poster": Type(28, 16, 11.5, 12.5, 9, 0.3),
    "full poster": Type(20, 13, 9.5, 9.5, 8, 0.33),
}
"""Sizes of type by the size of a page."""

_POSTERS = ("large poster", "poster", "full poster")
"""Sizes of a poster, the largest first: the first of them that fits one page is taken."""


def written(page: ClassPage) -> bytes:
    """Set a page as PDF.

    Raises
    ------
    BadInput
        It has a letter that the fonts have not.
    StillroomError
        fpdf2 is not installed.
    """
    with extras.needed("classroom"):
        from fpdf import FPDF
    sizes = _POSTERS[_POSTERS.index(page.size) :] if page.size in _POSTERS else (page.size,)
    for size in sizes:
        paper = FPDF(unit="mm", format=PAGE_MM)
        _set(paper, page, SIZES[size])
        if paper.pages_count == 1:
            break
    return bytes(paper.output())


def _set(paper: FPDF, page: ClassPage, sizes: Type) -> None:
    paper.set_margin(_MARGIN)
    paper.set_auto_page_break(True, _MARGIN)
    paper.creation_date = _NEVER_CHANGES
    paper.set_creator(CREATOR)
    paper.set_title(page.mark)
    paper.set_lang("en-US")
    paper.add_page()
    setter = _Setter(paper, sizes)
    setter.text(page.title, sizes.title, "B")
    for block in page.blocks:
        setter.block(block)


def is_ours(content: bytes, mark: str) -> bool:
    """Tell whether a file is a page of this kind that we set."""
    known = all(f"({said})".encode() in content for said in (CREATOR, mark))
    return content.startswith(b"%PDF-") and known


class _Setter:
    """Sets blocks one below the other."""

    def __init__(self, paper: FPDF, sizes: Type) -> None:
        self.paper = paper
        self.type = sizes

    def block(self, block: Block) -> None:
        if isinstance(block, NewPage):
            self.paper.add_page()
        elif isinstance(block, Heading):
            self._heading(block)
        elif isinstance(block, Said):
            self.text(block.text, self.type.body, "B" if block.strong else "")
        elif isinstance(block, Listed):
            self._listed(block)
        elif isinstance(block, Columns):
            self._columns(block)
        elif isinstance(block, Question):
            self._question(block)

    def text(self, text: str, size: float, style: str = "", indent: float = 0.0) -> None:
        """Set a paragraph."""
        self._font(size, style)
        self.paper.set_x(_MARGIN + indent)
        self.paper.multi_cell(
            self._wide - indent, self._line(size), _latin(text), align="L", new_x="LMARGIN", new_y="NEXT"
        )
        self.paper.ln(0.8)

    @property
    def _wide(self) -> float:
        return PAGE_MM[0] - 2 * _MARGIN

    @staticmethod
    def _line(size: float) -> float:
        return size * _MM * _LEAD

    def _font(self, size: float, style: str = "") -> None:
        self.paper.set_font("Helvetica", style, size)

    def _lines(self, text: str, wide: float, size: float, style: str = "") -> list[str]:
        self._font(size, style)
        found = self.paper.multi_cell(wide, self._line(size), _latin(text), align="L", dry_run=True, output="LINES")
        return cast("list[str]", found)

    def _high(self, texts: Sequence[str], wide: float, size: float, style: str = "") -> float:
        return sum(len(self._lines(text, wide, size, style)) for text in texts) * self._line(size)

    def _room(self, high: float) -> None:
        """Begin a new page where something does not fit on this one, and would fit on an empty one."""
        bottom = PAGE_MM[1] - _MARGIN
        if self.paper.get_y() + high > bottom and self.paper.get_y() > _MARGIN + 1:
            self.paper.add_page()

    def _heading(self, block: Heading) -> None:
        size = self.type.heading if block.level == 2 else self.type.body
        self._room(self._line(size) + 40)
        self.paper.ln(2.5)
        self.text(block.text, size, "B")
        if block.level == 2:
            self.paper.set_line_width(0.35)
            at = self.paper.get_y() - 0.4
            self.paper.line(_MARGIN, at, _MARGIN + self._wide, at)
            self.paper.ln(1)

    def _listed(self, block: Listed) -> None:
        size, inner = self.type.body, 3.0 if block.boxed else 0.0
        wide = self._wide - 2 * inner
        texts = [f"{f'{place}.' if block.numbered else '-'} {text}" for place, text in enumerate(block.texts, 1)]
        high = self._high(texts, wide - 3, size) + self._high([block.heading] if block.heading else [], wide, size, "B")
        high += 0.8 * (len(texts) + 1) + 2 * inner
        self._room(min(high, PAGE_MM[1] - 2 * _MARGIN))
        top = self.paper.get_y()
        self.paper.ln(inner / 2)
        if block.heading:
            self.text(block.heading, size, "B", inner)
        for text in texts:
            self.text(text, size, "", inner + 2)
        if block.boxed and self.paper.get_y() > top:
            self.paper.set_line_width(_THICK * 0.8)
            self.paper.rect(_MARGIN, top, self._wide, self.paper.get_y() - top + 0.6)
            self.paper.ln(2.5)

    def _question(self, block: Question) -> None:
        size = self.type.body
        said = [f"{letter}) {text}" for letter, text in block.choices]
        self._room(
            self._high([f"{block.number}. {block.text}"], self._wide, size, "B")
            + self._high(said, self._wide - 6, size)
            + 0.8 * (len(said) + 1)
            + 3
        )
        self.paper.ln(2.5)
        self.text(f"{block.number}. {block.text}", size, "B")
        for text in said:
            self.text(text, size, "", 6)

    # tables

    def _columns(self, block: Columns) -> None:
        widths = self._widths(block)
        heads = [("",)] + [(OWN.upper(), band) if at == block.own else (band,) for at, band in enumerate(block.bands)]
        head = [self._fitted(cell, wide, "B") for cell, wide in zip(heads, widths, strict=True)]
        rows = [
            [self._fitted(cell, wide, "B") for cell, wide in zip(((label,), *cells), widths, strict=True)]
            for label, cells in block.rows
        ]
        high = [self._row_high(row, widths, block.own) for row in (head, *rows)]
        foot = self._high([block.foot], self._wide, self.type.small) + 1
        whole = self._line(self.type.body) + sum(high) + foot + 4
        self._room(whole if whole < PAGE_MM[1] - 2 * _MARGIN else high[0] + high[1] + 12)
        self.paper.ln(1.5)
        self.text(block.heading, self.type.body, "B")
        top = self._row(head, widths, high[0], block.own, bold=True)
        for row, tall in zip(rows, high[1:], strict=True):
            if self.paper.get_y() + tall > PAGE_MM[1] - _MARGIN:
                self._box(top, widths, block.own)
                self.paper.add_page()
                top = self._row(head, widths, high[0], block.own, bold=True)
            self._row(row, widths, tall, block.own)
        self._box(top, widths, block.own)
        self.paper.ln(1)
        if block.foot:
            self.text(block.foot, self.type.small)

    def _widths(self, block: Columns) -> list[float]:
        first = self.type.label if len(block.bands) > 2 else max(self.type.label, 0.3)
        each = (1 - first) / len(block.bands)
        return [self._wide * first] + [self._wide * each] * len(block.bands)

    def _fitted(self, cell: Sequence[str], wide: float, style: str) -> list[str]:
        """Break what is wider than its cell where a person would: no number and no unit is ever torn apart."""
        self._font(self.type.table, style)
        fitted: list[str] = []
        for text in cell:
            broken = text
            if self.paper.get_string_width(_latin(text)) > wide - 2 * _PAD - 2 * self.paper.c_margin:
                broken = text.replace(", ", ",\n") if text[:1].isdigit() and " min, " in text else text
                broken = broken.replace("-", "-\n") if broken.endswith(" ft") else broken
            fitted.append(broken)
        return fitted

    def _row_high(self, row: Sequence[Sequence[str]], widths: list[float], own: int | None) -> float:
        size = self.type.table
        return 2 * _PAD + max(
            self._high([text for text in cell if text], wide - 2 * _PAD, size, "B" if place in (-1, own) else "")
            + _gap(cell) * (len(cell) - 1)
            for place, (cell, wide) in enumerate(zip(row, widths, strict=True), -1)
        )

    def _row(
        self, row: Sequence[Sequence[str]], widths: list[float], high: float, own: int | None, *, bold: bool = False
    ) -> float:
        """Set a row and give the height at which it begins."""
        size, top, left = self.type.table, self.paper.get_y(), _MARGIN
        self.paper.set_auto_page_break(False)
        self.paper.set_line_width(_THIN)
        for place, (cell, wide) in enumerate(zip(row, widths, strict=True)):
            self.paper.rect(left, top, wide, high)
            self.paper.set_xy(left, top + _PAD)
            for number, text in enumerate(cell):
                self.paper.set_y(self.paper.get_y() + (_gap(cell) if number else 0))
                strong = bold or not place or place - 1 == own
                self._font(size, "I" if text.startswith(NOT_RECOMMENDED) else "B" if strong else "")
                self.paper.set_x(left + _PAD)
                self.paper.multi_cell(
                    wide - 2 * _PAD, self._line(size), _latin(text), align="L", new_x="LEFT", new_y="NEXT"
                )
            left += wide
        self.paper.set_xy(_MARGIN, top + high)
        self.paper.set_auto_page_break(True, _MARGIN)
        return top

    def _box(self, top: float, widths: list[float], own: int | None) -> None:
        if own is not None:
            left = _MARGIN + sum(widths[: own + 1])
            self.paper.set_line_width(_THICK)
            self.paper.rect(left, top, widths[own + 1], self.paper.get_y() - top)
            self.paper.set_line_width(_THIN)


def _gap(cell: Sequence[str]) -> float:
    """Room between the equal options of a cell, mm: wide where one takes several lines."""
    return _BETWEEN if any("\n" in text for text in cell) else 0.0


def _latin(text: str) -> str:
    """Hand a text on, if the fonts have each letter of it.

    Raises
    ------
    BadInput
        They have not.
    """
    try:
        text.encode("latin-1")
    except UnicodeEncodeError as error:
        letter = text[error.start]
        raise BadInput(
            f'the letter "{letter}" (U+{ord(letter):04X}) cannot be set in PDF here: write .html and print it'
        ) from None
    return text

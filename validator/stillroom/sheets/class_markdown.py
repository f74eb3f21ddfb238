"""Class page in Markdown."""

from __future__ import annotations

from collections.abc import Iterator

from stillroom.answers.printed_table import NOT_RECOMMENDED
from stillroom.sheets.class_page import OWN, Block, ClassPage, Columns, Heading, Listed, NewPage, Question, Said
from stillroom.sheets.page import markdown


def written(page: ClassPage) -> str:
    """Set a page as Markdown; it has no size of type there."""
    lines = [f"# {markdown(page.title)}", "", f"{page.mark}."]
    for block in page.blocks:
        lines += ["", *_set(block)]
    return "\n".join(lines) + "\n"


def is_ours(beginning: bytes, mark: str) -> bool:
    """Tell whether a file is a page of this kind that we set."""
    lines = beginning.split(b"\n", 3)
    return lines[0].startswith(b"# ") and lines[1:3] == [b"", f"{mark}.".encode()]


def _set(block: Block) -> Iterator[str]:
    if isinstance(block, Heading):
        yield f"{'#' * block.level} {markdown(block.text)}"
    elif isinstance(block, Said):
        yield f"**{markdown(block.text)}**" if block.strong else markdown(block.text)
    elif isinstance(block, Listed):
        yield from _listed(block)
    elif isinstance(block, Columns):
        yield from _columns(block)
    elif isinstance(block, Question):
        yield f"**{block.number}\\. {markdown(block.text)}**"
        yield ""
        yield from (f"- {letter}) {markdown(said)}" for letter, said in block.choices)
    elif isinstance(block, NewPage):
        yield "---"


def _listed(block: Listed) -> Iterator[str]:
    before = "> " if block.boxed else ""
    if block.heading:
        yield f"{before}**{markdown(block.heading)}**"
        yield before.rstrip()
    for place, text in enumerate(block.texts, 1):
        yield f"{before}{f'{place}.' if block.numbered else '-'} {markdown(text)}"


def _columns(block: Columns) -> Iterator[str]:
    yield f"### {markdown(block.heading)}"
    yield ""
    heads = [_strong(f"{band} ({OWN})") if at == block.own else markdown(band) for at, band in enumerate(block.bands)]
    yield f"| | {' | '.join(heads)} |"
    yield f"|---|{'---|' * len(heads)}"
    for label, cells in block.rows:
        said = ["<br>".join(map(_own if at == block.own else markdown, cell)) for at, cell in enumerate(cells)]
        yield f"| {markdown(label)} | {' | '.join(said)} |"
    if block.foot:
        yield ""
        yield markdown(block.foot)


def _own(said: str) -> str:
    return markdown(said) if said.startswith(NOT_RECOMMENDED) else _strong(said)


def _strong(text: str) -> str:
    return f"**{markdown(text)}**"

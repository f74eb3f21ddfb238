"""Audited: what an audit found; plain values, so that every sheet and document is written from them alone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from stillroom.answers.answer import Citation, Stated, written
from stillroom.foreign.grid import Foreign

CellVerdict = Literal["same", "stronger", "weaker", "untested", "withheld", "missing", "unread", "text"]
"""Class of one cell of a foreign table."""
WORST_FIRST = ("withheld", "untested", "weaker", "missing", "unread", "stronger")
"""Classes that make a finding, in the order in which they are told."""
NOT_ACCEPTED = WORST_FIRST[:-1]
"""Classes that must be changed or read before a handout is given to anybody."""


class Published(NamedTuple):
    """One process, amount or headspace as it is published.

    Attributes
    ----------
    pack, jar, canner : str
        Ids; blank where it is the same for all.
    altitude_from_ft, altitude_to_ft : int or None
        The published band in feet, from its first to its last whole foot; None where it has no end, or the value holds
        at any height.
    minutes, pressure_psi : int or None
        None where the cell states something else.
    text : str
        The value in words for people, like ``90 min``, ``40`` or ``2 tablespoons of bottled lemon juice``.
    page : Citation
        Publication and printed page.
    """

    pack: str
    jar: str
    canner: str
    altitude_from_ft: int | None
    altitude_to_ft: int | None
    minutes: int | None
    pressure_psi: int | None
    text: str
    page: Citation


class AuditFinding(NamedTuple):
    """What is wrong with one row for one cause; or, where it is stronger, what differs and is safe.

    Attributes
    ----------
    verdict : str
        One of :data:`WORST_FIRST`.
    table : str
        Name of the sheet or table; blank where there is one.
    row : int
        Line of the text file, or row of the sheet, as a person counts it.
    column : str
        Heads of the columns, as they stand, a comma between; ``column 3`` where a column has none.
    cell : str
        Text of the first cell that it is about, as it stands.
    label : str
        What the row names, as it stands: its own label, or that of its section; blank where it names nothing.
    food, form, pack, jar, canner : str
        Ids of what the cell is about; blank where none is known, or where several are.
    altitude_from_ft, altitude_to_ft : int or None
        The band that the handout states, in feet; None where it states none, or no end.
    stated : str
        What the handout says, in few words: ``35 min``, ``11 psi``, blank where the cell is empty.
    published : tuple of Published
        What the publication says in place of it, the deciding value first; empty where it has nothing.
    page : str or None
        Page of the deciding value as it is cited, like ``page 4-16``; None where nothing is published.
    why : str
        One sentence for people, without the verdict and without the page.
    looks_like : str or None
        What the slip looks like, where it looks like one.
    instead : str or None
        What the publication says to do in place of what is withheld.
    history : Stated or None
        What an older publication printed, where the value is one of its.
    cells : tuple of tuple
        Each cell that it is about: number of the grid, row and column, as places from zero.
    """

    verdict: str
    table: str
    row: int
    column: str
    cell: str
    label: str
    food: str
    form: str
    pack: str
    jar: str
    canner: str
    altitude_from_ft: int | None
    altitude_to_ft: int | None
    stated: str
    published: tuple[Published, ...]
    page: str | None
    why: str
    looks_like: str | None
    instead: str | None
    history: Stated | None
    cells: tuple[tuple[int, int, int], ...]


class AuditCell(NamedTuple):
    """One cell of the handout and its class.

    Attributes
    ----------
    grid, row, column : int
        Place, from zero; a merged cell stands once, at its upper left corner.
    line : int
        Line of the file or row of the sheet, from one.
    text : str
        As it stands.
    verdict : str
        A :data:`CellVerdict`.
    published : str
        What is published in its place, short, for the cell itself, like ``40`` or ``25 / 11 psi``; blank where nothing
        is, or where the cell is text.
    corrected : str or None
        What the cell must say, in its own way of writing (``40 min`` where it says ``35 min``); None where the cell
        needs no change, or where no value can stand in it.
    struck : bool
        Whether its whole row is to be taken out.
    """

    grid: int
    row: int
    column: int
    line: int
    text: str
    verdict: str
    published: str
    corrected: str | None
    struck: bool


class ReadYourself(NamedTuple):
    """A title, note or footnote that no rule can judge.

    Attributes
    ----------
    line : int
        Line of the file or row of the sheet.
    text : str
        As it stands.
    warns : Stated or None
        What is withheld that its words name, with the reason and page.
    """

    line: int
    text: str
    warns: Stated | None


class Audit(NamedTuple):
    """An audit of one handout. Prints itself as text.

    Attributes
    ----------
    file, sha256 : str
        Name of the file, and the hash of its bytes.
    data_version : str
        Version of the data it was held against.
    source : Citation
        The publication, without a page.
    reading : tuple of str
        How the tables were read, a line each: which column is what.
    assumed : tuple of str
        What was taken without being said (a unit that no head names), a line each.
    processes : int
        Times, pressures, acids and headspaces that were judged.
    counts : mapping
        Cells of each class of :data:`CellVerdict`, all eight; they add up to the number of cells.
    rows, rows_wrong : int
        Rows of the tables that state something, and those of them with a finding that is not ``stronger``.
    findings : tuple of AuditFinding
        Worst first, then in the order of the handout.
    cells : tuple of AuditCell
        Every cell, in the order of the handout.
    read_yourself : tuple of ReadYourself
        Notes and titles.
    not_here : tuple of str
        With ``missing``: what the publication has and the handout lacks, a line for each food.
    altitude_ft : float or None
        With ``at``: the height in feet for which alone it was judged.
    left_out : tuple of str
        With ``at``: heads of the columns that do not hold there.
    foreign : Foreign or None
        The handout as it was read.
    path : str
        Where the handout lies; blank for a frame or a line.
    columns : str
        How the columns were read, as the YAML file that ``columns`` takes.
    """

    file: str
    sha256: str
    data_version: str
    source: Citation
    reading: tuple[str, ...]
    assumed: tuple[str, ...]
    processes: int
    counts: Mapping[str, int]
    rows: int
    rows_wrong: int
    findings: tuple[AuditFinding, ...]
    cells: tuple[AuditCell, ...]
    read_yourself: tuple[ReadYourself, ...] = ()
    not_here: tuple[str, ...] = ()
    altitude_ft: float | None = None
    left_out: tuple[str, ...] = ()
    foreign: Foreign | None = None
    path: str = ""
    columns: str = ""

    @property
    def ok(self) -> bool:
        """Whether something was judged, and nothing has to be changed: what is stronger than published is right."""
        return self.processes > 0 and not any(self.counts[verdict] for verdict in NOT_ACCEPTED)

    def to_dict(self) -> dict[str, Any]:
        """Lay the audit out as plain values, in the shape of schema/audit.json."""
        return dict(written("audit_document", self))

    def to_frame(self) -> Any:
        """Lay the findings out as a pandas DataFrame, one row each.

        Returns
        -------
        pandas.DataFrame
            Columns as the keys of a finding in schema/audit.json; what is published as text.

        Raises
        ------
        ModuleNotFoundError
            pandas is not installed.
        """
        import pandas as pd

        kept = [name for name in AuditFinding._fields if name not in ("cells", "history")]
        rows = [
            {**{name: getattr(one, name) for name in kept}, "published": "; ".join(p.text for p in one.published)}
            for one in self.findings
        ]
        return pd.DataFrame(rows, columns=kept)

    def report(self, path: str) -> None:
        """Write the report: an HTML page, Markdown, CSV, or the sheet itself marked, by the end of the name.

        Parameters
        ----------
        path : str
            File to write, ``.html``, ``.md``, ``.csv`` or ``.xlsx``; another's is never replaced.

        Raises
        ------
        BadInput
            Another end, another's file, or it cannot be written.
        """
        written("audit_report", (self, path))

    def corrected(self, path: str) -> None:
        """Write the handout with published values in its wrong cells, and what is withheld struck out.

        Parameters
        ----------
        path : str
            File to write, ``.csv`` or ``.xlsx``; never the handout itself.

        Raises
        ------
        BadInput
            Another end, another's file, or it cannot be written.
        """
        written("audit_corrected", (self, path))

    def __str__(self) -> str:
        return str(written("audit_text", self))

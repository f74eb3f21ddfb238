"""Finding: what a check found, where, and how to mend it; and the report of one run over a package."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from stillroom.screen import printable

MOST = 1000
"""Most findings that one check lists; one more line says that there are more."""
LONGEST_SHOWN = 60
"""Longest part of a cell that a message shows, characters."""


def shown(text: str, most: int = LONGEST_SHOWN) -> str:
    """Make any text safe for one line: control characters escaped, long text cut."""
    return printable(text, most)


class Finding(NamedTuple):
    """One thing that is wrong.

    Attributes
    ----------
    check : str
        Name of the check.
    file : str
        File, relative to the package.
    line : int or None
        Line in that file, from 1; None where the whole file is meant.
    column : str
        Name of the column; blank where the whole row or file is meant.
    value : str
        The cell as it stands.
    wrong : str
        What is wrong, as the end of a sentence that begins with the column and its value.
    published : str
        What the publication says, with its page; blank where it says nothing on this.
    mend : str
        How to mend it.
    """

    check: str
    file: str
    line: int | None
    column: str
    value: str
    wrong: str
    published: str = ""
    mend: str = ""

    @property
    def message(self) -> str:
        """What is wrong, what the publication says and how to mend it, in one line."""
        subject = f'{self.column} "{shown(self.value)}" ' if self.column else ""
        return shown("; ".join(part for part in (subject + self.wrong, self.published, self.mend) if part), 1000)

    def __str__(self) -> str:
        """Give the line of the report: ``file:line: check: message``."""
        at = shown(self.file, 200) if self.line is None else f"{shown(self.file, 200)}:{self.line}"
        return f"{at}: {self.check}: {self.message}"


class Report(NamedTuple):
    """What all checks say about one package.

    Attributes
    ----------
    findings : tuple of Finding
        In the order of files, lines and checks.
    ran : tuple of str
        Names of the checks that ran to their end.
    left_out : tuple of str
        One line for each check that could not run because a file it needs cannot be read (which is a finding).
    broken : tuple of str
        One line for each check that failed by a fault of its own.
    announced : tuple of str
        What an edit changes for people, in a few lines, where two versions were compared; no findings by themselves.
    """

    findings: tuple[Finding, ...]
    ran: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    broken: tuple[str, ...] = ()
    announced: tuple[str, ...] = ()

    @property
    def ok(self) -> bool:
        """Whether every check ran and found nothing."""
        return not (self.findings or self.left_out or self.broken)

    def joined(self, findings: Iterable[Finding], check: str, announced: tuple[str, ...] = ()) -> Report:
        """Add the findings of one more check, and what it announces."""
        return self._replace(
            findings=in_order([*self.findings, *findings]), ran=(*self.ran, check), announced=announced
        )


def in_order(findings: list[Finding]) -> tuple[Finding, ...]:
    """Sort by file, line, check and column; the same finding is said once."""
    return tuple(sorted(dict.fromkeys(findings), key=lambda f: (f.file, f.line or 0, f.check, f.column, f.wrong)))

"""Checks: one module each, found by its name. A module's docstring is the page of its check.

A check is a function ``check(package)`` that yields findings about a
:class:`~stillroom.findings.opened.CheckedPackage`; the first line of the docstring says what it protects.
"""

from __future__ import annotations

import ast
import importlib
import pkgutil
from collections.abc import Callable, Iterable
from itertools import islice
from types import ModuleType
from typing import TYPE_CHECKING, NamedTuple

from stillroom.findings.finding import MOST, Finding, Report, in_order

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage


class Check(NamedTuple):
    """A check: its name, one sentence, its page, and the function."""

    name: str
    summary: str
    page: str
    run: Callable[[CheckedPackage], Iterable[Finding]]


def every() -> tuple[Check, ...]:
    """Find all checks, in the order of their names."""
    names = sorted(module.name for module in pkgutil.iter_modules(__path__))
    modules = [(name, importlib.import_module(f"{__name__}.{name}")) for name in names]
    return tuple(_described(name, module) for name, module in modules)


def documented() -> tuple[tuple[str, str, str], ...]:
    """Give the name, the sentence and the page of every check, without loading what it works with."""
    names = sorted(module.name for module in pkgutil.iter_modules(__path__))
    return tuple((name, *_told(_docstring(name))) for name in names)


def _docstring(name: str) -> str | None:
    code = pkgutil.get_data(__name__, f"{name}.py") or b""
    return ast.get_docstring(ast.parse(code), clean=False)


def _described(name: str, module: ModuleType) -> Check:
    return Check(name, *_told(module.__doc__), module.check)


def _told(docstring: str | None) -> tuple[str, str]:
    """Cut a docstring into the sentence of a check and its page."""
    first, _, page = (docstring or "").partition("\n")
    return first.partition(": ")[2], page.strip()


def report(package: CheckedPackage, checks: Iterable[Check] | None = None) -> Report:
    """Run the checks over a package, all of them, whatever each finds.

    Parameters
    ----------
    package : CheckedPackage
        Its files are read already.
    checks : iterable of Check, optional
        All by default.
    """
    from stillroom.findings.table import Unreadable

    findings: list[Finding] = []
    ran: list[str] = []
    left_out: list[str] = []
    broken: list[str] = []
    for one in every() if checks is None else checks:
        try:
            found = list(islice(one.run(package), MOST + 1))
        except Unreadable as need:
            left_out.append(f"check {one.name} was left out: {need}")
        except Exception as error:
            said = " ".join(str(error).split())[:200]
            broken.append(f"check {one.name} broke, a fault of the check: {type(error).__name__}: {said}")
        else:
            ran.append(one.name)
            if len(found) > MOST:
                more = f"over {MOST:,} findings; the rest are not listed"
                found[MOST:] = [Finding(one.name, found[MOST - 1].file, None, "", "", more)]
            findings += found
    return Report(in_order(findings), tuple(ran), tuple(left_out), tuple(broken))

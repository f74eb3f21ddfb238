"""Structure: files, columns, types, keys and references are as datapackage.json and its schemas declare them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stillroom.checked import CheckedPackage
    from stillroom.finding import Finding


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield what is wrong with the structure."""
    yield from (problem for problem in package.problems if problem.check == "structure")

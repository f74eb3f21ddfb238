"""Citation of a page of one of the sources."""

from __future__ import annotations

from stillroom.answer import Citation
from stillroom.errors import BadPackage
from stillroom.package import Package


def cite(package: Package, page: str, source: str) -> Citation:
    """Cite a page of a source.

    Parameters
    ----------
    package : Package
    page : str
        Printed page; ``web`` where the source has none.
    source : str
        Source id.

    Raises
    ------
    BadPackage
        There is no such source.
    """
    entry = next((entry for entry in package.sources if entry.id == source), None)
    if entry is None:
        raise BadPackage(f'shared/sources.csv has no source "{source}"')
    return Citation(entry.id, entry.author, entry.title, entry.series, entry.edition, page, entry.short)

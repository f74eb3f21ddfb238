"""Printed pages: a page as what stands before its number, and the number: ``4-`` and 8, or ``p. `` and 31."""

from __future__ import annotations

import re

UNPAGED = "web"
"""Page of a source that has no printed pages, and so no guides."""
_FRONT = re.compile(r"[ivx]+")
_PAGE = re.compile(r"((?:[A-Z]{1,2}|[1-9][0-9]?)-|[A-Za-z]{1,2}\. )([1-9][0-9]{0,3})")


def split(page: str) -> tuple[str, int]:
    """Split a page.

    Parameters
    ----------
    page : str
        Printed page.

    Returns
    -------
    tuple of str and int
        What stands before its number (``4-`` of 4-8, ``p. `` of p. 31), and the number; 0 where the page has none.
    """
    found = _PAGE.fullmatch(page)
    return (found[1], int(found[2])) if found else (page, 0)


def front(page: str) -> bool:
    """Whether a page is front matter, before the first guide."""
    return _FRONT.fullmatch(page) is not None

"""Dates: from what a person writes to a day."""

from __future__ import annotations

import datetime
import re

from stillroom.errors import BadInput

_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def day(what: str, said: object) -> datetime.date:
    """Read a day.

    Parameters
    ----------
    what : str
        What day it is, for the message.
    said : str, date or datetime
        Like ``"2026-06-01"``; of a moment, the day on its own clock counts.

    Raises
    ------
    BadInput
        No date.
    """
    if isinstance(said, datetime.datetime):
        return said.date()
    if isinstance(said, datetime.date):
        return said
    written = said.strip() if isinstance(said, str) else ""
    try:
        if not _ISO.fullmatch(written):
            raise ValueError
        return datetime.date.fromisoformat(written)
    except ValueError:
        raise BadInput(f'{what} "{str(said)[:20]}" is not a date: write it like "2026-06-01"') from None


def year(what: str, said: object) -> int:
    """Read a year of four digits.

    Raises
    ------
    BadInput
        No year.
    """
    written = str(said).strip()
    if not re.fullmatch("[0-9]{4}", written):
        raise BadInput(f'{what} "{written[:20]}" is no year: write it like 2026')
    return int(written)

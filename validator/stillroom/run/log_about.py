"""What the record tells about its log: names that a logger gave, the day, the air outside, events it does not hold."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction


@dataclass(frozen=True)
class AboutLog:
    """What is known of a log beside the log itself.

    Attributes
    ----------
    shown : str
        Name of the record for messages.
    columns : mapping of str to str
        Headings of a logger by the columns they stand for.
    events : tuple of (str, str)
        Events that the log does not hold, each with its time as written.
    day : date or None
        Day on which times without a date begin.
    air_psi : Fraction or None
        Pressure of the air outside as it was measured, psi; for a log of absolute pressure.
    altitude_ft : float or None
        Feet above sea level.
    """

    shown: str = "the record"
    columns: Mapping[str, str] = field(default_factory=dict)
    events: tuple[tuple[str, str], ...] = ()
    day: date | None = None
    air_psi: Fraction | None = None
    altitude_ft: float | None = None

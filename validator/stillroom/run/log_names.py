"""Log names: what the columns, units and events of a log are called, and how people and loggers write them."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

EVENTS = (
    "vent-start",
    "weight-on",
    "rocking",
    "not-rocking",
    "heat-off",
    "lock-dropped",
    "boil",
    "boil-stopped",
    "steam-full",
    "steam-stopped",
    "restart",
)
"""What can happen to a canner."""
STOPS = frozenset(("not-rocking", "boil-stopped", "steam-stopped", "restart"))
"""Events that take something away: one of them without a time is never passed over."""
RESTART: Final = "restart"

TIME, MINUTE, SECOND = "time", "minute", "second"
COUNTED = (MINUTE, SECOND)
TIMES = (TIME, *COUNTED)
EVENT, NOTE = "event", "note"


class Measured(NamedTuple):
    """What a column of readings holds.

    Attributes
    ----------
    kind : str
        ``pressure``, ``steam`` or ``water``.
    unit : str
        ``psi``, ``kPa``, ``bar``, ``degF`` or ``degC``.
    absolute : bool
        Whether the pressure of the air outside is in it.
    """

    kind: str
    unit: str
    absolute: bool = False


READINGS = {
    "gauge_psi": Measured("pressure", "psi"),
    "gauge_kpa": Measured("pressure", "kPa"),
    "gauge_bar": Measured("pressure", "bar"),
    "absolute_psi": Measured("pressure", "psi", absolute=True),
    "absolute_kpa": Measured("pressure", "kPa", absolute=True),
    "absolute_bar": Measured("pressure", "bar", absolute=True),
    "steam_F": Measured("steam", "degF"),
    "steam_C": Measured("steam", "degC"),
    "water_F": Measured("water", "degF"),
    "water_C": Measured("water", "degC"),
}
"""Columns of readings."""

SAID = {
    "rocking": ("rocking", "not-rocking"),
    "boiling": ("boil", "boil-stopped"),
    "steaming": ("steam-full", "steam-stopped"),
}
"""Columns that are answered with yes or no, as on a printed sheet, and the event that each answer tells."""
YES = frozenset(("yes", "y", "x", "ok", "true", "1", "\u2713", "\u2714"))
NO = frozenset(("no", "n", "false", "0", "stopped"))

NAMES = (*TIMES, *READINGS, *SAID, EVENT, NOTE)
"""Every column that is read."""
_HEADINGS = {
    **{name.lower().replace("_", "-"): name for name in NAMES},
    "min": MINUTE,
    "minutes": MINUTE,
    "sec": SECOND,
    "seconds": SECOND,
    "dial-psi": "gauge_psi",
    "weight-rocking": "rocking",
    "full-steam": "steaming",
    "events": EVENT,
    "notes": NOTE,
}
"""Headings, folded; those of a printed run sheet among them."""

UNITS = {
    "psi": ("psi", "psig", "lbs", "lb", "pounds"),
    "kPa": ("kpa", "kpag"),
    "bar": ("bar", "barg"),
    "degF": ("degf", "\u00b0f", "f", "fahrenheit"),
    "degC": ("degc", "\u00b0c", "c", "celsius"),
    MINUTE: ("minutes", "minute", "mins", "min"),
    SECOND: ("seconds", "second", "secs", "sec", "s"),
}
"""How a unit is written behind a number, under a heading or in it, in small letters."""
_ABSOLUTE = {"psi": ("psia",), "kPa": ("kpaa",), "bar": ("bara",)}
"""The same, where the air outside is counted in."""
_FAMILIES: tuple[tuple[str, ...], ...] = (
    ("psi", "kPa", "bar"),
    ("degF", "degC"),
    COUNTED,
)
"""Units that stand for the same thing."""
_OTHERS = ("mbar", "hpa", "pa", "mpa", "atm", "torr", "mmhg", "inhg")
"""Units of pressure that no column has."""
_TOKEN = re.compile(r"\u00b0?[a-z]+")
_BETWEEN = re.compile(r"[\s_\-,?()\[\]/]+")


def folded(written: str) -> str:
    """Fold a heading or an event: ``Vent start`` and ``vent_start`` are ``vent-start``."""
    return _BETWEEN.sub("-", written.casefold()).strip("-.:")


def heading(written: str) -> str | None:
    """Tell which column a heading names; None where it names none."""
    return _HEADINGS.get(folded(written))


def kind(name: str) -> str:
    """Tell what a column is one of: of one kind a log has one column only, but a time beside its minutes."""
    measured = READINGS.get(name)
    if measured is not None:
        return measured.kind
    return "count" if name in COUNTED else name


def units_of(name: str) -> tuple[str, ...]:
    """Give the units that may be written in a column, in small letters, the longest first."""
    unit = READINGS[name].unit if name in READINGS else name
    absolute = _ABSOLUTE.get(unit, ()) if name in READINGS and READINGS[name].absolute else ()
    return tuple(sorted((*UNITS.get(unit, ()), *absolute), key=len, reverse=True))


def denied_by(name: str, written: str) -> str | None:
    """Give the unit in some words that is another than that of a column; None where nothing is said against it.

    Parameters
    ----------
    name : str
        A column of readings or counted times.
    written : str
        Like ``P (kPa)``. Words that are no unit say nothing.
    """
    words: list[str] = _TOKEN.findall(written.casefold().replace("deg ", "deg"))
    own = units_of(name)
    measured = READINGS.get(name)
    if measured is not None and measured.kind == "pressure" and not measured.absolute:
        absolute = ("abs", "absolute", *(unit for units in _ABSOLUTE.values() for unit in units))
        denied = [word for word in words if word in absolute]
        if denied:
            return str(denied[0])
    if any(word in own for word in words):
        return None
    return next((word for word in words if word in _of_its_family(name)), None)


def _of_its_family(name: str) -> frozenset[str]:
    unit = READINGS[name].unit if name in READINGS else name
    family = next(units for units in _FAMILIES if unit in units)
    others = _OTHERS if family is _FAMILIES[0] else ()
    return frozenset((*others, *(word for one in family for word in (*UNITS[one], *_ABSOLUTE.get(one, ())))))


def is_unit(name: str, written: str) -> bool:
    """Tell whether a cell holds the unit of its column and nothing else, like ``[kPa]``."""
    plain = _BETWEEN.sub("", written.casefold())
    return plain in units_of(name) or (name == TIME and plain.replace(":", "") in ("hhmm", "hmm", "hhmmss", "hmmss"))

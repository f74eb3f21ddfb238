"""Steam: how hot saturated, air-free steam is at a gauge pressure and an altitude. For understanding; no schedule.

Steam and air are those of :mod:`stillroom.answers.saturation`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from stillroom import screen
from stillroom.answers import altitude as heights
from stillroom.answers import saturation, wording
from stillroom.answers.answer import Stated, written
from stillroom.answers.pressure import in_psi
from stillroom.answers.rulebook import Rulebook
from stillroom.errors import BadInput

LOWEST_PSI, HIGHEST_PSI = -15, 30
"""Gauge pressures that are answered, psi: those a log of a canner may hold (the project's own, no source)."""
TABLE_PSI = (0, *range(5, 16))
"""Gauge pressures of the table, psi: no pressure, and those that home canners work at."""
SOURCES = (
    "Steam: IAPWS R7-97(2012), Industrial Formulation 1997, region 4 (saturation).",
    "Air: U.S. Standard Atmosphere, 1976, geometric altitude.",
)
"""What the figures are computed by."""
NAMED_F = (240.0, 250.0)
"""Temperatures that the result names a pressure for, degF: those of the rule ``low-acid-temperature``."""
NO_SCHEDULE = Stated(
    "no-schedule",
    "This is for understanding and is no schedule: take minutes and pressure from the publication, as "
    "stillroom find gives them, never from a temperature.",
    None,
    None,
)
"""What is said beside every temperature of steam."""


class SteamAt(NamedTuple):
    """Steam at one pressure.

    Attributes
    ----------
    gauge_psi : float
        True pressure above the air outside, psi.
    steam_F : float
        Temperature of saturated steam without air, degrees Fahrenheit.
    """

    gauge_psi: float
    steam_F: float  # noqa: N815  (units stand in names)


class Steam(NamedTuple):
    """What a steam table says at one altitude. Prints itself as text.

    Attributes
    ----------
    altitude_ft : float
        Feet above sea level; negative below it.
    outside_psi : float
        Pressure of the air outside on an ordinary day, psi, absolute.
    boiling_F : float
        Temperature of boiling water, degrees Fahrenheit.
    points : tuple of SteamAt
        The pressure that was asked for; else 0 psi, and each whole psi from 5 to 15.
    asked : bool
        Whether a pressure was asked for.
    gauge_psi_at_240_F, gauge_psi_at_250_F : float
        Gauge pressures at which steam is 240 and 250 degF there, psi. No recommendation: schedules have what is tested.
    cautions : tuple of Stated
        What the figures are not, and why, with the page of the publication.
    sources : tuple of str
        What the figures are computed by.
    """

    altitude_ft: float
    outside_psi: float
    boiling_F: float  # noqa: N815
    points: tuple[SteamAt, ...]
    asked: bool
    gauge_psi_at_240_F: float  # noqa: N815
    gauge_psi_at_250_F: float  # noqa: N815
    cautions: tuple[Stated, ...]
    sources: tuple[str, ...]

    def to_dict(self) -> dict[str, Any]:
        """Lay it out as plain values, in the shape of schema/steam.json."""
        return dict(written("steam_document", self))

    def __str__(self) -> str:
        return str(written("steam_text", self))


def steam(altitude: Any, psi: Any, rules: Rulebook) -> Steam:
    """Look up steam; see :func:`stillroom.steam`."""
    feet = heights.in_feet(altitude)
    outside = saturation.outside_psi(feet)
    asked = TABLE_PSI if psi is None else (_gauge_psi(psi, feet, outside),)
    points = tuple(SteamAt(float(gauge), saturation.steam_F(gauge, feet)) for gauge in asked)
    low, high = (saturation.gauge_psi(degrees, feet) for degrees in NAMED_F)
    highest = max(high, max(point.gauge_psi for point in points))
    return Steam(
        altitude_ft=feet,
        outside_psi=outside,
        boiling_F=saturation.steam_F(0.0, feet),
        points=points,
        asked=psi is not None,
        gauge_psi_at_240_F=low,
        gauge_psi_at_250_F=high,
        cautions=tuple(_cautions(rules, highest)),
        sources=SOURCES,
    )


def _gauge_psi(said: Any, feet: float, outside: float) -> float:
    """Read the pressure that is asked for, psi above the air outside."""
    gauge = float(in_psi(said, "psi", bar=True))
    shown = screen.shown(said)
    if not LOWEST_PSI <= gauge <= HIGHEST_PSI:
        raise BadInput(
            f'psi "{shown}" is outside any home canner ({LOWEST_PSI} to {HIGHEST_PSI} psi): '
            "check the figure and its unit"
        )
    if gauge + outside < saturation.LEAST_PSI:
        raise BadInput(
            f'psi "{shown}" is less than no pressure at all: the air outside presses with {outside:.1f} psi at '
            f"{wording.height(feet)}"
        )
    return gauge


def without_air(rules: Rulebook) -> Stated:
    """Say that the temperatures are those of steam without air, and that venting drives it out."""
    return rules.worded(
        "vent-time",
        "These are temperatures of steam without air. Air that stays in a canner takes its share of the pressure, and "
        "the steam is then cooler than the gauge tells: that is why every pressure canner is first vented "
        f"{rules.whole('vent-time')} minutes.",
    )


def _cautions(rules: Rulebook, highest_psi: float) -> Iterator[Stated]:
    yield without_air(rules)
    told = rules.rule("sea-level-pressure-for-240F")
    yield rules.worded(
        told.id,
        f"For {NAMED_F[0]:g} degF at sea level the publication gives {told.value} psi, a little more than "
        "steam tables do.",
    )
    limit = rules.rule("pressure-limit")
    if highest_psi > rules.figure(limit.id):
        told_limit = f"No home canner is to be run above {limit.value} psi, whatever a table of steam says."
        yield rules.worded(limit.id, told_limit)
    yield NO_SCHEDULE

"""Why boiling water is too cool for low-acid food: how much slower spores die in it than in steam under pressure.

From the definition of the lethal rate alone (:mod:`stillroom.run.lethality`): physics of a temperature, no schedule. It
is told in times as slow and never in minutes, which somebody might boil food for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from stillroom.answers import saturation, steam, wording
from stillroom.answers.answer import Stated
from stillroom.answers.shelf import Shelf
from stillroom.run import lethality
from stillroom.sheets import why
from stillroom.sheets.why import Why

if TYPE_CHECKING:
    from matplotlib.figure import Figure

NAME = "boiling-water"
ALTITUDES_FT = (0, 5_000, 10_000)
"""Where water is boiled, feet."""
COLUMNS = ("where", "altitude_ft", "temperature_F", "temperature_C", "lethal_rate", "times_as_slow_as_240_F")
_FROM_F, _TO_F = 190, 252
_RATE_DIGITS, _TIMES_DIGITS = 7, 2


class Place(NamedTuple):
    """One temperature: where it is, its altitude, feet (None: wherever steam has it), degF."""

    where: str
    altitude_ft: int | None
    degrees_F: float  # noqa: N815  (units stand in names)

    @property
    def rate(self) -> float:
        """Minutes at the reference temperature that one minute here is worth."""
        return _rate(self.degrees_F)

    @property
    def slower(self) -> float:
        """How many times as slow it is as the cooler of the temperatures that the publication names."""
        return _rate(steam.NAMED_F[0]) / self.rate


def _rate(degrees_F: float) -> float:  # noqa: N803
    return float(lethality.lethal_rate(np.array(degrees_F)))


def _height(feet: int) -> str:
    return f"{feet:,} feet" if feet else "sea level"


def places() -> tuple[Place, ...]:
    """Boiling water at each altitude, and steam at the temperatures that the publication names."""
    water = (Place(f"boiling water at {_height(feet)}", feet, saturation.steam_F(0.0, feet)) for feet in ALTITUDES_FT)
    return (*water, *(Place(f"steam of {degrees:g} {why.NAMED}", None, degrees) for degrees in steam.NAMED_F))


def why_boiling(shelf: Shelf) -> Why:
    """Make the chart.

    Parameters
    ----------
    shelf : Shelf
        For the rules that its sentences stand on.
    """
    drawn = places()
    return Why(
        id=NAME,
        title="Boiling water is too cool for low-acid food",
        alt=_alt(drawn),
        sentences=_sentences(drawn, shelf),
        cautions=(
            Stated(
                "physics-alone",
                f"This is the lethal rate alone (reference {lethality.REFERENCE_F:g} degF, z {lethality.Z_F:g} degF), "
                "drawn far from where such rates are measured. No publication used here has a time in boiling water "
                "for low-acid food.",
                None,
                None,
            ),
            steam.NO_SCHEDULE,
        ),
        columns=COLUMNS,
        rows=tuple(
            (
                *(place.where, place.altitude_ft, why.data(place.degrees_F), why.data(why.celsius(place.degrees_F))),
                *(round(place.rate, _RATE_DIGITS), round(place.slower, _TIMES_DIGITS)),
            )
            for place in drawn
        ),
        size_in=(why.WIDE_IN, 4.8),
        draw=lambda figure: _draw(figure, drawn),
    )


def _alt(drawn: tuple[Place, ...]) -> str:
    said = "; ".join(f"{place.where} ({place.degrees_F:.1f} degrees): {place.slower:.3g}" for place in drawn)
    return (
        "Line chart with a scale of tens: how many times as slowly spores die at a temperature in degrees Fahrenheit "
        f"as at {steam.NAMED_F[0]:g} degrees, falling steeply as it gets hotter. {wording.capital(said)}."
    )


def _sentences(drawn: tuple[Place, ...], shelf: Shelf) -> tuple[Stated, ...]:
    rules, sea, high = shelf.rules, drawn[0], drawn[len(ALTITUDES_FT) - 1]
    low, hot = rules.figures("low-acid-temperature")
    return (
        rules.worded(
            "low-acid-temperature",
            f"Low-acid food is made safe at {int(low)} to {int(hot)} degrees Fahrenheit, and only "
            "pressure makes steam so hot.",
        ),
        Stated(
            "boil-worth",
            f"By the usual rate, spores die about {sea.slower:.0f} times as slowly in boiling water at sea level as "
            f"at {steam.NAMED_F[0]:g} degrees, and about {high.slower:.0f} times at {high.altitude_ft:,} feet.",
            None,
            None,
        ),
        rules.worded(
            "low-acid-limit",
            "That is no way to reckon a long boil, and no publication used here has one. Food above "
            f"pH {rules.rule('low-acid-limit').value} needs a pressure canner and its printed time",
        ),
    )


def _draw(figure: Figure, drawn: tuple[Place, ...]) -> None:
    axes = figure.subplots()
    degrees = np.linspace(_FROM_F, _TO_F, 63)
    axes.plot(degrees, _rate(steam.NAMED_F[0]) / lethality.lethal_rate(degrees), color=why.INK, lw=2, zorder=4)
    for place in drawn:
        axes.plot(place.degrees_F, place.slower, "o", ms=6, color=why.INK, zorder=5)
        named = place.where.removeprefix("boiling water at ") if place.altitude_ft else place.where
        right = place.altitude_ft is not None
        why.label(
            axes, f"{named}: {place.slower:.3g} times", (place.degrees_F, place.slower),
            (8, 6) if right else (-8, -7), ha="left" if right else "right",
        )  # fmt: skip
    axes.set_yscale("log")
    axes.yaxis.set_major_formatter("{x:g}")
    axes.set_xlim(_FROM_F, _TO_F)
    axes.set_xlabel(f"temperature, {why.NAMED}")
    axes.set_ylabel(f"times as slow as at {steam.NAMED_F[0]:g} {why.NAMED}")
    why.plain(axes)
    why.note(figure, "Physics, no schedule: low-acid food needs pressure.")

"""Why altitude: steam at one gauge pressure is cooler higher up, and so is boiling water."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from stillroom.answers import saturation, steam
from stillroom.answers.answer import Stated
from stillroom.answers.shelf import Shelf
from stillroom.findings.checks.physics import OPEN_TOP_FT
from stillroom.sheets import why
from stillroom.sheets.why import Why

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

NAME = "steam-over-altitude"
PSI = (15, 11, 10, 5, 0)
"""Gauge pressures that are drawn, psi: the weights, the first of a dial for low-acid food, and boiling water."""
SHOWN_PSI = 11
"""The one that the sentences speak of, psi."""
STEP_FT = 500
ALTITUDES_FT = tuple(range(0, round(OPEN_TOP_FT) + 1, STEP_FT))
"""Altitudes, feet, up to where the checks look at an open band."""
COLUMNS = ("line", "gauge_psi", "altitude_ft", "altitude_m", "steam_F", "steam_C")
_STROKES = {15: "-", 11: (0, (7, 2)), 10: (0, (3, 1.5)), 5: (0, (6, 1.5, 1.2, 1.5)), 0: (0, (1.2, 1.2))}
_TICK_FT, _TICK_M = 2_000, 1_000
_ROOM_FT = 4_200
"""Room for the labels right of the last altitude, feet."""


class Line(NamedTuple):
    """One line: its gauge pressure, psi, and the temperature of steam at each altitude, degF."""

    psi: int
    steam_F: tuple[float, ...]  # noqa: N815  (units stand in names)

    @property
    def name(self) -> str:
        """What it is called at its end."""
        return f"{self.psi} psi" if self.psi else "boiling water"


def lines() -> tuple[Line, ...]:
    """Take every temperature from the steam that the checks go by."""
    return tuple(Line(psi, tuple(saturation.steam_F(psi, feet) for feet in ALTITUDES_FT)) for psi in PSI)


def why_altitude(shelf: Shelf) -> Why:
    """Make the chart.

    Parameters
    ----------
    shelf : Shelf
        For the rules that its sentences stand on.
    """
    drawn = lines()
    return Why(
        id=NAME,
        title="The same gauge pressure is cooler higher up",
        alt=_alt(drawn),
        sentences=_sentences(drawn, shelf),
        cautions=(steam.without_air(shelf.rules), steam.NO_SCHEDULE),
        columns=COLUMNS,
        rows=tuple(
            (line.name, line.psi, feet, round(why.meters(feet), 1), why.data(hot), why.data(why.celsius(hot)))
            for line in drawn
            for feet, hot in zip(ALTITUDES_FT, line.steam_F, strict=True)
        ),
        size_in=(why.WIDE_IN, 5.6),
        draw=lambda figure: _draw(figure, drawn),
    )


def _alt(drawn: tuple[Line, ...]) -> str:
    falls = "; ".join(f"{line.name} {line.steam_F[0]:.1f} to {line.steam_F[-1]:.1f}" for line in drawn)
    return (
        "Line chart: temperature of steam without air over altitude, one falling line for each gauge pressure. From "
        f"sea level to {ALTITUDES_FT[-1]:,} feet ({why.meters(ALTITUDES_FT[-1]):,.0f} meters), in degrees Fahrenheit: "
        f"{falls}."
    )


def _sentences(drawn: tuple[Line, ...], shelf: Shelf) -> tuple[Stated, ...]:
    shown, water = drawn[PSI.index(SHOWN_PSI)], drawn[-1].steam_F
    rule = shelf.rules.rule("sea-level-pressure-for-240F")
    return (
        Stated(
            "thinner-air",
            "A gauge tells how much harder the steam presses than the air outside. Higher up the air is thinner, and "
            f"the same reading is cooler steam: {shown.psi} psi is {shown.steam_F[0]:.1f} degrees Fahrenheit at sea "
            f"level and {shown.steam_F[-1]:.1f} at {ALTITUDES_FT[-1]:,} feet.",
            None,
            None,
        ),
        Stated(
            "cooler-boil",
            f"Boiling water cools too, from {water[0]:.1f} to {water[-1]:.1f} degrees, and no harder boil makes it "
            "hotter. So schedules ask for more minutes of boiling higher up, and for more pressure in a "
            "pressure canner.",
            None,
            None,
        ),
        shelf.rules.worded(
            rule.id,
            f"At sea level the publication gives {rule.value} psi for {steam.NAMED_F[0]:g} degrees.",
        ),
    )


def _draw(figure: Figure, drawn: tuple[Line, ...]) -> None:
    axes = figure.subplots()
    for line in drawn:
        axes.plot(ALTITUDES_FT, line.steam_F, color=why.INK, ls=_STROKES[line.psi], lw=2, zorder=4)
        why.label(axes, line.name, (ALTITUDES_FT[-1], line.steam_F[-1]))
    axes.set_xlim(0, ALTITUDES_FT[-1] + _ROOM_FT)
    axes.set_xticks(range(0, ALTITUDES_FT[-1] + 1, _TICK_FT))
    axes.xaxis.set_major_formatter("{x:,.0f}")
    axes.set_xlabel("altitude, feet")
    axes.set_ylabel(f"steam without air, {why.NAMED}")
    why.plain(axes)
    _metric(axes)
    why.note(figure, "An ordinary day. For understanding; no schedule.")


def _metric(axes: Axes) -> None:
    """Add meters above and degrees Celsius at the right."""
    above = axes.secondary_xaxis("top", functions=(why.meters, _feet))
    above.set_xticks(range(0, int(why.meters(ALTITUDES_FT[-1])) + 1, _TICK_M))
    above.xaxis.set_major_formatter("{x:,.0f}")
    above.set_xlabel("meters")
    right = axes.secondary_yaxis("right", functions=(why.celsius, _fahrenheit))
    right.set_ylabel("degC")


def _feet(meters: Any) -> Any:
    return meters / saturation.FEET_IN_METERS


def _fahrenheit(degrees_C: Any) -> Any:  # noqa: N803  (units stand in names)
    return degrees_C * 1.8 + 32

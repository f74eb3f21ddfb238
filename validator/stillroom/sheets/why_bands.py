"""Why bands: more pressure in each band of altitude keeps the steam as hot at its top, where it is coolest.

Bands and patterns are those of shared/altitude-bands.csv and shared/band-patterns.csv, of the guide whose pages are
cited bare; the altitude at which an open band is looked at, and the least that steam must reach, are those of the
check ``physics``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from stillroom.answers import saturation, steam, wording
from stillroom.answers.answer import Stated
from stillroom.answers.shelf import Shelf
from stillroom.errors import BadPackage
from stillroom.findings.checks import bands
from stillroom.findings.checks.physics import FLOORS, OPEN_TOP_FT
from stillroom.package.patterns import BandPattern, band_patterns
from stillroom.sheets import why
from stillroom.sheets.why import Why

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

NAMES = {"dial": "band-tops-dial", "weighted": "band-tops-weighted"}
"""Chart of each gauge."""
COLUMNS = (
    *("gauge", "pattern", "altitude_from_ft", "altitude_to_ft", "looked_at_ft", "looked_at_m", "pressure_psi"),
    *("steam_F", "steam_C", "steam_of_first_pressure_F", "least_F"),
)
_STEP_FT, _TICK_FT = 100, 2_000
_NARROW = 0.15
"""Part of the axis below which a band has no room for the figure of its top to the left of it."""


class Step(NamedTuple):
    """One band of one pattern.

    Attributes
    ----------
    from_ft : int
    to_ft : int or None
        Top of the band; None where it is open.
    top_ft : float
        Where it is looked at: its top, or where the check looks at an open band, feet.
    psi : int or None
        Pressure; None where the band is printed as not recommended.
    steam_F : float or None
        Temperature of steam at the top, degF.
    first_F : float
        The same with the pressure of the first band.
    """

    from_ft: int
    to_ft: int | None
    top_ft: float
    psi: int | None
    steam_F: float | None  # noqa: N815  (units stand in names)
    first_F: float  # noqa: N815


class Run(NamedTuple):
    """One pattern: its gauge, number, bands, and the least that steam must reach at their tops, degF."""

    gauge: str
    number: int
    steps: tuple[Step, ...]
    least_F: float  # noqa: N815

    @property
    def pressed(self) -> tuple[Step, ...]:
        """The bands that have a pressure."""
        return tuple(step for step in self.steps if step.psi is not None)

    @property
    def psi(self) -> tuple[int, ...]:
        """The pressures along the bands."""
        return tuple(step.psi for step in self.steps if step.psi is not None)

    @property
    def named(self) -> str:
        """Its pressures in words."""
        return f"{wording.listed([str(psi) for psi in self.psi], 'and')} psi"


def runs(shelf: Shelf) -> tuple[Run, ...]:
    """Lay out the patterns of pressure of the guide.

    Parameters
    ----------
    shelf : Shelf

    Raises
    ------
    BadPackage
        The table of patterns is damaged or missing.
    """
    guides = {source.id for source in shelf.package.sources if not source.short}
    tops = {
        (row.source, row.band_set, row.altitude_from_ft): row.altitude_to_ft for row in shelf.package.altitude_bands
    }
    laid: dict[tuple[str, int], list[BandPattern]] = {}
    for row in band_patterns(shelf.package.root):
        if row.source in guides and bands.gauge_of(row.band_set):
            laid.setdefault((row.band_set, row.pattern), []).append(row)
    try:
        return tuple(
            _run(bands.gauge_of(name), number, [(row, tops[row.source, name, row.altitude_from_ft]) for row in rows])
            for (name, number), rows in laid.items()
        )
    except KeyError as error:
        told = "a pattern has a band that is none of its set, or pressures that the check physics does not know"
        raise BadPackage(f"shared/band-patterns.csv: {told}: {error.args[0]}") from None


def _run(gauge: str, number: int, rows: list[tuple[BandPattern, int | None]]) -> Run:
    pattern = tuple(float(row.pressure_psi) for row, _ in rows if row.pressure_psi is not None)
    least = FLOORS[gauge, pattern]
    return Run(gauge, number, tuple(_step(row, to_ft, pattern[0]) for row, to_ft in rows), least)


def _step(row: BandPattern, to_ft: int | None, first_psi: float) -> Step:
    top, psi = OPEN_TOP_FT if to_ft is None else float(to_ft), row.pressure_psi
    hot = None if psi is None else saturation.steam_F(psi, top)
    return Step(row.altitude_from_ft, to_ft, top, psi, hot, saturation.steam_F(first_psi, top))


def why_bands(shelf: Shelf, gauge: str) -> Why:
    """Make the chart of one gauge.

    Parameters
    ----------
    shelf : Shelf
    gauge : str
        ``dial`` or ``weighted``.

    Raises
    ------
    BadPackage
        The table of patterns is damaged or missing.
    """
    drawn = tuple(run for run in runs(shelf) if run.gauge == gauge)
    return Why(
        id=NAMES[gauge],
        title=f"More pressure higher up keeps steam hot ({gauge})",
        alt=_alt(drawn),
        sentences=_sentences(drawn, shelf),
        cautions=(steam.without_air(shelf.rules), steam.NO_SCHEDULE),
        columns=COLUMNS,
        rows=tuple(_row(run, step) for run in drawn for step in run.steps),
        size_in=(why.WIDE_IN, 1.1 + 2.6 * len(drawn)),
        draw=lambda figure: _draw(figure, drawn),
    )


def _row(run: Run, step: Step) -> tuple[why.Cell, ...]:
    hot = step.steam_F
    return (
        *(run.gauge, run.number, step.from_ft, step.to_ft, round(step.top_ft), round(why.meters(step.top_ft), 1)),
        step.psi,
        None if hot is None else why.data(hot),
        None if hot is None else why.data(why.celsius(hot)),
        why.data(step.first_F),
        run.least_F,
    )


def _tops(run: Run) -> str:
    """Say how hot steam is at the tops of the bands, and where it would be without raising the pressure."""
    hot = wording.listed([f"{step.steam_F:.1f}" for step in run.pressed], "and")
    feet = wording.listed([f"{step.top_ft:,.0f}" for step in run.pressed], "and")
    return f"{run.named}: {hot} degrees at {feet} feet"


def _alone(run: Run) -> str:
    """Say where steam would be at the highest top with the pressure of the first band."""
    last = run.steps[-1]
    if last.psi is None:
        return f"; above {last.from_ft - 1:,} feet it is not recommended"
    return f"; left at {run.psi[0]} psi, {last.first_F:.1f} at {last.top_ft:,.0f} feet"


def _alt(drawn: tuple[Run, ...]) -> str:
    said = ". ".join(_tops(run) + _alone(run) for run in drawn)
    return (
        f"Line charts, one for each run of pressures on a {drawn[0].gauge} gauge: temperature of steam over altitude. "
        "Solid lines fall within each band and step up at the next, where the pressure is raised; a broken line goes "
        f"on falling with the first pressure. At the tops of the bands, in degrees Fahrenheit: {said}."
    )


def _sentences(drawn: tuple[Run, ...], shelf: Shelf) -> tuple[Stated, ...]:
    first = drawn[0]
    least = {run.least_F: run.named for run in reversed(drawn)}
    lows = wording.listed([f"{low:.0f} degrees with {least[low]}" for low in sorted(least, reverse=True)], "and")
    hot = [step.steam_F for step in first.pressed if step.steam_F is not None]
    rules = shelf.rules
    printed = (
        rules.worded(
            "sea-level-pressure-for-240F",
            f"For {steam.NAMED_F[0]:g} degrees at sea level the publication gives "
            f"{rules.rule('sea-level-pressure-for-240F').value} psi, and its first band on a dial begins above that.",
        )
        if first.gauge == "dial"
        else rules.worded(
            "weighted-altitude",
            f"Above {rules.whole('weighted-altitude'):,} feet a weighted gauge takes the next heavier weight.",
        )
    )
    return (
        Stated(
            "band-tops",
            f"Steam is coolest at the top of a band of altitude, and each next band asks for more pressure: with "
            f"{first.named} it is {min(hot):.1f} to {max(hot):.1f} degrees Fahrenheit at the top of every band"
            f"{_without(first)}.",
            None,
            None,
        ),
        printed,
        Stated(
            "least-at-tops",
            f"The checks of these data ask at the top of every band for at least {lows}.",
            None,
            None,
        ),
    )


def _without(run: Run) -> str:
    last = run.steps[-1]
    return f"; left at {run.psi[0]} psi it would fall to {last.first_F:.1f} at {last.top_ft:,.0f} feet"


def _draw(figure: Figure, drawn: tuple[Run, ...]) -> None:
    for axes, run in zip(figure.subplots(len(drawn), 1, squeeze=False)[:, 0], drawn, strict=True):
        _panel(axes, run)
    axes.set_xlabel("altitude, feet")
    figure.supylabel(f"steam without air, {why.NAMED}", fontsize=why.FONT_PT)
    why.note(
        figure, "Solid: as printed. Broken: first pressure kept. Dotted: the\nleast that the checks ask. No schedule."
    )


def _panel(axes: Axes, run: Run) -> None:
    from matplotlib.ticker import MaxNLocator, MultipleLocator

    end = max(step.top_ft for step in run.steps)
    _solid(axes, run, end)
    _broken(axes, run, end)
    axes.axhline(run.least_F, color=why.PALE, lw=1.2, ls=":", zorder=2)
    why.label(axes, f"{run.least_F:.0f}", (end, run.least_F), color=why.PALE)
    axes.set_xlim(0, end)
    axes.margins(y=0.14)
    axes.xaxis.set_major_formatter("{x:,.0f}")
    axes.xaxis.set_major_locator(MultipleLocator(_TICK_FT))
    axes.yaxis.set_major_locator(MaxNLocator(6, integer=True))
    why.plain(axes)


def _solid(axes: Axes, run: Run, end: float) -> None:
    for step in run.pressed:
        if step.psi is None or step.steam_F is None:
            continue
        psi = step.psi
        feet = _points(step.from_ft, step.top_ft)
        axes.plot(feet, [saturation.steam_F(psi, at) for at in feet], color=why.INK, lw=2, zorder=4)
        axes.plot(step.top_ft, step.steam_F, "o", ms=6, color=why.INK, zorder=5, clip_on=False)
        narrow = step.top_ft - step.from_ft < end * _NARROW
        by, ha = ((7, 6), "left") if narrow else ((-3, -9), "right")
        why.label(axes, f"{step.steam_F:.1f}", (step.top_ft, step.steam_F), by, ha=ha)
        why.label(axes, f"{psi} psi", (step.from_ft, saturation.steam_F(psi, step.from_ft)), (5, 8))


def _broken(axes: Axes, run: Run, end: float) -> None:
    first, last = run.pressed[0], run.steps[-1]
    if last.psi is None:
        why.label(
            axes,
            f"above {last.from_ft - 1:,} ft not recommended",
            ((first.top_ft + end) / 2, run.least_F),
            (0, 20),
            ha="center",
        )
        return
    feet = _points(first.top_ft, end)
    axes.plot(
        feet, [saturation.steam_F(run.psi[0], at) for at in feet], color=why.INK, lw=1.5, ls=(0, (4, 2)), zorder=3
    )
    why.label(axes, f"{last.first_F:.1f}", (end, last.first_F), (-3, -9), ha="right")


def _points(low: float, high: float) -> list[float]:
    """Altitudes from one to the other, feet."""
    return [*range(round(low), round(high), _STEP_FT), high]

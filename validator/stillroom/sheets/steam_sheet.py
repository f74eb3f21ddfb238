"""Steam sheet: what a steam table says at one altitude, as text for people."""

from __future__ import annotations

from stillroom.answers import wording
from stillroom.answers.shelf import Shelf
from stillroom.answers.steam import NAMED_F, Steam
from stillroom.sheets import page


def steam_sheet(found: Steam, shelf: Shelf) -> str:
    """Write it out: what was asked first, then the place, then what the figures are not.

    Parameters
    ----------
    found : Steam
    shelf : Shelf
        For the caution that every sheet carries, and the publication.
    """
    height = wording.height(found.altitude_ft)
    lines = page.wrapped(f"Steam without air at {height}")
    if found.asked:
        point = found.points[0]
        lines += ["", *page.wrapped(f"At {point.gauge_psi:.4g} psi on a true gauge: {point.steam_F:.1f} degF.")]
    else:
        lines += ["", "  psi on a true gauge    degF"]
        lines += [f"  {point.gauge_psi:>19g}   {point.steam_F:.1f}" for point in found.points]
    gauges = found.gauge_psi_at_240_F, found.gauge_psi_at_250_F
    named = (f"{degrees:g} degF at {psi:.1f} psi" for degrees, psi in zip(NAMED_F, gauges, strict=True))
    there = (
        f"The air outside presses with {found.outside_psi:.2f} psi, and water boils at {found.boiling_F:.1f} degF.",
        f"Steam is {' and '.join(named)}.",
    )
    lines += page.section("There:", there)
    lines += page.section("What these figures are not:", map(str, found.cautions))
    lines += ["", *page.wrapped("Computed, not printed, for an ordinary day. " + " ".join(found.sources))]
    return page.text([*lines, *page.foot(shelf.rules.cite("vent-time"), shelf.standing)])

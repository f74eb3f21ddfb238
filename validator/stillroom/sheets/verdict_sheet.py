"""Verdict sheet: a judgement as text for people, wrapped at 80 columns. The verdict comes first."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from stillroom.answers import wording
from stillroom.answers.shelf import Shelf
from stillroom.run.judgement import Judgement
from stillroom.run.lethality import REFERENCE_F, Z_F
from stillroom.run.log_times import MINUTE, minutes
from stillroom.run.next_steps import SUSPECT
from stillroom.run.noted import Noted
from stillroom.run.verdict import DELIVERED, NO_VERDICT, SHORT, UNPROVEN
from stillroom.sheets import page, sparkline

_JOINT = "\u00a0"
"""A space that a line is not broken at."""
_FIRST = {
    DELIVERED: "DELIVERED. The log shows that this batch got its schedule.",
    SHORT: "SHORT. This batch did not get its schedule.",
    UNPROVEN: "UNPROVEN. The log cannot show that this batch got its schedule.",
    NO_VERDICT: "NO VERDICT. The gauge is too far off to judge by.",
}


def verdict_sheet(found: Judgement, shelf: Shelf, encoding: str | None, beside: Sequence[Noted] = ()) -> str:
    """Write a judgement out.

    Parameters
    ----------
    found : Judgement
    shelf : Shelf
        For the titles of jars and canners.
    encoding : str or None
        Encoding of the terminal, which decides what the sparkline is drawn with.
    beside : sequence of Noted, optional
        What the undisturbed run tells; none by default.
    """
    option = found.option
    lines = [
        *page.wrapped(_FIRST[found.verdict]),
        "",
        *(line.replace(_JOINT, " ") for line in page.wrapped(_what(found, shelf))),
        *page.wrapped(f"Required: {_required(found)}."),
        "",
        *page.items(map(str, found.because)),
        *_beside(found),
    ]
    if found.verdict != NO_VERDICT:
        lines += _drawn(found, encoding)
    lines += page.section("Beside the same run without its dips, for information:", map(str, beside))
    first = [noted for noted in found.following if noted.code != SUSPECT]
    later = [noted for noted in found.following if noted.code == SUSPECT]
    lines += page.section("Next:", (wording.capital(str(noted)) for noted in first))
    lines += page.section("If a jar of them is found swollen, leaking or spoiled:", map(str, later))
    lines += _cautions(found.cautions)
    if found.lethality_F0_min is not None:
        lines += [
            "",
            *page.wrapped(
                f"For information: the steam in the canner amounts to F0 {found.lethality_F0_min:.1f} min "
                f"({REFERENCE_F:g} degF, z {Z_F:g} degF). That is not the food in the jars, and it changes no verdict."
            ),
        ]
    return page.text([*lines, *page.foot(option.source, shelf.standing)])


def _required(found: Judgement) -> str:
    option = found.option
    if option.pressure_psi is None:
        how = "full of steam" if found.answer.canner == "steam" else "of boiling"
        return f"{option.minutes} minutes {how}, unbroken"
    vent = found.needs.vent_us // MINUTE
    return f"{option.minutes} minutes unbroken at {option.pressure_psi} psi, after {vent} minutes' venting"


def _what(found: Judgement, shelf: Shelf) -> str:
    answer, jars = found.answer, found.batch.jars
    jar = shelf.jars[answer.jar]
    words = [
        answer.title,
        shelf.in_words("form", answer.form),
        shelf.in_words("pack", answer.pack),
        jar.plural if jars is None else f"{jars} {jar.plural if jars > 1 else jar.title}",
        shelf.canners[answer.canner].title,
        wording.height(answer.altitude_ft).replace(" ", _JOINT),
        str(found.date or ""),
    ]
    return ", ".join(word for word in words if word) + "."


def _beside(found: Judgement) -> list[str]:
    hold, total = found.judged.hold, found.judged.at_pressure_us
    if found.verdict == NO_VERDICT or hold is None:
        return []
    told = []
    over = hold.us - found.option.minutes * MINUTE
    if found.verdict == DELIVERED and over > 0:
        told.append(f"Over the required time: {minutes(over)}.")
    if total > hold.us:
        what = "At pressure" if found.option.pressure_psi is not None else "So"
        told.append(f"{what} in all: {minutes(total)}; time is never added across a break.")
    return page.items(told)


def _drawn(found: Judgement, encoding: str | None) -> list[str]:
    if np.isnan(found.true_psi).all():
        return []
    letters = sparkline.BLOCKS
    try:
        letters.encode(encoding or "ascii")
    except (LookupError, UnicodeEncodeError):
        letters = sparkline.ASCII
    drawn = sparkline.sparkline(found, letters=letters)
    if not drawn:
        return []
    log = found.log
    begin, end = log.clock.show(int(log.time_us[0])), log.clock.show(int(log.time_us[-1]))
    highest = f"{float(np.nanmax(found.true_psi)):.3g} psi at most"
    counts = "counts" if found.verdict == DELIVERED else "longest stretch"
    marked = [f"{mark} {what}" for mark, what in (("=", counts), ("x", "dip")) if mark in drawn[-1]]
    under = f" {begin} to {end}, {highest}" + (f"; {', '.join(marked)}" if marked else "")
    return ["", *(line for line in drawn if line.strip()), under]


def _cautions(cautions: tuple[Noted, ...]) -> list[str]:
    must = [noted for noted in cautions if noted.code == "condition"]
    mind = [noted for noted in cautions if noted.code not in ("condition", "standing")]
    return [
        *page.section("Also note:", map(str, mind)),
        *page.section("Required for safety, and no log can show it:", map(str, must)),
    ]

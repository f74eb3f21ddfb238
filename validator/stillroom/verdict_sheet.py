"""Verdict sheet: a judgement as text for people, wrapped at 80 columns. The verdict comes first."""

from __future__ import annotations

import textwrap

from stillroom import sparkline, wording
from stillroom.judgement import Judgement
from stillroom.lethality import REFERENCE_F, Z_F
from stillroom.log_times import MINUTE, minutes
from stillroom.next_steps import SUSPECT
from stillroom.noted import Noted
from stillroom.shelf import Shelf
from stillroom.verdict import DELIVERED, NO_VERDICT, SHORT, UNPROVEN

WIDTH = 80
_JOINT = "\u00a0"
"""A space that a line is not broken at."""
_FIRST = {
    DELIVERED: "DELIVERED. The log shows that this batch got its schedule.",
    SHORT: "SHORT. This batch did not get its schedule.",
    UNPROVEN: "UNPROVEN. The log cannot show that this batch got its schedule.",
    NO_VERDICT: "NO VERDICT. The gauge is too far off to judge by.",
}


def verdict_sheet(found: Judgement, shelf: Shelf, encoding: str | None) -> str:
    """Write a judgement out.

    Parameters
    ----------
    found : Judgement
    shelf : Shelf
        For the titles of jars and canners.
    encoding : str or None
        Encoding of the terminal, which decides what the sparkline is drawn with.
    """
    option = found.option
    lines = [
        *_wrapped(_FIRST[found.verdict]),
        "",
        *(line.replace(_JOINT, " ") for line in _wrapped(_what(found, shelf))),
        *_wrapped(
            f"Required: {option.minutes} minutes unbroken at {option.pressure_psi} psi, "
            f"after {found.needs.vent_us // MINUTE} minutes' venting."
        ),
        "",
        *(line for noted in found.because for line in _item(str(noted))),
        *_beside(found),
    ]
    if found.verdict != NO_VERDICT:
        lines += _drawn(found, encoding)
    first = [noted for noted in found.following if noted.code != SUSPECT]
    later = [noted for noted in found.following if noted.code == SUSPECT]
    lines += ["", "Next:", *(line for noted in first for line in _item(wording.capital(str(noted))))]
    if later:
        lines += ["", "If a jar of them is found swollen, leaking or spoiled:"]
        lines += [line for noted in later for line in _item(str(noted))]
    lines += _cautions(found.cautions)
    if found.lethality_F0_min is not None:
        lines += [
            "",
            *_wrapped(
                f"For information: the steam in the canner amounts to F0 {found.lethality_F0_min:.1f} min "
                f"({REFERENCE_F:g} degF, z {Z_F:g} degF). That is not the food in the jars, and it changes no verdict."
            ),
        ]
    standing = next(noted.text for noted in found.cautions if noted.code == "standing")
    lines += ["", *_wrapped(f"Source: {option.source.cite()}."), *_wrapped(f"Caution: {standing}")]
    return "\n".join(lines) + "\n"


def _what(found: Judgement, shelf: Shelf) -> str:
    answer, jars = found.answer, found.batch.jars
    forms = {form.form: form.title for form in shelf.package.forms}
    jar = shelf.jars[answer.jar]
    words = [
        answer.title,
        forms[answer.form] if answer.form else "",
        f"{answer.pack} pack" if answer.pack else "",
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
        told.append(f"At pressure in all: {minutes(total)}; time is never added across a dip or a gap.")
    return [line for text in told for line in _item(text)]


def _drawn(found: Judgement, encoding: str | None) -> list[str]:
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
    highest = f"{float(found.true_psi.max()):.3g} psi at most"
    counts = "counts" if found.verdict == DELIVERED else "longest stretch"
    marked = [f"{mark} {what}" for mark, what in (("=", counts), ("x", "dip")) if mark in drawn[-1]]
    under = f" {begin} to {end}, {highest}" + (f"; {', '.join(marked)}" if marked else "")
    return ["", *(line for line in drawn if line.strip()), under]


def _cautions(cautions: tuple[Noted, ...]) -> list[str]:
    must = [noted for noted in cautions if noted.code == "condition"]
    mind = [noted for noted in cautions if noted.code not in ("condition", "standing")]
    lines = []
    if mind:
        lines += ["", "Also note:", *(line for noted in mind for line in _item(str(noted)))]
    if must:
        lines += ["", "Required for safety, and no log can show it:"]
        lines += [line for noted in must for line in _item(str(noted))]
    return lines


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, break_long_words=True, break_on_hyphens=False)


def _item(text: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent="  - ", subsequent_indent="    ", break_on_hyphens=False)

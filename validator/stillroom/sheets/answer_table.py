"""Table: an answer as HTML for a notebook: each option a row, and under it what must hold, its page and the caution."""

from __future__ import annotations

from html import escape

from stillroom.answers import wording
from stillroom.answers.answer import Answer, Option
from stillroom.answers.shelf import Shelf
from stillroom.sheets.answer_sheet import filled

_HEADS = ("Minutes", "Pressure (psi)", "Altitude", "Headspace", "Page")


def answer_table(answer: Answer, shelf: Shelf) -> str:
    """Write an answer as one HTML fragment, without style or script."""
    what = [*filled(answer, shelf), shelf.in_words("canner", answer.canner), wording.height(answer.altitude_ft)]
    first = answer.options[0]
    told = [str(understood) for understood in answer.understood]
    told += [str(said) for said in (answer.follows,) if said]
    told += [f"By rule: {first.by_rule}"] if first.by_rule else []
    told += [f"Required: {said}" for said in first.requires]
    told += [str(first.vent)] if first.vent else []
    told += [str(said) for said in dict.fromkeys(said for option in answer.options for said in option.cautions)]
    told += [f"Source: {first.source.cite()}."]
    return (
        f"<table><caption>{escape(', '.join(what))}</caption>"
        f"<thead><tr>{''.join(f'<th>{head}</th>' for head in _HEADS)}</tr></thead>"
        f"<tbody>{''.join(map(_row, answer.options))}</tbody></table>"
        f"<ul>{''.join(f'<li>{escape(said)}</li>' for said in told)}</ul>"
    )


def _row(option: Option) -> str:
    inches = wording.listed(
        [f"{wording.units(row.inches, 'inch')} {row.variety}".strip() for row in option.headspace], "and"
    )
    cells = (
        str(option.minutes),
        "none: boiling water or steam" if option.pressure_psi is None else str(option.pressure_psi),
        wording.span(option.altitude_from_ft, option.altitude_to_ft),
        inches or "none printed",
        option.page,
    )
    return f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in cells)}</tr>"

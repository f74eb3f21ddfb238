"""Exchange: answers, refusals and lists as plain documents for programs (schema/answer.json)."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from stillroom.answers.answer import (
    AcidFor,
    Answer,
    Citation,
    NoTestedSchedule,
    Option,
    SayWhich,
    Stated,
    Tested,
    UnknownFood,
)
from stillroom.package.records import Food, Withheld

if TYPE_CHECKING:
    from stillroom.answers.printed_table import FoodTable

Document = dict[str, Any]
VERSION = "1.2"
"""Version of schema/answer.json. What a key means never changes within a whole number; keys may come."""


def text(document: Mapping[str, Any]) -> str:
    """Write a document as JSON text that any encoding can hold and no terminal obeys.

    Control characters and the like are written as JSON escapes. Half a surrogate pair, which Python makes of a file
    name that is not UTF-8, is no character: it is spelled out.
    """
    written = json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False)
    lines = written.split("\n")
    return "".join(f"{line if line.isprintable() else ''.join(map(_escaped, line))}\n" for line in lines)


def _escaped(character: str) -> str:
    if character.isprintable():
        return character
    if "\ud800" <= character <= "\udfff":
        return f"\\\\u{ord(character):04x}"
    return json.dumps(character)[1:-1]


def answer(found: Answer) -> Document:
    """Lay out an answer."""
    return {
        "kind": "answer",
        "version": VERSION,
        "food": found.food,
        "asked": found.asked,
        "title": found.title,
        "form": found.form,
        "pack": found.pack,
        "jar": found.jar,
        "canner": found.canner,
        "altitude_ft": found.altitude_ft,
        "follows": stated(found.follows),
        "options": [_option(option) for option in found.options],
        "understood": [understood._asdict() for understood in found.understood],
    }


def refusal(error: NoTestedSchedule) -> Document:
    """Lay out a refusal."""
    return {
        "kind": "refusal",
        "version": VERSION,
        "code": error.code,
        "reason": error.reason,
        "source": _citation(error.source),
        "suggestions": list(error.suggestions) if isinstance(error, UnknownFood) else [],
        "tested": [_tested(tested) for tested in error.tested],
        "earlier": stated(error.earlier),
    }


def say_which(error: SayWhich) -> Document:
    """Lay out every answer to a question that leaves something open."""
    return {
        "kind": "say-which",
        "version": VERSION,
        "what": error.what,
        "reason": error.reason,
        "choices": list(error.choices),
        "answers": [answer(found) for found in error.answers],
    }


def foods(listed: Iterable[Food]) -> Document:
    """Lay out a list of foods."""
    return {"kind": "foods", "version": VERSION, "foods": [food._asdict() for food in listed]}


def table(found: FoodTable) -> Document:
    """Lay out what is printed for a food."""
    return {
        "kind": "table",
        "version": VERSION,
        **found._asdict(),
        "follows": stated(found.follows),
        "cells": [cell._asdict() for cell in found.cells],
        "ends": list(found.ends),
        "carried": [stated(said) for said in found.carried],
        "requires": [stated(said) for said in found.requires],
    }


def tables(laid: Iterable[Document]) -> Document:
    """Lay out what is printed for each of several foods."""
    return {"kind": "tables", "version": VERSION, "tables": list(laid)}


def histories(laid: Iterable[Document]) -> Document:
    """Lay out then and now for each of several foods."""
    return {"kind": "histories", "version": VERSION, "histories": list(laid)}


def withheld(listed: Iterable[Withheld]) -> Document:
    """Lay out a list of what must not be canned."""
    return {"kind": "withheld", "version": VERSION, "withheld": [entry._asdict() for entry in listed]}


def _option(option: Option) -> Document:
    return {
        "minutes": option.minutes,
        "pressure_psi": option.pressure_psi,
        "altitude_from_ft": option.altitude_from_ft,
        "altitude_to_ft": option.altitude_to_ft,
        "headspace_in": option.headspace_in,
        "headspace": [row._asdict() for row in option.headspace],
        "requires": [stated(said) for said in option.requires],
        "vent": stated(option.vent),
        "source": _citation(option.source),
        "page": option.page,
        "by_rule": stated(option.by_rule),
        "cautions": [stated(said) for said in option.cautions],
        "not_recommended": list(option.not_recommended),
        "acid": [_acid(acid) for acid in option.acid],
    }


def _acid(acid: AcidFor) -> Document:
    return {
        **acid._asdict(),
        "source": _citation(acid.source),
        "alternatives": [_acid(other) for other in acid.alternatives],
    }


def stated(said: Stated | None) -> Document | None:
    """Lay out a sentence with its page and its publication."""
    return None if said is None else {"text": said.text, "page": said.page, "source": _citation(said.source)}


def _citation(citation: Citation | None) -> Document | None:
    return None if citation is None else {**citation._asdict(), "cite": citation.cite()}


def _tested(tested: Tested) -> Document:
    return {
        **tested._asdict(),
        "differs": list(tested.differs),
        "minutes": tested.minutes,
        "pressure_psi": tested.pressure_psi,
        "processes": [process._asdict() for process in tested.processes],
    }

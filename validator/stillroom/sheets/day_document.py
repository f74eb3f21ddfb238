"""Daydocument: a canning day as a plain document for programs (schema/plan.json)."""

from __future__ import annotations

from stillroom.day import clock
from stillroom.day.clock import Span
from stillroom.day.day import Load, Plan, Step
from stillroom.recipes.buying import Purchase
from stillroom.recipes.fills import Filling
from stillroom.recipes.own_yield import Made
from stillroom.sheets import documents
from stillroom.sheets.documents import Document


def document(plan: Plan) -> Document:
    """Lay out a plan. Minutes of the clock are counted from the first heat on."""
    start = plan.start_min
    return {
        "kind": "plan",
        "schedule": documents.answer(plan.answer),
        "option": plan.answer.options.index(plan.option),
        "dial_psi": plan.dial_psi,
        "gauge_reads_high_by_psi": plan.gauge_off_psi,
        "jars": plan.jars,
        "holds": plan.capacity.jars,
        "holds_by": documents.stated(plan.capacity.by),
        "water": [documents.stated(said) for said in plan.water],
        "food": [_purchase(bought) for bought in plan.purchases],
        "loads": [load(one) for one in plan.loads],
        "total_from_min": plan.lasts.from_min,
        "total_to_min": plan.lasts.to_min,
        "start": None if start is None else clock.told(start),
        "done_from": None if start is None else clock.told(start + plan.lasts.from_min),
        "done_to": None if start is None else clock.told(start + plan.lasts.to_min),
        "from_kitchen": [taken._asdict() for taken in plan.taken],
        "cautions": [documents.stated(said) for said in plan.cautions],
        "practice": [row._asdict() for row in plan.practice],
        "before": [documents.stated(said) for said in plan.handling.before],
        "after": [
            {"head": head, "rules": [documents.stated(said) for said in sentences]}
            for head, sentences in plan.handling.after
        ],
        "suspect_jar": [documents.stated(said) for said in plan.handling.suspect],
        "filling": None if plan.filling is None else _filling(plan.filling),
        "made": None if plan.made is None else _made(plan.made),
        "timing": documents.stated(plan.timing),
    }


def _made(made: Made) -> Document:
    return {
        **made.batches._asdict(),
        "main": [
            {"name": line.name, **(line.amount._asdict() if line.amount else {"low": None, "high": None, "unit": None})}
            for line in made.main
        ],
    }


def _filling(filled: Filling) -> Document:
    return {**filled._asdict(), "by": [fill._asdict() for fill in filled.by]}


def load(one: Load) -> Document:
    """Lay out one load with its clock."""
    return {
        "number": one.number,
        "jars": one.jars,
        "layers": one.layers,
        "part": one.part,
        **_span("begins", one.begins),
        **_span("ends", one.ends),
        "steps": [_step(step) for step in one.steps],
    }


def _step(step: Step) -> Document:
    return {
        "id": step.id,
        "text": step.text,
        **_span("lasts", step.lasts),
        **_span("begins", step.begins),
        "event": step.event,
        "page": step.page or None,
    }


def _purchase(bought: Purchase) -> Document:
    return {
        "variety": bought.variety,
        "basis": bought.basis,
        "pounds_from": bought.pounds_from,
        "pounds_to": bought.pounds_to,
        "containers_from": bought.containers_from,
        "containers_to": bought.containers_to,
        "printed_for": bought.printed.food,
        "note": bought.printed.note,
        "source": bought.printed.source,
        "page": bought.printed.page,
    }


def _span(name: str, span: Span) -> Document:
    return {f"{name}_from_min": span.from_min, f"{name}_to_min": span.to_min}

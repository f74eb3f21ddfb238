"""Audit document: what an audit found, as a plain document for programs (schema/audit.json)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from stillroom.foreign.audited import Audit, AuditFinding, Published
from stillroom.sheets import documents

VERSION = "1.0"
"""Version of schema/audit.json. What a key means never changes within a whole number; keys may come."""


def document(found: Audit) -> dict[str, Any]:
    """Lay one audit out for programs."""
    return {
        "kind": "audit",
        "version": VERSION,
        "file": found.file,
        "sha256": found.sha256,
        "data_version": found.data_version,
        "source": found.source.cite(),
        "ok": found.ok,
        "reading": list(found.reading),
        "assumed": list(found.assumed),
        "processes": found.processes,
        "rows": found.rows,
        "rows_wrong": found.rows_wrong,
        "counts": dict(found.counts),
        "findings": [_finding(one) for one in found.findings],
        "read_yourself": [
            {"row": note.line, "text": note.text, "warns": documents.stated(note.warns)} for note in found.read_yourself
        ],
        "not_here": list(found.not_here),
        "altitude_ft": found.altitude_ft,
        "left_out": list(found.left_out),
    }


def documents_of(audits: Sequence[Audit], unread: Sequence[tuple[str, str]]) -> dict[str, Any]:
    """Lay many audits out for programs, with the files that could not be read."""
    return {
        "kind": "audits",
        "version": VERSION,
        "audits": [document(one) for one in audits],
        "not_read": [{"file": name, "why": why} for name, why in unread],
    }


def _finding(one: AuditFinding) -> dict[str, Any]:
    return {
        "verdict": one.verdict,
        "table": one.table,
        "row": one.row,
        "column": one.column,
        "cell": one.cell,
        "label": one.label,
        "food": one.food or None,
        "form": one.form or None,
        "pack": one.pack or None,
        "jar": one.jar or None,
        "canner": one.canner or None,
        "altitude_from_ft": one.altitude_from_ft,
        "altitude_to_ft": one.altitude_to_ft,
        "stated": one.stated,
        "published": [_published(value) for value in one.published],
        "page": one.page,
        "why": one.why,
        "looks_like": one.looks_like,
        "instead": one.instead,
        "history": documents.stated(one.history),
    }


def _published(value: Published) -> dict[str, Any]:
    return {
        "pack": value.pack or None,
        "jar": value.jar or None,
        "canner": value.canner or None,
        "altitude_from_ft": value.altitude_from_ft,
        "altitude_to_ft": value.altitude_to_ft,
        "minutes": value.minutes,
        "pressure_psi": value.pressure_psi,
        "text": value.text,
        "page": value.page.page,
        "source": value.page.id,
    }

"""An audit for programs: in the shape that schema/audit.json gives, whatever the audit holds."""

from __future__ import annotations

import copy
import json

import jsonschema
import pytest

import stillroom
from stillroom.foreign.audited import AuditFinding
from stillroom.sheets import audit_document
from tests.audit import made
from tests.conftest import ROOT

# JSON Schema, draft 2020-12, by the reference library jsonschema
SCHEMA = json.loads((ROOT / "schema/audit.json").read_text())
VALID = jsonschema.Draft202012Validator(SCHEMA)


def test_one_audit_and_many_are_in_the_shape_of_the_schema():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    hostile = made.audit(file="<script>\u202e", findings=(made.finding("weaker", 2, (1,), cell="=1+1\x1b"),))
    for found in (made.audit(), made.clean(), hostile, made.audit(altitude_ft=1650.5, left_out=("x",))):
        document = json.loads(json.dumps(audit_document.document(found)))
        VALID.validate(document)
        VALID.validate(audit_document.documents_of([found], [("torn.csv", "no table")]))
    VALID.validate(stillroom.audit(ROOT / "shared/demo/roots.csv", missing=True).to_dict())


@pytest.mark.parametrize(
    ("place", "wrong"),
    [(("findings", 0, "verdict"), "fine"), (("counts", "same"), -1), (("sha256",), "abc"), (("version",), "0.1")],
)
def test_a_document_with_one_thing_wrong_is_refused_by_the_schema(place, wrong):
    document = json.loads(json.dumps(audit_document.document(made.audit())))
    VALID.validate(document)
    inner = document
    for key in place[:-1]:
        inner = inner[key]
    inner[place[-1]] = wrong
    assert not VALID.is_valid(document)


def test_a_key_that_is_missing_is_refused():
    document = audit_document.document(made.audit())
    for key in document:
        without = copy.deepcopy(document)
        del without[key]
        assert not VALID.is_valid(json.loads(json.dumps(without))), key


def test_every_finding_stands_in_it_with_what_is_published_and_the_page():
    document = audit_document.document(made.audit())
    assert [one["verdict"] for one in document["findings"]] == [one.verdict for one in made.findings()]
    weaker = document["findings"][2]
    assert (weaker["row"], weaker["column"], weaker["stated"]) == (3, "Pints", "15 min")
    assert weaker["published"][0]["minutes"] == 51 and weaker["published"][0]["page"] == "7-3"
    assert weaker["looks_like"] == "two digits exchanged" and weaker["history"]["page"] == "7-4"
    assert set(weaker) == {name for name in AuditFinding._fields if name != "cells"}
    assert sum(document["counts"].values()) == 18

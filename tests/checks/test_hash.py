from __future__ import annotations

import hashlib
import json

import pytest

from stillroom.desk.prepare import renewed

ALIASES, RECIPE, SCHEMA = "schedules/aliases.csv", "schedules/recipes/soups.yaml", "schema/schedule.json"


def _without(package, path):
    descriptor = json.loads(package.bytes("datapackage.json"))
    for resource in descriptor["resources"]:
        if resource["path"] == path:
            del resource["hash"]
    descriptor["hashes"].pop(path, None)
    package.put("datapackage.json", json.dumps(descriptor))


@pytest.mark.parametrize("path", [ALIASES, RECIPE, SCHEMA])
def test_a_file_that_changed_since_its_review_is_found_and_the_new_hash_is_given(package, path):
    package.put(path, package.bytes(path) + b"\n")
    (finding,) = package.found("hash")
    assert finding.file == path
    assert hashlib.sha256(package.bytes(path)).hexdigest() in finding.mend


@pytest.mark.parametrize("path", [ALIASES, RECIPE, SCHEMA, "shared/cautions.csv", "schedules/readings/acid-first.csv"])
def test_a_hash_that_is_left_out_is_found(package, path):
    _without(package, path)
    (finding,) = package.found("hash")
    assert (finding.file, "carries no hash" in finding.wrong) == (path, True)


def test_all_hashes_taken_out_at_once_are_found(package):
    descriptor = json.loads(package.bytes("datapackage.json"))
    del descriptor["hashes"]
    for resource in descriptor["resources"]:
        resource.pop("hash", None)
    package.put("datapackage.json", json.dumps(descriptor))
    assert len(package.found("hash")) > 180


def test_a_recipe_that_is_new_or_gone_is_found(package):
    package.put("schedules/recipes/new.yaml", "food: new\n")
    assert [finding.file for finding in package.found("hash")] == ["schedules/recipes/new.yaml"]
    (package.root / "schedules/recipes/new.yaml").unlink()
    (package.root / RECIPE).unlink()
    (finding,) = package.found("hash")
    assert finding.file == "datapackage.json" and RECIPE in finding.wrong


def test_near_misses_an_unchanged_file_and_a_table_that_is_built_from_others_are_no_findings(package):
    package.edit("schedules/vegetables.csv", 2, minutes="99")
    assert package.found("hash") == ()


def test_renewed_hashes_are_those_of_the_files_and_nothing_else_of_the_descriptor_changes(package):
    before = json.loads(package.bytes("datapackage.json"))
    _without(package, RECIPE)
    package.put(ALIASES, package.bytes(ALIASES) + b"\n")
    assert set(renewed(str(package.root))) == {RECIPE, ALIASES}
    assert package.found("hash") == ()
    after = json.loads(package.bytes("datapackage.json"))
    for descriptor in (before, after):
        descriptor.pop("hashes")
        for resource in descriptor["resources"]:
            resource.pop("hash", None)
    assert before == after

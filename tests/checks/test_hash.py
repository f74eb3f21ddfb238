from __future__ import annotations

import hashlib
import json


def _declare(package, name, value):
    descriptor = json.loads(package.bytes("datapackage.json"))
    resource = next(r for r in descriptor["resources"] if r["name"] == name)
    resource.update({"hash": value} if value else {})
    if not value:
        resource.pop("hash", None)
    package.put("datapackage.json", json.dumps(descriptor))


def test_a_file_that_changed_since_its_review_is_found_and_the_new_hash_is_given(package):
    _declare(package, "aliases", "sha256:" + hashlib.sha256(package.bytes("schedules/aliases.csv")).hexdigest())
    package.edit("schedules/aliases.csv", 2, food="beets")
    (finding,) = package.found("hash")
    assert finding.file == "schedules/aliases.csv"
    assert hashlib.sha256(package.bytes("schedules/aliases.csv")).hexdigest() in finding.mend


def test_near_misses_an_unchanged_file_and_one_without_a_hash_are_no_findings(package):
    _declare(package, "aliases", "sha256:" + hashlib.sha256(package.bytes("schedules/aliases.csv")).hexdigest())
    _declare(package, "forms", None)
    package.edit("schedules/forms.csv", 2, title="with its bones")
    assert package.found("hash") == ()

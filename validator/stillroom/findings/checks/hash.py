"""Hash: a file that no check can rebuild is as it was when it was last reviewed.

What it does
------------
Every table that is not built from others, every recipe and every schema carries its SHA-256 in datapackage.json: a
table in its resource, the others in ``hashes``. Which files must carry one is fixed in the code: one without a hash is
a finding, and so is one whose bytes are others. The finding gives the new hash, to be written once the edit is
reviewed.

Why it matters
--------------
Names, statements and remarks have no second reading: no rule can tell that an alias now means another fruit. The hash
makes such an edit take a second, deliberate step. A hash that could be left out would guard nothing.

Example
-------
``schedules/aliases.csv: hash: is not as it was when reviewed; if the edit was reviewed, write "sha256:..."``

Source
------
Data Package standard, version 2: the property ``hash`` of a resource.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings import hashes
from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "hash"


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield files that carry no hash, or are not as their hash says."""
    if not package.descriptor:  # the structure check tells
        return
    declared = hashes.declared(package.descriptor)
    for path, now in hashes.actual(package).items():
        if path not in declared:
            wrong = "carries no hash in datapackage.json, so that nobody has reviewed it"
        elif declared[path] != now:
            wrong = "is not as it was when it was last reviewed"
        else:
            continue
        mend = f'if the edit was reviewed, write "{now}" for it in datapackage.json, as desk.prepare --reviewed does'
        yield Finding(NAME, path, None, "", "", wrong, "", mend)
    for path in sorted(declared.keys() - hashes.actual(package).keys()):
        yield from _of_another(package, path, declared[path])


def _of_another(package: CheckedPackage, path: str, said: str) -> Iterator[Finding]:
    """Judge a hash of a file that needs none: of a table that is built, or of one that is gone."""
    now = next((table.sha256 for table in package.tables.values() if table.file == path), None)
    if path in package.derived:
        now = hashlib.sha256(package.derived[path]).hexdigest()
    if now is None:
        wrong = f'a hash is declared for "{path[:100]}", which is not there'
        yield Finding(NAME, "datapackage.json", None, "", "", wrong, "", "restore the file, or take its hash out")
    elif said != f"sha256:{now}":
        yield Finding(NAME, path, None, "", "", "is not as it was when it was last reviewed", "", f"sha256:{now}")

"""Hash: a file whose hash is declared in datapackage.json is as it was when it was last reviewed.

What it does
------------
Where a resource of datapackage.json has a ``hash``, compares it with the SHA-256 of the file. The finding gives the new
hash, to be written there once the edit is reviewed.

Why it matters
--------------
Names, statements and remarks have no second reading: no rule can tell that an alias now means another fruit. The hash
makes such an edit take a second, deliberate step.

Example
-------
``schedules/aliases.csv: hash: is not as it was when reviewed; if the edit was reviewed, write "hash": "sha256:..."``

Source
------
Data Package standard, version 2: the property ``hash`` of a resource.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "hash"


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield files that are not as their declared hash says."""
    for resource in package.descriptor.get("resources", ()):
        table = package.tables.get(str(resource.get("name"))) if isinstance(resource, dict) else None
        if table is None or "hash" not in resource:
            continue
        actual = f"sha256:{table.sha256}"
        if resource["hash"] != actual:
            mend = f'if the edit was reviewed, write "hash": "{actual}" for {table.name} in datapackage.json'
            yield Finding(NAME, table.file, None, "", "", "is not as it was when it was last reviewed", "", mend)

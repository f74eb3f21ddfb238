"""Released: datapackage.json as a wheel carries it, with the size and the hash of every file that it names.

The working datapackage.json has no hash of a table that is built from others, as checks hold these to what they are
built from. Who reads a release has only the files: there every resource tells its ``bytes`` and its ``hash``. The build
of a wheel (``validator/released_descriptor.py``) writes it; nothing does so by hand.
"""

from __future__ import annotations

import hashlib
import json
import os
from typing import Any

from stillroom.package import files
from stillroom.package.documents import read_json

_LARGEST = 2**26


def released(root: str) -> bytes:
    """Give datapackage.json with ``bytes`` and ``hash`` in every resource.

    Parameters
    ----------
    root : str
        Folder that holds datapackage.json.

    Returns
    -------
    bytes
        JSON, the same bytes for the same files.

    Raises
    ------
    stillroom.package.files.Unread
        A file is missing, or lies outside the package.
    BadPackage
        The descriptor cannot be read.
    ValueError
        A file is not what its declared hash says: it was edited, and nobody reviewed it.
    """
    descriptor = read_json(_content(root, "datapackage.json"), "datapackage.json")
    resources = [_sized(root, resource) for resource in descriptor["resources"]]
    return f"{json.dumps({**descriptor, 'resources': resources}, indent=2, ensure_ascii=False)}\n".encode()


def _sized(root: str, resource: dict[str, Any]) -> dict[str, Any]:
    content = _content(root, resource["path"])
    own = f"sha256:{hashlib.sha256(content).hexdigest()}"
    if resource.get("hash", own) != own:
        raise ValueError(f"{resource['path']} is not as it was when it was last reviewed")
    return {**resource, "bytes": len(content), "hash": own}


def _content(root: str, path: str) -> bytes:
    return files.read(files.inside(os.path.realpath(root), path), _LARGEST)

"""Output: a file written whole or not at all."""

from __future__ import annotations

import os
import tempfile

from stillroom.errors import BadInput


def write(path: str, content: bytes, what: str) -> None:
    """Write a file beside its name and then move it under it.

    Parameters
    ----------
    path : str
        File to write; one of that name is replaced.
    content : bytes
    what : str
        What it is, for the message.

    Raises
    ------
    BadInput
        It cannot be written.
    """
    try:
        handle, part = tempfile.mkstemp(prefix=".", suffix=".part", dir=os.path.dirname(path) or ".")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            os.chmod(part, 0o644)
            os.replace(part, path)
        except BaseException:
            os.unlink(part)
            raise
    except OSError as error:
        raise BadInput(f'{what} "{path}" cannot be written: {error.strerror}') from None

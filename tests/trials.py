"""How many trials a test of chance makes: a part of them on every change, all of them by hand before a release.

``STILLROOM_THOROUGH=1 python -m pytest`` makes all. The draws differ from run to run, so that many small runs see what
one large run would.
"""

from __future__ import annotations

import os

THOROUGH = os.environ.get("STILLROOM_THOROUGH", "0") not in ("", "0")


def trials(all_of_them: int) -> int:
    """Give the number of trials: all, or a quarter of them and at least 25 where there are as many."""
    return all_of_them if THOROUGH else min(all_of_them, max(25, all_of_them // 4))

"""Arrays: the columns a run is held in."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Bytes = NDArray[np.uint8]
Small = NDArray[np.int8]
Whole = NDArray[np.int64]
Real = NDArray[np.float64]
Truth = NDArray[np.bool_]

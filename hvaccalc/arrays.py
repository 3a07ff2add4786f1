"""What arrays hold, by name: numbers, truths, places."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
"""Numbers [SI]."""

Mask = NDArray[np.bool_]
"""Which rows or elements count."""

Indices = NDArray[np.intp]
"""Places in another array."""

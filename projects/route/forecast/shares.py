"""A share out of few, with how little few say."""

from __future__ import annotations

import math

Z95 = 1.959963984540054
"""Two-sided 95 % point of the normal distribution."""


def wilson(hits: int, of: int) -> tuple[float, float]:
    """95 % limits of a share, honest for small numbers too: within 0 and 1, and never of no width.

    Source: E. B. Wilson, "Probable inference, the law of succession, and statistical inference", Journal of the
    American Statistical Association 22 (1927) 209-212. Nothing out of nothing may be anything: (0, 1).
    ``hits`` over ``of`` or negative raise ValueError.
    """
    if not 0 <= hits <= of:
        raise ValueError(f"{hits} out of {of} is no share")
    if of == 0:
        return 0.0, 1.0
    share, z2 = hits / of, Z95**2
    centre = (share + z2 / (2 * of)) / (1 + z2 / of)
    half = Z95 / (1 + z2 / of) * math.sqrt(share * (1 - share) / of + z2 / (4 * of**2))
    low = 0.0 if hits == 0 else centre - half
    return low, 1.0 if hits == of else centre + half

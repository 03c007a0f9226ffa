"""Standard-time offsets of IANA time zones."""

from __future__ import annotations

from datetime import datetime
from functools import lru_cache
from zoneinfo import ZoneInfo

RULES_YEAR = 2022


@lru_cache(maxsize=256)
def standard_offset_h(time_zone: str) -> float:
    """Hours that local standard time is ahead of UTC; raises KeyError for a name that isn't a zone.

    The lesser of January's and July's offset is standard time on both hemispheres.
    """
    try:
        zone = ZoneInfo(time_zone)
    except (ValueError, OSError, KeyError) as problem:
        raise KeyError(time_zone) from problem
    offsets = [datetime(RULES_YEAR, month, 1, tzinfo=zone).utcoffset() for month in (1, 7)]
    return min(offset.total_seconds() for offset in offsets if offset is not None) / 3600.0

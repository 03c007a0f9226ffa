"""The owner's pages as somebody signed in reads them."""

from __future__ import annotations

import re


def text_of(answer) -> str:
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", answer.content.decode())

"""The month's money before and after, on one scale: the bill today over the bill after with the loan payment."""

from __future__ import annotations

from paperwork.draw.svg import ACCENT, INK, SOFT, Drawing
from paperwork.spanish import voice
from paperwork.words import usd


def bill_drawing(
    before_usd: float,
    after_usd: float,
    loan_usd: float | None,
    *,
    width: float = 262,
    height: float = 62,
    language: str = "en",
) -> Drawing:
    """Means per month. A bill below zero (a credit) is drawn as nothing and named as what it is."""
    say = voice(language)
    loan = loan_usd or 0.0
    together = after_usd + loan
    drawing = Drawing(
        width,
        height,
        say(
            f"Electric bill today {usd(before_usd)} a month. After: bill {usd(after_usd)}"
            + (f" and loan payment {usd(loan)}, together {usd(together)} a month." if loan_usd else " a month.")
        ),
    )
    left, right = 34.0, width - 34.0
    scale = (right - left) / max(before_usd, max(after_usd, 0) + loan, 1.0)
    depth = 15.0
    top = 8.0
    drawing.text(0, top + 10, say("today"), size=7.5)
    drawing.rect(left, top, before_usd * scale, depth, fill="#ffffff", stroke=INK, stroke_width=1)
    drawing.text(left + before_usd * scale + 4, top + 10.5, usd(before_usd), size=8.5, weight=600)
    top = 34.0
    drawing.text(0, top + 10, say("after"), size=7.5)
    bill_width = max(after_usd, 0) * scale
    drawing.rect(left, top, bill_width, depth, fill="#ffffff", stroke=INK, stroke_width=1)
    if loan_usd:
        drawing.rect(left + bill_width, top, loan * scale, depth, fill=ACCENT, stroke=ACCENT)
    drawing.text(left + bill_width + loan * scale + 4, top + 10.5, usd(together), size=8.5, weight=600)
    drawing.text(left, top + 24, say(f"electric bill {usd(after_usd)}"), size=7.2, fill=INK)
    if loan_usd:
        x = max(left + bill_width, left + 72)
        drawing.text(x, top + 24, say(f"+ loan payment {usd(loan)}"), size=7.2, fill=ACCENT, weight=600)
    else:
        drawing.text(left + 72, top + 24, say("no loan counted"), size=7.2, fill=SOFT)
    return drawing

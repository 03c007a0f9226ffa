"""Which of the incentives that the office entered still count on the day the system goes into service."""

from __future__ import annotations

from datetime import date

from sizing.study.request import Economics, Incentive
from sizing.working import Term, Working


def lapsed(incentive: Incentive, in_service_on: str | None) -> bool:
    """Whether it ends before the system is in service. Without that day nothing can be called lapsed.

    An incentive counts on its last day. Dates are ISO dates, checked with the request.
    """
    if incentive.expires_on is None or in_service_on is None:
        return False
    return date.fromisoformat(incentive.expires_on) < date.fromisoformat(in_service_on)


def counted(economics: Economics) -> tuple[Incentive, ...]:
    return tuple(item for item in economics.incentives if not lapsed(item, economics.in_service_on))


def incentive_warnings(economics: Economics) -> tuple[str, ...]:
    """What is left out and why, and what is counted on a date that nobody has set."""
    out = []
    for item in economics.incentives:
        if lapsed(item, economics.in_service_on):
            out.append(
                f"{item.name} ({item.usd:,.0f} USD) is not counted: it ends on {item.expires_on}, before the system "
                f"goes into service on {economics.in_service_on}."
            )
        elif item.expires_on is not None and economics.in_service_on is None:
            out.append(
                f"{item.name} ({item.usd:,.0f} USD) is counted, but it ends on {item.expires_on} and no day of service "
                "is set: make sure that the system runs by then."
            )
    return tuple(out)


def incentive_working(economics: Economics) -> tuple[Working, ...]:
    """One line with every incentive, those left out at zero."""
    if not economics.incentives:
        return ()
    terms = tuple(
        Term(
            item.name,
            0.0 if lapsed(item, economics.in_service_on) else item.usd,
            "USD",
            ", ".join(
                part
                for part in (
                    f"entered {item.entered_on}",
                    f"ends {item.expires_on}" if item.expires_on else "",
                    f"not counted, {item.usd:,.0f} USD before it ended"
                    if lapsed(item, economics.in_service_on)
                    else "",
                    item.source,
                )
                if part
            ),
        )
        for item in economics.incentives
    )
    return (
        Working(
            "money.incentives",
            "Incentives that count on the day of service",
            "Σ of those that end on that day or later",
            terms,
            sum(item.usd for item in counted(economics)),
            "USD",
            "as entered by the office",
            remark=f"In service on {economics.in_service_on}."
            if economics.in_service_on
            else "No day of service is set: every one counts.",
        ),
    )

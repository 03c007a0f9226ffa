"""Where the inverters meet the house's service: the busbar rule, the supply side, breaker spaces."""

from __future__ import annotations

from collections.abc import Sequence

from sizing.electrical.editions import section
from sizing.electrical.overcurrent import largest_rating_up_to_a, next_rating_a
from sizing.study.request import CodeEdition, Service
from sizing.study.result import Check
from sizing.working import Term, Working

LARGEST_DWELLING_BUSBAR_A = 400.0
"""Of panels sold for dwellings; common practice, no source."""


def opposite_end_allowed_a(busbar_a: float, main_breaker_a: float) -> float:
    """Largest inverter output current, A: main + 1.25 x I may not pass 1.2 x busbar, breaker at the opposite end."""
    return max(1.2 * busbar_a - main_breaker_a, 0.0) / 1.25


def busbar_needed_a(main_breaker_a: float, inverter_a: float, *, opposite_end: bool) -> float:
    """Smallest busbar for an inverter current: sum rule anywhere on it, or the 120 % rule at the opposite end."""
    total = main_breaker_a + 1.25 * inverter_a
    return total / 1.2 if opposite_end else total


def busbar_check(service: Service, inverter_a: float, edition: CodeEdition) -> tuple[Check, Working]:
    """125 % of all inverters' output current plus the main breaker against 120 % of the busbar."""
    total, limit = service.main_breaker_a + 1.25 * inverter_a, 1.2 * service.busbar_a
    passes = total <= limit + 1e-9
    advice = ""
    if not passes:
        smaller_main = largest_rating_up_to_a(limit - 1.25 * inverter_a)
        options = ["connect on the supply side"]
        if total / 1.2 <= LARGEST_DWELLING_BUSBAR_A:
            options.append(f"use a {next_rating_a(total / 1.2):.0f} A busbar")
        if edition != "2017":
            allowed = opposite_end_allowed_a(service.busbar_a, service.main_breaker_a)
            options.append(f"hold the sources to {allowed:.1f} A with a listed power control system (705.13)")
        if smaller_main is not None and smaller_main >= 0.5 * service.main_breaker_a:
            options.insert(0, f"put in a {smaller_main:.0f} A main breaker if the load calculation allows it")
        advice = (
            f"The busbar is {total - limit:.0f} A short. Either "
            + ", or ".join(options)
            + ". The licensed electrician decides."
        )
    check = Check(
        "interconnection.busbar",
        "Busbar of the main panel, breaker at the end opposite the main",
        passes,
        f"{service.main_breaker_a:.0f} + 1.25 × {inverter_a:.1f} = {total:.1f} A",
        f"1.2 × {service.busbar_a:.0f} = {limit:.0f} A",
        section("busbar", edition),
        advice,
    )
    working = Working(
        "interconnection.busbar",
        "Main breaker and 125 % of the inverters' current against 120 % of the busbar",
        "I_main + 1.25 × I_inv ≤ 1.2 × I_bus",
        (
            Term("I_main", service.main_breaker_a, "A"),
            Term("I_inv", inverter_a, "A", "all inverters, AC-coupled batteries among them"),
            Term("I_bus", service.busbar_a, "A"),
        ),
        total,
        "A",
        section("busbar", edition),
        limit=limit,
        passes=passes,
        remark="The breaker stands at the end of the busbar opposite the main, with the warning label of the rule.",
    )
    return check, working


def backup_busbar(feeder_a: float, sources_a: float, edition: CodeEdition, *, of: str) -> tuple[float, Check, Working]:
    """(least standard busbar, check, working) of a critical-loads panel that PV and battery feed, opposite its feeder.

    ``feeder_a``: the feeder's overcurrent device; ``sources_a``: output current of all sources on the panel,
    which ``of`` names.
    """
    needed = busbar_needed_a(feeder_a, sources_a, opposite_end=True)
    source = section("busbar", edition) + "; 400 A: common practice, no source"
    busbar_a, passes = next_rating_a(needed), needed <= LARGEST_DWELLING_BUSBAR_A
    check = Check(
        "interconnection.backup_busbar",
        "Busbar of the critical-loads panel, sources opposite the feeder",
        passes,
        f"({feeder_a:.0f} + 1.25 × {sources_a:.1f}) / 1.2 = {needed:.0f} A",
        f"{LARGEST_DWELLING_BUSBAR_A:.0f} A at most",
        source,
        "" if passes else "Fewer or smaller sources on one panel, or two panels.",
    )
    working = Working(
        "interconnection.backup_busbar",
        "Least busbar of the critical-loads panel",
        "(I_feeder + 1.25 × I_src) / 1.2",
        (
            Term("I_feeder", feeder_a, "A", "overcurrent device of the feeder"),
            Term("I_src", sources_a, "A", of),
        ),
        needed,
        "A",
        source,
        limit=LARGEST_DWELLING_BUSBAR_A,
        passes=passes,
        remark="The sources' breakers stand at the end of the busbar opposite the feeder; the next standard rating is "
        f"{busbar_a:.0f} A.",
    )
    return busbar_a, check, working


def stand_alone_busbar(
    service: Service, sources: Sequence[tuple[str, int, float]], edition: CodeEdition
) -> tuple[Check, Working]:
    """125 % of all sources' output current against the busbar of a panel in which they meet without a utility.

    ``sources``: (what, how many, output current of one in A). No supply breaker adds to them, so the rule for sources
    anywhere on a busbar asks for their sum alone. Article 705 is written for sources beside another; that its busbar
    rule is the right one for a panel off the grid is from memory.
    """
    current = sum(count * each for _, count, each in sources)
    total = 1.25 * current
    known, fits = service.busbar_known, total <= service.busbar_a + 1e-9
    source = section("busbar_sum", edition) + ", on a stand-alone panel: from memory"
    rating = f"a {next_rating_a(total):.0f} A busbar" if total <= LARGEST_DWELLING_BUSBAR_A else "two panels"
    if not known:
        advice = (
            "Read the busbar's rating off the label in the panel and record it with the electrical service: these "
            f"sources ask for {total:.0f} A at least."
        )
    else:
        advice = "" if fits else f"Put in {rating}, or fewer or smaller sources. The licensed electrician decides."
    check = Check(
        "stand_alone.busbar",
        "Busbar of the panel where PV and battery meet",
        known and fits,
        f"1.25 × {current:.1f} = {total:.1f} A",
        f"{service.busbar_a:.0f} A" if known else "busbar not given",
        source,
        advice,
    )
    working = Working(
        "stand_alone.busbar",
        "125 % of all sources' current against the busbar of the panel where they meet",
        "1.25 × Σ I_src ≤ I_bus",
        tuple(Term(f"I_src, {what}", each, "A", f"{count} of them") for what, count, each in sources),
        total,
        "A",
        source,
        limit=service.busbar_a if known else None,
        passes=known and fits,
        remark="No utility and no supply breaker: the sources alone feed the busbar, wherever their breakers stand."
        + ("" if known else " The busbar's rating is not given."),
    )
    return check, working


def supply_side_check(service: Service, overcurrent_a: float, edition: CodeEdition) -> tuple[Check, Working]:
    """The devices of all sources on the supply side against the service's rating."""
    passes = overcurrent_a <= service.rating_a + 1e-9
    check = Check(
        "interconnection.supply_side",
        "Supply-side connection",
        passes,
        f"{overcurrent_a:.0f} A",
        f"{service.rating_a:.0f} A service",
        section("supply_side", edition),
        "" if passes else "The sources may not exceed the service's rating: a smaller system or a larger service.",
    )
    working = Working(
        "interconnection.supply_side",
        "Overcurrent devices of all inverters against the rating of the service",
        "Σ I_oc ≤ I_service",
        (Term("I_service", service.rating_a, "A"),),
        overcurrent_a,
        "A",
        section("supply_side", edition),
        limit=service.rating_a,
        passes=passes,
        remark="The disconnect is rated at least 60 A (230.79(D)); ahead of it stands only the service.",
    )
    return check, working


def breaker_space_check(service: Service, sources: int) -> Check:
    """Two-pole breakers of all inverters and AC-coupled batteries against the free spaces."""
    needed = 2 * sources
    passes = needed <= service.free_breaker_spaces
    return Check(
        "interconnection.breaker_spaces",
        "Free breaker spaces in the main panel",
        passes,
        f"{needed} spaces",
        f"{service.free_breaker_spaces} free",
        "survey of the main panel",
        "" if passes else "Free a space (tandem breakers only where the panel is listed for them) or add a subpanel.",
    )

"""Names of rules to section numbers of the edition that the jurisdiction has adopted."""

from __future__ import annotations

from sizing.electrical.tables import table
from sizing.study.request import CodeEdition


def section(rule: str, edition: CodeEdition) -> str:
    """ "2020 NEC 705.12(B)(3)(2)" for ``section("busbar", "2020")``. Raises KeyError for a rule we don't know."""
    for row in table("editions"):
        if row["rule"] == rule:
            number: str = row[edition]
            return f"{edition} NEC {number}"
    raise KeyError(rule)


def sections(edition: CodeEdition, *rules: str) -> str:
    """Several rules in one citation: "2020 NEC 690.8(B), 310.15(B)(2)"."""
    return f"{edition} NEC " + ", ".join(section(rule, edition).split(" NEC ")[1] for rule in rules)

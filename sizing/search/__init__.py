"""Every design that a catalogue allows on a house, and which of them meets the customer's wish for the least money."""

from sizing.search.answer import Found, SearchResult
from sizing.search.catalogue import BatteryOffer, CostRule, InverterOffer, ModuleOffer, Space, Wish
from sizing.search.run import search

__all__ = [
    "BatteryOffer",
    "CostRule",
    "Found",
    "InverterOffer",
    "ModuleOffer",
    "SearchResult",
    "Space",
    "Wish",
    "search",
]

"""What the single-line diagram shows, already in words, and the sheet its parts are placed on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from paperwork.draw import symbols as s
from paperwork.draw.svg import Drawing, Point, wrapped
from paperwork.words import glued

LINE = 7.7
SIZE = 7.0
LABEL_WIDTH = 76.0
PANEL_LABEL = 84.0
SERVICE_LABEL = 54.0
UTILITY_LABEL = 44.0


@dataclass(frozen=True)
class Label:
    title: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class StringRow:
    title: str
    """Above the wire: the plane."""
    note: str
    """Below the wire: "2 strings of 11, input 1"."""


@dataclass(frozen=True)
class OneLine:
    """Everything the drawing shows, already in words. A device that is None isn't part of the design."""

    title: str
    rows: tuple[StringRow, ...]
    rapid_shutdown: str
    dc_disconnect: Label
    inverter: Label
    main_panel: Label
    grounding: Label
    source_circuits: int = 1
    """Circuits of strings that run side by side on the array's one line."""
    combiner: Label | None = None
    battery: Label | None = None
    battery_disconnect: Label | None = None
    generator: Label | None = None
    generator_disconnect: Label | None = None
    backup_interface: Label | None = None
    critical_panel: Label | None = None
    ac_disconnect: Label | None = None
    ac_disconnect_fused: bool = False
    meter: Label | None = None
    utility: Label | None = None
    ac_coupled: bool = False
    """The battery has an inverter of its own: it meets the PV in a panel, not at the PV inverter."""
    pv_breaker: str = ""
    battery_breaker: str = ""
    feeder_breaker: str = ""
    """In the panel where PV and battery meet; the other two are of the main panel."""
    supply_side: bool = False
    panel_breaker: str = ""
    main_breaker: str = ""
    tags: Mapping[str, str] = field(default_factory=dict)
    """Circuit key to the letter of the conductor schedule."""
    shutdown_title: str = "Rapid shutdown (RS)"
    more_rows: str = "and {n} more string groups, in the string schedule"


class Sheet:
    def __init__(self, plan: OneLine, width: float, least_height: float) -> None:
        self.plan = plan
        self.drawing = Drawing(width, least_height, plan.title)
        self.lowest = 0.0

    def label_above(self, x: float, bottom: float, label: Label, width: float = LABEL_WIDTH) -> None:
        lines = lines_of(label, width)
        for i, (text, weight) in enumerate(lines):
            self._text(x, bottom - (len(lines) - 1 - i) * LINE, text, weight, "middle")

    def label_below(
        self, x: float, top: float, label: Label, width: float = LABEL_WIDTH, anchor: str = "middle"
    ) -> None:
        for i, (text, weight) in enumerate(lines_of(label, width)):
            self._text(x, top + SIZE + i * LINE, text, weight, anchor)

    def label_beside(self, x: float, middle: float, label: Label, width: float, anchor: str) -> None:
        height = len(lines_of(label, width)) * LINE
        self.label_below(x, middle - height / 2, label, width, anchor)

    def _text(self, x: float, y: float, text: str, weight: int, anchor: str) -> None:
        box = self.drawing.text(x, y, text, size=SIZE, weight=weight, anchor=anchor, keep=True)
        self.lowest = max(self.lowest, box.y1)

    def tag(self, key: str, at: Point) -> None:
        if letter := self.plan.tags.get(key):
            s.tag(self.drawing, at, letter)

    def device(self, draw: Callable[..., s.Ports], at: Point, what: str, **options: bool) -> s.Ports:
        ports = draw(self.drawing, at, what, **options)
        self.lowest = max(self.lowest, ports.bottom[1])
        return ports


def lines_of(label: Label, width: float) -> list[tuple[str, int]]:
    """Text and weight of each line, wrapped to the column."""
    out = [(line, 600) for line in wrapped(glued(label.title), SIZE, width, 600)]
    for text in label.lines:
        out.extend((line, 500) for line in wrapped(glued(text), SIZE, width, 500))
    return out

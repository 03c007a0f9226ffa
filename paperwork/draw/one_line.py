"""The single-line diagram: devices of the design on a grid, power from the array on the left to the utility.

The grid makes overlaps impossible by construction (labels are wrapped to their column); the tests prove it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from paperwork.draw import symbols as s
from paperwork.draw.svg import Drawing, Point, text_width, wrapped
from paperwork.words import glued

LINE = 7.4
SIZE = 6.7
LABEL_WIDTH = 76.0
ARRAY_X = 8.0
RISER_X = 176.0
ROW_PITCH = 34.0
MOST_ROWS = 9


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
    supply_side: bool = False
    panel_breaker: str = ""
    main_breaker: str = ""
    tags: Mapping[str, str] = field(default_factory=dict)
    """Circuit key to the letter of the conductor schedule."""


class _Sheet:
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


def one_line_drawing(plan: OneLine, *, width: float = 718.0, least_height: float = 250.0) -> Drawing:
    sheet = _Sheet(plan, width, least_height)
    on_row = [plan.dc_disconnect, plan.inverter, plan.backup_interface, plan.ac_disconnect]
    raised = [plan.meter, plan.utility] if plan.supply_side else [plan.main_panel, plan.meter, plan.utility]
    deepest = max(len(lines_of(label, LABEL_WIDTH)) for label in on_row if label) * LINE + 36
    deepest_raised = max(
        (len(lines_of(label, _raised_width(label, plan))) for label in raised if label), default=0
    ) * LINE + (74 if not plan.supply_side else 24)
    rows = plan.rows[:MOST_ROWS]
    y0 = max(deepest, deepest_raised, (len(rows) - 1) * ROW_PITCH / 2 + 24, 78.0)
    x = _array(sheet, rows, y0)
    x = _direct_current(sheet, x, y0)
    _alternating_current(sheet, x, y0)
    sheet.drawing.height = max(least_height, sheet.lowest + 6)
    return sheet.drawing


def _raised_width(label: Label | None, plan: OneLine) -> float:
    return PANEL_LABEL if label is plan.main_panel else SERVICE_LABEL


PANEL_LABEL = 84.0
SERVICE_LABEL = 54.0


def _array(sheet: _Sheet, rows: tuple[StringRow, ...], y0: float) -> float:
    """String groups with their rapid shutdown, gathered on the riser. Returns where the row goes on."""
    d, plan = sheet.drawing, sheet.plan
    top = y0 - (len(rows) - 1) * ROW_PITCH / 2
    for i, row in enumerate(rows):
        y = top + i * ROW_PITCH
        ports = sheet.device(s.string_of_modules, (ARRAY_X, y), f"string {i + 1}")
        shutdown = sheet.device(s.rapid_shutdown, (ARRAY_X + 78, y), f"rapid shutdown {i + 1}")
        s.wire(d, ports.right, shutdown.left)
        s.wire(d, shutdown.right, (RISER_X, y))
        room = RISER_X - shutdown.right[0] - 8
        for text, weight, level in ((row.title, 600, y - 4.4), (row.note, 500, y + 8.4)):
            d.text(shutdown.right[0] + 4, level, _fitted(text, room, weight), size=SIZE, weight=weight, keep=True)
    bottom = top + (len(rows) - 1) * ROW_PITCH
    if len(rows) > 1:
        s.wire(d, (RISER_X, top), (RISER_X, bottom))
        for i in range(len(rows)):
            s.joint(d, (RISER_X, top + i * ROW_PITCH))
    note = Label("Rapid shutdown (RS)", (plan.rapid_shutdown,))
    left_out = len(plan.rows) - len(rows)
    if left_out:
        note = Label(
            f"and {left_out} more string groups, in the string schedule",
            (f"Rapid shutdown (RS): {plan.rapid_shutdown}",),
        )
    sheet.label_below(ARRAY_X, bottom + 15, note, RISER_X - ARRAY_X - 8, "start")
    return RISER_X


def _fitted(text: str, width: float, weight: int) -> str:
    if text_width(text, SIZE, weight) <= width:
        return text
    while text and text_width(f"{text}…", SIZE, weight) > width:
        text = text[:-1].rstrip()
    return f"{text}…"


def _direct_current(sheet: _Sheet, x: float, y0: float) -> float:
    """DC disconnect, inverter, and what hangs on the inverter: battery and generator. Returns the inverter's x."""
    d, plan = sheet.drawing, sheet.plan
    x_switch = x + 58
    wire_from: Point = (x, y0)
    if plan.combiner:
        x_switch += 16
        box = sheet.device(s.combiner, (x + 16, y0), "combiner")
        s.wire(d, (x, y0), box.left)
        wire_from = box.right
        sheet.label_below(x + 5, y0 + 15, plan.combiner, 62, "start")
    switch = sheet.device(s.switch, (x_switch, y0), "DC disconnect")
    s.wire(d, wire_from, switch.left)
    if len(plan.rows) > 1:
        s.joint(d, (x, y0))
    if plan.combiner:
        sheet.tag("pv_output", (wire_from[0] + 13, y0))
        top = y0 - (min(len(plan.rows), MOST_ROWS) - 1) * ROW_PITCH / 2
        s.wire(d, (x, top), (x, top - 12))
        sheet.tag("pv_source", (x, top - 18))
    else:
        sheet.tag("pv_source", (x + 20, y0))
    sheet.label_above(x_switch, y0 - 18, plan.dc_disconnect)
    x_inverter = x_switch + (88 if plan.combiner else 92)
    inverter = sheet.device(s.inverter, (x_inverter, y0), "inverter")
    s.wire(d, switch.right, inverter.left)
    sheet.label_above(x_inverter, y0 - 34, plan.inverter)
    if plan.battery:
        bx = x_inverter - 24
        disconnect = sheet.device(s.switch, (bx, y0 + 76), "battery disconnect", upright=True)
        s.wire(d, (bx, y0 + 28), disconnect.top)
        cells = sheet.device(s.battery, (bx, y0 + 122), "battery")
        s.wire(d, disconnect.bottom, cells.top)
        sheet.tag("battery", (bx, y0 + 44))
        if plan.battery_disconnect:
            sheet.label_beside(bx - 18, y0 + 76, plan.battery_disconnect, 84, "end")
        sheet.label_below(bx - 11, y0 + 139, plan.battery, 84)
    if plan.generator:
        gx = x_inverter + 26
        disconnect = sheet.device(s.switch, (gx, y0 + 76), "generator disconnect", upright=True)
        s.wire(d, (gx, y0 + 28), disconnect.top)
        machine = sheet.device(s.generator, (gx, y0 + 172 if plan.battery else y0 + 124), "generator")
        s.wire(d, disconnect.bottom, machine.top)
        sheet.tag("generator", (gx, y0 + 44))
        if plan.generator_disconnect:
            sheet.label_beside(gx + 17, y0 + 76, plan.generator_disconnect, 40, "start")
        sheet.label_below(gx + 19, machine.top[1] + 6, plan.generator, 78, "start")
    return x_inverter


def _alternating_current(sheet: _Sheet, x_inverter: float, y0: float) -> None:
    d, plan = sheet.drawing, sheet.plan
    x, wire_from = x_inverter, (x_inverter + 36, y0)
    if plan.backup_interface:
        x += 96
        ports = sheet.device(s.changeover, (x, y0), "backup interface")
        s.wire(d, wire_from, ports.left)
        sheet.label_above(x, y0 - 26, plan.backup_interface, 72)
        if plan.critical_panel:
            _critical_panel(sheet, x, y0)
        wire_from = ports.right
    if plan.ac_disconnect:
        x += 86 if plan.backup_interface else 108
        ports = sheet.device(s.switch, (x, y0), "AC disconnect", fused=plan.ac_disconnect_fused)
        s.wire(d, wire_from, ports.left)
        sheet.tag("inverter_output", (wire_from[0] + 16, y0))
        sheet.label_above(x, y0 - 18, plan.ac_disconnect, 72)
        wire_from = ports.right
    if plan.supply_side:
        _supply_side(sheet, x, y0, wire_from)
    elif plan.meter:
        _busbar(sheet, x + 84, y0, wire_from)
    else:
        _stand_alone_panel(sheet, x + 96, y0, wire_from)


def _critical_panel(sheet: _Sheet, x: float, y0: float) -> None:
    """Below the backup interface: the panel of the loads that stay on."""
    d, plan = sheet.drawing, sheet.plan
    assert plan.critical_panel
    top, left, right = y0 + 62, x - 17, x + 17
    s.wire(d, (x, y0 + 20), (x, top))
    sheet.tag("backup_feeder", (x, y0 + 38))
    d.symbols.append(s.Box(left, top, right, top + 58, "critical-loads panel"))
    d.rect(left, top, right - left, 58, stroke_width=0.9)
    s.breaker(d, (x, top), (x, top + 20))
    d.line((x, top + 20), (x, top + 52), stroke_width=2.6)
    for level in (top + 30, top + 46):
        s.breaker(d, (x, level), (right, level))
    sheet.lowest = max(sheet.lowest, top + 58)
    sheet.label_below(right + 6, top, plan.critical_panel, 92, "start")


def _panel_box(sheet: _Sheet, x: float, top: float, bottom: float) -> None:
    d = sheet.drawing
    d.symbols.append(s.Box(x - 30, top, x + 30, bottom, "main panel"))
    d.rect(x - 30, top, 60, bottom - top, stroke_width=1.3)
    sheet.lowest = max(sheet.lowest, bottom)


def _loads(sheet: _Sheet, x: float, levels: tuple[float, ...], sides: tuple[int, ...]) -> None:
    """Load breakers on the bus with an arrow out of the panel."""
    d = sheet.drawing
    for level, side in zip(levels, sides, strict=True):
        s.breaker(d, (x, level), (x + side * 24, level))
        d.polyline(
            [(x + side * 22, level - 2.6), (x + side * 27, level), (x + side * 22, level + 2.6)], stroke_width=0.9
        )


def _earth(sheet: _Sheet, x: float, bottom: float, label_width: float) -> None:
    d, plan = sheet.drawing, sheet.plan
    s.wire(d, (x, bottom), (x, bottom + 22))
    earth = sheet.device(s.ground, (x, bottom + 22), "grounding electrode")
    sheet.label_below(x, earth.bottom[1] + 4, plan.grounding, label_width)


def _busbar(sheet: _Sheet, x: float, y0: float, wire_from: Point) -> None:
    """Main panel with the PV breaker at the far end of the busbar; meter and utility on the service."""
    d, plan = sheet.drawing, sheet.plan
    assert plan.meter and plan.utility
    service = y0 - 42
    _panel_box(sheet, x, y0 - 58, y0 + 16)
    d.line((x, service - 4), (x, y0 + 8), stroke_width=3.2)
    s.wire(d, wire_from, (x - 30, y0))
    s.breaker(d, (x - 30, y0), (x, y0))
    s.breaker(d, (x + 30, service), (x, service))
    _loads(sheet, x, (y0 - 22, y0 - 6), (1, 1))
    _loads(sheet, x, (y0 - 22,), (-1,))
    _breaker_words(sheet, x - 26, y0 + 13, plan.panel_breaker, "start")
    _breaker_words(sheet, x + 26, service - 8, plan.main_breaker, "end")
    x_meter = x + 64
    meter = sheet.device(s.meter, (x_meter, service), "meter")
    s.wire(d, (x + 30, service), meter.left)
    x_utility = d.width - 19
    line = sheet.device(s.utility, (x_utility, service), "utility")
    s.wire(d, meter.right, line.left)
    sheet.label_above(x - 2, y0 - 64, plan.main_panel, PANEL_LABEL)
    sheet.label_above(x_meter + 2, service - 18, plan.meter, SERVICE_LABEL)
    sheet.label_below(d.width - SERVICE_LABEL, service + 18, plan.utility, SERVICE_LABEL, "start")
    _earth(sheet, x, y0 + 16, 120)


def _breaker_words(sheet: _Sheet, x: float, y: float, text: str, anchor: str) -> None:
    if text:
        sheet.drawing.text(x, y, text, size=6.2, weight=600, anchor=anchor)


def _supply_side(sheet: _Sheet, x: float, y0: float, wire_from: Point) -> None:
    """Joined to the service between meter and main breaker; the main panel hangs below the joint."""
    d, plan = sheet.drawing, sheet.plan
    assert plan.meter and plan.utility
    x_tap = x + 62
    s.wire(d, wire_from, (x_tap, y0))
    x_meter = x_tap + 62
    meter = sheet.device(s.meter, (x_meter, y0), "meter")
    s.wire(d, (x_tap, y0), meter.left)
    s.joint(d, (x_tap, y0))
    line = sheet.device(s.utility, (d.width - 19, y0), "utility")
    s.wire(d, meter.right, line.left)
    sheet.label_above(x_meter, y0 - 20, plan.meter, SERVICE_LABEL + 8)
    sheet.label_above(d.width - SERVICE_LABEL / 2 - 2, y0 - 20, plan.utility, SERVICE_LABEL)
    top = y0 + 30
    s.wire(d, (x_tap, y0), (x_tap, top))
    _panel_box(sheet, x_tap, top, top + 76)
    s.breaker(d, (x_tap, top), (x_tap, top + 24))
    d.line((x_tap, top + 24), (x_tap, top + 68), stroke_width=3.2)
    _loads(sheet, x_tap, (top + 36, top + 56), (1, 1))
    _loads(sheet, x_tap, (top + 36, top + 56), (-1, -1))
    _breaker_words(sheet, x_tap + 7, top + 14, plan.main_breaker, "start")
    sheet.label_below(x_tap + 38, top + 4, plan.main_panel, PANEL_LABEL, "start")
    _earth(sheet, x_tap, top + 76, 120)


def _stand_alone_panel(sheet: _Sheet, x: float, y0: float, wire_from: Point) -> None:
    """No utility: the inverter feeds the house's panel through its main breaker."""
    d, plan = sheet.drawing, sheet.plan
    _panel_box(sheet, x, y0 - 16, y0 + 60)
    s.wire(d, wire_from, (x - 30, y0))
    s.breaker(d, (x - 30, y0), (x, y0))
    d.line((x, y0 - 8), (x, y0 + 52), stroke_width=3.2)
    _loads(sheet, x, (y0 + 4, y0 + 24, y0 + 44), (1, 1, 1))
    _loads(sheet, x, (y0 + 24, y0 + 44), (-1, -1))
    _breaker_words(sheet, x - 27, y0 - 8, plan.main_breaker, "start")
    sheet.label_above(x, y0 - 22, plan.main_panel, 120)
    _earth(sheet, x, y0 + 60, 130)

"""The single-line diagram: devices of the design on a grid, power from the array on the left to the utility.

The grid makes overlaps impossible by construction (labels are wrapped to their column); the tests prove it.
"""

from __future__ import annotations

import math

from paperwork.draw import symbols as s
from paperwork.draw.one_line_ac import alternating_current
from paperwork.draw.one_line_sheet import (
    LABEL_WIDTH,
    LINE,
    PANEL_LABEL,
    SERVICE_LABEL,
    SIZE,
    UTILITY_LABEL,
    Label,
    OneLine,
    Sheet,
    StringRow,
    lines_of,
)
from paperwork.draw.svg import Drawing, Point, text_width

ARRAY_X = 8.0
RISER_X = 176.0
ROW_PITCH = 34.0
MOST_ROWS = 9


def one_line_drawing(plan: OneLine, *, width: float = 718.0, least_height: float = 250.0) -> Drawing:
    sheet = Sheet(plan, width, least_height)
    on_row = [plan.dc_disconnect, plan.inverter, plan.backup_interface, plan.ac_disconnect]
    raised = [plan.meter, plan.utility] if plan.supply_side else [plan.main_panel, plan.utility]
    deepest = max(len(lines_of(label, LABEL_WIDTH)) for label in on_row if label) * LINE + 36
    deepest_raised = max(
        (len(lines_of(label, _raised_width(label, plan))) for label in raised if label), default=0
    ) * LINE + (74 if not plan.supply_side else 24)
    rows = plan.rows[:MOST_ROWS]
    # On whole points: the middle of a symbol, worked out from its edges, then lies exactly on the wire.
    y0 = float(math.ceil(max(deepest, deepest_raised, (len(rows) - 1) * ROW_PITCH / 2 + 24, 78.0)))
    x = _array(sheet, rows, y0)
    x = _direct_current(sheet, x, y0)
    alternating_current(sheet, x, y0)
    sheet.drawing.height = max(least_height, sheet.lowest + 4)
    return sheet.drawing


def _raised_width(label: Label | None, plan: OneLine) -> float:
    if label is plan.main_panel:
        return PANEL_LABEL
    return SERVICE_LABEL if plan.supply_side else UTILITY_LABEL


def _array(sheet: Sheet, rows: tuple[StringRow, ...], y0: float) -> float:
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
        # No joints: the circuits run side by side, and stay apart as far as combiner or inverter.
        s.wire(d, (RISER_X, top), (RISER_X, bottom))
    note = Label(plan.shutdown_title, (plan.rapid_shutdown,))
    left_out = len(plan.rows) - len(rows)
    if left_out:
        note = Label(
            plan.more_rows.format(n=left_out),
            (f"{plan.shutdown_title}: {plan.rapid_shutdown}",),
        )
    sheet.label_below(ARRAY_X, bottom + 15, note, RISER_X - ARRAY_X - 8, "start")
    return RISER_X


def _fitted(text: str, width: float, weight: int) -> str:
    if text_width(text, SIZE, weight) <= width:
        return text
    while text and text_width(f"{text}…", SIZE, weight) > width:
        text = text[:-1].rstrip()
    return f"{text}…"


def _direct_current(sheet: Sheet, x: float, y0: float) -> float:
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
    if plan.combiner:
        sheet.tag("pv_output", (wire_from[0] + 13, y0))
        top = y0 - (min(len(plan.rows), MOST_ROWS) - 1) * ROW_PITCH / 2
        s.wire(d, (x, top), (x, top - 12))
        sheet.tag("pv_source", (x, top - 18))
    else:
        sheet.tag("pv_source", (x + 14, y0))
        if plan.source_circuits > 1:
            s.side_by_side(d, (x + 29, y0), plan.source_circuits)
    sheet.label_above(x_switch, y0 - 18, plan.dc_disconnect)
    x_inverter = x_switch + (88 if plan.combiner else 92)
    inverter = sheet.device(s.inverter, (x_inverter, y0), "inverter")
    s.wire(d, switch.right, inverter.left)
    sheet.label_above(x_inverter, y0 - 34, plan.inverter)
    if plan.ac_coupled:
        return x_inverter
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

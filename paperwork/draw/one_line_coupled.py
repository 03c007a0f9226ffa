"""A battery with its own inverter in the single-line diagram: it meets the PV inverter in a panel, on AC.

Beside a grid that is the critical-loads panel, behind the backup interface; off the grid it is the house's panel. The
battery, its disconnect and the generator that comes in through it stand on a level of their own below the PV inverter.
"""

from __future__ import annotations

from paperwork.draw import symbols as s
from paperwork.draw.one_line_sheet import Sheet
from paperwork.draw.svg import Box, Point

BATTERY_LEVEL = 120.0
"""Of the battery's circuit, below the PV inverter's."""
PANEL_TOP = 62.0
HALF_PANEL = 30.0


def storage(sheet: Sheet, x_inverter: float, y0: float) -> Point:
    """Generator, battery and disconnect from left to right. Returns where the battery's circuit goes on."""
    plan, d = sheet.plan, sheet.drawing
    level = y0 + BATTERY_LEVEL
    x = x_inverter - 26
    unit = sheet.device(s.storage_unit, (x, level), "battery")
    if plan.battery and plan.generator:
        sheet.label_below(x, level + 35, plan.battery, 84)
    elif plan.battery:
        sheet.label_beside(x - 30, level, plan.battery, 84, "end")
    switch = sheet.device(s.switch, (x + 51, level), "battery disconnect")
    s.wire(d, unit.right, switch.left)
    if plan.battery_disconnect:
        sheet.label_above(x + 51, level - 15, plan.battery_disconnect, 42)
    if plan.generator:
        entry = sheet.device(s.switch, (x - 57, level), "generator disconnect")
        machine = sheet.device(s.generator, (x - 96, level), "generator")
        s.wire(d, machine.right, entry.left)
        s.wire(d, entry.right, unit.left)
        sheet.tag("generator", (x - 33, level))
        if plan.generator_disconnect:
            sheet.label_above(x - 57, level - 16, plan.generator_disconnect, 44)
        sheet.label_below(x - 96, level + 17, plan.generator, 62)
    return switch.right


def backup_panel(sheet: Sheet, x_inverter: float, x: float, y0: float, from_battery: Point) -> None:
    """The critical-loads panel below the backup interface at ``x``: feeder on top, both sources at the other end."""
    d, plan = sheet.drawing, sheet.plan
    top, pv_level, level = y0 + PANEL_TOP, y0 + 90, y0 + BATTERY_LEVEL
    left, right, bottom = x - HALF_PANEL, x + HALF_PANEL, level + 10
    s.wire(d, (x, y0 + 20), (x, top))
    sheet.tag("backup_feeder", (x, y0 + 41))
    d.symbols.append(Box(left, top, right, bottom, "critical-loads panel"))
    d.rect(left, top, right - left, bottom - top, stroke_width=1.3)
    s.breaker(d, (x, top), (x, top + 20))
    d.line((x, top + 20), (x, bottom - 4), stroke_width=3.2)
    for load in (top + 26, top + 38):
        s.breaker(d, (x, load), (right, load))
    sheet.lowest = max(sheet.lowest, bottom)
    d.text(x + 7, top + 13, plan.feeder_breaker, size=7.0, weight=600)
    down = x_inverter + 51
    s.wire(d, (x_inverter + 36, y0), (down, y0), (down, pv_level), (left, pv_level))
    sheet.tag("inverter_output", (down, y0 + 46))
    source_breaker(sheet, x, pv_level, plan.pv_breaker)
    s.wire(d, from_battery, (left, level))
    sheet.tag("battery", (x_inverter + 54, level))
    source_breaker(sheet, x, level, plan.battery_breaker)
    if plan.critical_panel:
        sheet.label_below(right + 6, top, plan.critical_panel, 76, "start")


def source_breaker(sheet: Sheet, x: float, level: float, words: str) -> None:
    """From the panel's left side onto its busbar at ``x``, with its rating above."""
    s.breaker(sheet.drawing, (x - HALF_PANEL, level), (x, level))
    if words:
        sheet.drawing.text(x - HALF_PANEL + 2, level - 10, words, size=7.0, weight=600)

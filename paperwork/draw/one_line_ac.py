"""The alternating-current side of the single-line diagram: backup, disconnect, panel, meter, utility, earth."""

from __future__ import annotations

from paperwork.draw import symbols as s
from paperwork.draw.one_line_coupled import backup_panel, source_breaker, storage
from paperwork.draw.one_line_sheet import PANEL_LABEL, SERVICE_LABEL, UTILITY_LABEL, Sheet
from paperwork.draw.svg import Box, Point


def alternating_current(sheet: Sheet, x_inverter: float, y0: float) -> None:
    d, plan = sheet.drawing, sheet.plan
    x, wire_from = x_inverter, (x_inverter + 36, y0)
    from_battery = storage(sheet, x_inverter, y0) if plan.ac_coupled else None
    if plan.backup_interface:
        x += 96
        ports = sheet.device(s.changeover, (x, y0), "backup interface", below_alone=plan.ac_coupled)
        sheet.label_above(x, y0 - 26, plan.backup_interface, 72)
        if from_battery:
            backup_panel(sheet, x_inverter, x, y0, from_battery)
        else:
            s.wire(d, wire_from, ports.left)
            if plan.critical_panel:
                _critical_panel(sheet, x, y0)
        wire_from = ports.right
    if plan.ac_disconnect:
        x += 86 if plan.backup_interface else 108
        ports = sheet.device(s.switch, (x, y0), "AC disconnect", fused=plan.ac_disconnect_fused)
        s.wire(d, wire_from, ports.left)
        if not (from_battery and plan.backup_interface):
            sheet.tag("inverter_output", (wire_from[0] + 16, y0))
        sheet.label_above(x, y0 - 18, plan.ac_disconnect, 72)
        wire_from = ports.right
    if plan.supply_side:
        _supply_side(sheet, x, y0, wire_from)
    elif plan.meter:
        _busbar(sheet, x + 84, y0, wire_from)
    else:
        _stand_alone_panel(sheet, x + 96, y0, wire_from, from_battery)


def _critical_panel(sheet: Sheet, x: float, y0: float) -> None:
    """Below the backup interface: the panel of the loads that stay on."""
    d, plan = sheet.drawing, sheet.plan
    assert plan.critical_panel
    top, left, right = y0 + 62, x - 17, x + 17
    s.wire(d, (x, y0 + 20), (x, top))
    sheet.tag("backup_feeder", (x, y0 + 38))
    d.symbols.append(Box(left, top, right, top + 58, "critical-loads panel"))
    d.rect(left, top, right - left, 58, stroke_width=0.9)
    s.breaker(d, (x, top), (x, top + 20))
    d.line((x, top + 20), (x, top + 52), stroke_width=2.6)
    for level in (top + 30, top + 46):
        s.breaker(d, (x, level), (right, level))
    sheet.lowest = max(sheet.lowest, top + 58)
    sheet.label_below(right + 6, top, plan.critical_panel, 92, "start")


def _panel_box(sheet: Sheet, x: float, top: float, bottom: float) -> None:
    d = sheet.drawing
    d.symbols.append(Box(x - 30, top, x + 30, bottom, "main panel"))
    d.rect(x - 30, top, 60, bottom - top, stroke_width=1.3)
    sheet.lowest = max(sheet.lowest, bottom)


def _loads(sheet: Sheet, x: float, levels: tuple[float, ...], sides: tuple[int, ...]) -> None:
    """Load breakers on the bus with an arrow out of the panel."""
    d = sheet.drawing
    for level, side in zip(levels, sides, strict=True):
        s.breaker(d, (x, level), (x + side * 24, level))
        d.polyline(
            [(x + side * 22, level - 2.6), (x + side * 27, level), (x + side * 22, level + 2.6)], stroke_width=0.9
        )


def _earth(sheet: Sheet, x: float, bottom: float, label_width: float) -> None:
    d, plan = sheet.drawing, sheet.plan
    s.wire(d, (x, bottom), (x, bottom + 22))
    earth = sheet.device(s.ground, (x, bottom + 22), "grounding electrode")
    sheet.label_below(x, earth.bottom[1] + 4, plan.grounding, label_width)


def _busbar(sheet: Sheet, x: float, y0: float, wire_from: Point) -> None:
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
    x_meter = x + 56
    meter = sheet.device(s.meter, (x_meter, service), "meter")
    s.wire(d, (x + 30, service), meter.left)
    x_utility = d.width - 19
    line = sheet.device(s.utility, (x_utility, service), "utility")
    s.wire(d, meter.right, line.left)
    sheet.label_above(x - 2, y0 - 64, plan.main_panel, PANEL_LABEL)
    # One below and one above the line, so that nobody takes the words of one for the other's.
    sheet.label_below(x_meter + 3, service + 17, plan.meter, SERVICE_LABEL)
    sheet.label_above(d.width - UTILITY_LABEL / 2 - 1, service - 14, plan.utility, UTILITY_LABEL)
    _earth(sheet, x, y0 + 16, 120)


def _breaker_words(sheet: Sheet, x: float, y: float, text: str, anchor: str) -> None:
    if text:
        sheet.drawing.text(x, y, text, size=7.0, weight=600, anchor=anchor)


def _supply_side(sheet: Sheet, x: float, y0: float, wire_from: Point) -> None:
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


def _stand_alone_panel(sheet: Sheet, x: float, y0: float, wire_from: Point, from_battery: Point | None) -> None:
    """No utility: the inverter feeds the house's panel through its main breaker, a battery of its own beside it."""
    d, plan = sheet.drawing, sheet.plan
    bottom = y0 + 60 if from_battery is None else from_battery[1] + 16
    _panel_box(sheet, x, y0 - 16, bottom)
    s.wire(d, wire_from, (x - 30, y0))
    s.breaker(d, (x - 30, y0), (x, y0))
    d.line((x, y0 - 8), (x, bottom - 8), stroke_width=3.2)
    _loads(sheet, x, (y0 + 4, y0 + 24, y0 + 44), (1, 1, 1))
    _loads(sheet, x, (y0 + 24, y0 + 44), (-1, -1))
    if from_battery:
        s.wire(d, from_battery, (x - 30, from_battery[1]))
        sheet.tag("battery", (from_battery[0] + 14, from_battery[1]))
        source_breaker(sheet, x, from_battery[1], plan.battery_breaker)
    _breaker_words(sheet, x - 27, y0 - 8, plan.main_breaker, "start")
    sheet.label_above(x, y0 - 22, plan.main_panel, 120)
    _earth(sheet, x, bottom, 130)

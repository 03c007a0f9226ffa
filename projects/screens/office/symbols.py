"""Small contacts that show a requirement's state, as on the one-line: a word always stands beside them."""

from __future__ import annotations

from django.utils.safestring import SafeString, mark_safe

BARS = "M9 8v14M21 8v14"
DRAWN = {
    # Closed: the bus runs through.
    "met": f'<path class="ol-ink" stroke-width="4" d="M1 15h28"/><path class="ol-ink" stroke-width="2.4" d="{BARS}"/>',
    # Bypassed by a jumper over an open contact.
    "waived": f'<path class="ol-ink" stroke-width="2.4" d="M1 15h8M21 15h8{BARS}"/>'
    '<path class="ol-ink" stroke-width="2" stroke-dasharray="3 3" d="M5 15C5 -1 25 -1 25 15"/>',
    # Open: the blade stands off.
    "open": '<path class="ol-live" stroke-width="4" d="M1 15h8"/>'
    '<path class="ol-live" stroke-width="3" d="M9 15L20 6"/>'
    f'<path class="ol-ink" stroke-width="2.4" d="{BARS}"/><path class="ol-ink" stroke-width="2.4" d="M21 15h8"/>',
    # Not yet reached: everything dashed and thin.
    "waiting": '<path class="ol-ink faint" stroke-width="2" stroke-dasharray="1 5" d="M1 15h8M21 15h8"/>'
    f'<path class="ol-ink faint" stroke-width="2" d="{BARS}M9 15L20 6"/>',
}
WORDS = {"met": "Done", "waived": "Waived", "open": "Open", "waiting": "Not yet"}

SYMBOLS: dict[str, SafeString] = {
    state: mark_safe(f'<svg viewBox="0 0 30 30" aria-hidden="true" focusable="false">{drawn}</svg>')
    for state, drawn in DRAWN.items()
}

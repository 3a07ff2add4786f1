"""What is said before a circuit is pumped down."""

from __future__ import annotations

CAUTIONS = (
    "Stop above atmospheric pressure: below it the low side draws in air and moisture through the leak.",
    "Never with a bypassed cut-out: where the low-pressure cut-out stops the compressor first, the rest is "
    "recovered by machine.",
    "A scroll compressor overheats and may be ruined in a deep pull-down: keep to the maker's lowest suction "
    "pressure and shortest time, and watch the head pressure all the while.",
    "Only where the maker's instruction allows it; stop at once where the head pressure climbs towards its "
    "cut-out.",
)
"""Common practice, no source."""

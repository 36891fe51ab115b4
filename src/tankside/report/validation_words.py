"""What every answer that rests on simulated histories says of its own standing."""

from __future__ import annotations

NOT_VALIDATED = "Not validated on real tanks."

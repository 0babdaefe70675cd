"""Sessions as the field page hands them over, for tests that read them at the desk."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

KITE = "---\nname: {}\n---\nIts story.\n"


def tap(kite: str, wind: float, said: str, **more: Any) -> dict[str, Any]:
    """One tap as the page hands it over."""
    return {"at": "14:33", "kite": kite, "name": kite.capitalize(), "flyer": "Ansa", "wind": wind, "said": said, **more}


def write_session(path: Path, *taps: dict[str, Any], **changes: Any) -> Path:
    """A session file."""
    whole = {"kind": "bowbook session", "format": 1, "id": "0123456789abcdef", "on": "2026-06-14", "unit": "mph"}
    path.write_text(json.dumps({**whole, "height_m": 2, "taps": taps, **changes}), encoding="utf-8")
    return path

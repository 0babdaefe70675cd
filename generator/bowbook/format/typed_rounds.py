"""A round's readings as they are typed in a kite's file."""

from __future__ import annotations

from bowbook.format.edit_positions import EditError, TextNode, yaml_root


def readings_as_written(data: bytes, number: int) -> list[tuple[str, str]]:
    """The parts of a round and what is typed for each, a tips test's as tips.both and tips.back; those that are not on
    one line are left out.
    """
    try:
        text = data.decode("utf-8").replace("\r\n", "\n").lstrip("\ufeff")
        root = yaml_root(text.split("---\n", 2)[1])
    except (UnicodeDecodeError, IndexError, EditError):
        return []
    rounds = root.get("bench") if root is not None and root.kind == "record" else None
    if rounds is None or rounds.kind != "list" or number >= len(rounds.items):
        return []
    one = rounds.items[number]
    if one.kind != "record":
        return []
    found = []
    for name, spot in zip(one.keys, one.items, strict=True):
        test = name.value == "tips" and spot.kind == "record"
        parts = [(f"tips.{key}", spot.get(key)) for key in ("both", "back")] if test else [(name.value, spot)]
        typed = ((part, _press(at)) for part, at in parts if at is not None)
        found += [(part, text) for part, text in typed if text is not None]
    return found


def _press(spot: TextNode) -> str | None:
    """What is typed as a press reading: a text, or the one under `press`."""
    if spot.kind == "record":
        inner = spot.get("press")
        return _press(inner) if inner is not None and inner.kind != "record" else None
    if spot.kind == "list":
        return ", ".join(item.value for item in spot.items)
    return spot.value if spot.kind == "scalar" else None

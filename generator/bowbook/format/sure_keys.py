"""The keys under `sure:` in book.yaml: what is taken off every measurement, and what stays open after that."""

from __future__ import annotations

from typing import Final

from bowbook.format.fields import Key, Quantity, Record

_PART = Quantity("ratio", 0.0, 0.5, zero=True)
SURE: Final = Record(
    {
        "bow_out": Key(_PART, "How much high a half reads where its bow-out was not noted.", "3.4 %"),
        "bow_out_u": Key(_PART, "What that leaves open.", "1.25 %"),
        "bow_out_clamped": Key(_PART, "The same for a half that is clamped.", "2.6 %"),
        "bow_out_clamped_u": Key(_PART, "What that leaves open.", "0.95 %"),
        "hinge": Key(_PART, "How much high a half held in a hinge reads.", "3 %"),
        "hinge_u": Key(_PART, "What that leaves open.", "1.7 %"),
        "hand": Key(Quantity("ratio", 0.5, 1.0), "Effective-length factor of fingers of which nothing is known.", 0.93),
        "hand_u": Key(_PART, "What that leaves open of the stiffness.", "9 %"),
        "pivot": Key(
            Quantity("length", 0.0, 15.0, zero=True), "How far from their edge the fingers may pivot.", "1.5 mm"
        ),
        "gain_u": Key(_PART, "How far the scale may be off, as a part of the reading.", "0.5 %"),
        "air_u": Key(_PART, "What season and pressure leave open of a wind.", "1.5 %"),
        "tied_u": Key(_PART, "What a tied crossing leaves open of a wind.", "1.5 %"),
    },
    called="keys such as hinge: 3 %",
)

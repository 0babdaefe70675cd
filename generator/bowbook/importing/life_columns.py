"""Columns that tell of a kite's life: where it is, what it was built after and to, its bows, what was changed."""

from __future__ import annotations

from typing import Final

from bowbook.importing.fields import Field, words

PRESS = (0.02, 150.0)  # N, of a half or a whole bow on the scale
_LONG = (0.1, 5.0)

LIFE: Final = (
    Field("tags", "your own words to sift by, parted by commas", "kite", words("tags, labels, keywords, kind, sort")),
    Field(
        "batch",
        "a name shared by kites that were built together",
        "kite",
        words("batch, series, built together, serie, reihe"),
    ),
    Field(
        "to",
        "who has it now",
        "kite",
        words("given to, who has it, now with, gegeven aan, verschenkt an"),
    ),
    Field(
        "after.kite",
        "the kite it was built after",
        "kite",
        words("built after, after kite, modelled on, copy of, based on, gebaut nach, naar voorbeeld, d'après"),
    ),
    Field(
        "target.left",
        "what the left half is to read",
        "kite",
        words("target left, left target, left wanted, wanted left, left should read, soll links"),
        "force",
        PRESS,
    ),
    Field(
        "target.right",
        "what the right half is to read",
        "kite",
        words("target right, right target, right wanted, wanted right, right should read, soll rechts"),
        "force",
        PRESS,
    ),
    Field(
        "target",
        "what each half is to read",
        "kite",
        words("target, target reading, wanted reading, should read, each half should read, soll"),
        "force",
        PRESS,
    ),
    Field(
        "which bow",
        "which of its bows the row is about, where it has several",
        "round or flight",
        words("which bow, bow name, name of bow, bow used, bow no, bow number, welcher bogen, welke boog"),
    ),
    Field(
        "changed",
        "what was changed, on the row's day",
        "change",
        words("changed, change, what changed, changes, repair, repaired, geändert, gewijzigd, reparatur, reparatie"),
    ),
    Field(
        "new skin",
        "what it was covered with anew, one of your stock",
        "change",
        words("new skin, new cover, re covered with, recovered with, neue bespannung"),
    ),
    Field(
        "new rod",
        "the rod of a new bow, one of your stock",
        "change",
        words("new rod, new bow, new bow rod, neuer bogen, nieuwe boog"),
    ),
    Field(
        "new bow length",
        "the length of a new bow",
        "change",
        words("new bow length, new rod length, length of new bow, length of the new bow"),
        "length",
        _LONG,
    ),
    Field(
        "new span",
        "tip to tip, strung anew",
        "change",
        words("new span, restrung to, new tip to tip, neue spannweite"),
        "length",
        _LONG,
    ),
    Field(
        "private",
        "a flight that is kept out of the site, unless it says no",
        "flight",
        words("private, secret, privat, privé"),
    ),
)

"""Everything a column of old notes may be, with the headings by which makers call it in several languages."""

from __future__ import annotations

from typing import Final

from bowbook.importing.fields import Field
from bowbook.importing.fields import words as _words
from bowbook.importing.life_columns import LIFE, PRESS

_LONG = (0.1, 5.0)
_LEG = (0.03, 5.0)
_WIND = (0.2, 20.0)

_ALL: Final = (
    Field(
        "name",
        "the kite's name: rows of one name are one kite",
        "kite",
        _words("name, kite, kite name, title, drachen, drachenname, vlieger, cerf volant, nom, nombre, cometa"),
    ),
    Field(
        "made",
        "the day it was finished",
        "kite",
        _words(
            "made, made on, built, built on, finished, date made, date built, year built, year made, gebaut, "
            "gebaut am, baujahr, fertig, gebouwd, gebouwd op, bouwjaar, construit, construit le, hecho, construido"
        ),
    ),
    Field("stage", "how far along it is", "kite", _words("stage, state, status")),
    Field(
        "summary",
        "one line for lists",
        "kite",
        _words("summary, description, about, beschreibung, beschrijving, omschrijving, descripción"),
    ),
    Field(
        "mass",
        "the whole kite, weighed",
        "kite",
        _words(
            "mass, weight, kite mass, kite weight, total mass, total weight, flying weight, gewicht, masse, "
            "gesamtgewicht, massa, totaalgewicht, poids, poids total, peso, peso total"
        ),
        "mass",
        (5e-4, 2.0),
    ),
    Field(
        "skin",
        "the sail's material, one of your stock",
        "kite",
        _words(
            "skin, sail material, cover, covering, sail skin, fabric, paper, sail paper, cloth, segel, bespannung, "
            "papier, zeil, voile, toile, tela, papel"
        ),
    ),
    Field(
        "bow.rod",
        "the bow's rod, one of your stock",
        "kite",
        _words("rod, bow rod, bow material, bow stock, rod of bow, bogenstab, stab, boogstok, baguette de l'arc"),
    ),
    Field(
        "bow.length",
        "the bow, measured along the rod",
        "kite",
        _words(
            "bow length, length of bow, length of the bow, rod length, bow rod length, bogenlänge, länge bogen, "
            "länge des bogens, booglengte, lengte boog, longueur de l'arc, longueur arc, longitud del arco"
        ),
        "length",
        _LONG,
    ),
    Field(
        "bow.span",
        "the bow strung, tip to tip",
        "kite",
        _words(
            "span, tip to tip, bow span, strung, span strung, strung span, wingspan, spannweite, sehne, spanwijdte, "
            "envergure, envergadura"
        ),
        "length",
        _LONG,
    ),
    Field(
        "bow.mass",
        "the bow alone, weighed",
        "kite",
        _words(
            "bow mass, bow weight, weight of bow, mass of bow, rod mass, rod weight, bogengewicht, gewicht bogen, "
            "gewicht des bogens, gewicht boog, poids de l'arc, peso del arco"
        ),
        "mass",
        (5e-5, 0.5),
    ),
    Field(
        "bow.crosses",
        "where the bow crosses the spine, below the nose",
        "kite",
        _words("crosses, bow crosses, crossing, crosses at, bow crosses spine, bow below nose, kreuzung, kruising"),
        "length",
        (0.005, 2.0),
    ),
    Field(
        "spine.rod",
        "the spine's rod, one of your stock",
        "kite",
        _words("spine rod, spine material, spine stock, rückgratstab, längsstab material"),
    ),
    Field(
        "spine.length",
        "the spine's length",
        "kite",
        _words(
            "spine length, length of spine, length of the spine, längsstab, länge längsstab, längsstablänge, "
            "lengte langsligger, longueur de l'épine, longitud de la espina"
        ),
        "length",
        _LONG,
    ),
    Field(
        "spine.mass",
        "the spine alone, weighed",
        "kite",
        _words("spine mass, spine weight, weight of spine, mass of spine"),
        "mass",
        (5e-5, 0.5),
    ),
    Field(
        "bridle.upper",
        "the bridle's upper leg",
        "kite",
        _words("upper leg, upper bridle, bridle upper, upper bridle leg, obere waage, waage oben, bridle top"),
        "length",
        _LEG,
    ),
    Field(
        "bridle.lower",
        "the bridle's lower leg",
        "kite",
        _words("lower leg, lower bridle, bridle lower, lower bridle leg, untere waage, waage unten, bridle bottom"),
        "length",
        _LEG,
    ),
    Field(
        "on",
        "the day of the reading or of the flight",
        "round or flight",
        _words("date, day, on, when, flown, flown on, datum, tag, dag, jour, fecha, día, read on, measured on"),
    ),
    Field(
        "left",
        "the left half, pressed on the scale",
        "round",
        _words(
            "left, left half, left reading, left press, press left, left side, bow left, left bow, links, "
            "linke hälfte, linke seite, linkerhelft, gauche, moitié gauche, izquierda"
        ),
        "force",
        PRESS,
    ),
    Field(
        "right",
        "the right half, pressed on the scale",
        "round",
        _words(
            "right, right half, right reading, right press, press right, right side, bow right, right bow, rechts, "
            "rechte hälfte, "
            "rechte seite, rechterhelft, droite, moitié droite, derecha"
        ),
        "force",
        PRESS,
    ),
    Field(
        "left/right",
        "both halves in one cell, the left one first",
        "round",
        _words("left right, left and right, l r, halves, both halves, links rechts, gauche droite, izquierda derecha"),
        "force",
        PRESS,
    ),
    Field(
        "whole",
        "the whole bow, pressed end to end",
        "round",
        _words("whole, whole bow, whole reading, end to end, full bow, ganzer bogen, hele boog, arc entier"),
        "force",
        PRESS,
    ),
    Field(
        "side", "which half a reading is of: left, right or whole", "round", _words("side, half, seite, hälfte, kant")
    ),
    Field(
        "reading",
        "a reading, of the half that the column side names",
        "round",
        _words(
            "reading, readings, press, scale, scale says, scale reading, messung, messwert, meting, mesure, lectura"
        ),
        "force",
        PRESS,
    ),
    Field(
        "round",
        "the number of the round a reading is of",
        "round",
        _words("round, round no, round number, runde, ronde"),
    ),
    Field(
        "covered.left",
        "the left half, pressed with the skin on",
        "kite",
        _words("covered left, left covered, left with skin, left skin on, skin on left, links bespannt"),
        "force",
        PRESS,
    ),
    Field(
        "covered.right",
        "the right half, pressed with the skin on",
        "kite",
        _words("covered right, right covered, right with skin, right skin on, skin on right, rechts bespannt"),
        "force",
        PRESS,
    ),
    Field(
        "flyer", "who flew", "flight", _words("flyer, flown by, who, who flew, geflogen von, gevlogen door, flieger")
    ),
    Field(
        "wind",
        "what blew",
        "flight",
        _words("wind, winds, wind range, what blew, wind speed, windstärke, wind blew, windkracht, vent, viento"),
        "wind",
        _WIND,
    ),
    Field(
        "wind.low",
        "the least wind that blew",
        "flight",
        _words("wind low, wind from, wind min, least wind, min wind, low wind, wind lowest, lowest wind, wind von"),
        "wind",
        _WIND,
    ),
    Field(
        "wind.high",
        "the most wind that blew",
        "flight",
        _words("wind high, wind to, wind max, most wind, max wind, high wind, wind highest, highest wind, wind bis"),
        "wind",
        _WIND,
    ),
    Field(
        "best",
        "the wind in which it was liked",
        "flight",
        _words("best, best wind, liked, liked best, likes, best in, liked in, bester wind, beste wind, meilleur vent"),
        "wind",
        _WIND,
    ),
    Field(
        "best.low",
        "the least wind in which it was liked",
        "flight",
        _words("best low, best from, best min, best wind low, best wind from, best wind min, liked from"),
        "wind",
        _WIND,
    ),
    Field(
        "best.high",
        "the most wind in which it was liked",
        "flight",
        _words("best high, best to, best max, best wind high, best wind to, best wind max, liked to"),
        "wind",
        _WIND,
    ),
    Field(
        "meter height",
        "how high the wind meter was held",
        "flight",
        _words(
            "meter height, wind height, wind meter height, height of meter, height of wind meter, "
            "height of the wind meter, anemometer height, height of anemometer, anemometer at, meter at, messhöhe, "
            "meethoogte"
        ),
        "length",
        (0.3, 30.0),
    ),
    Field(
        "gusts",
        "what the gusts reached",
        "flight",
        _words("gusts, gust, böen, rafales"),
        "wind",
        (0.2, 25.0),
    ),
    Field(
        "line",
        "the length of line that was out",
        "flight",
        _words("line, line out, line length, length of line, leine, leinenlänge, lijn, lijnlengte"),
        "length",
        (2.0, 500.0),
    ),
    Field("place", "where it was flown", "flight", _words("place, where, where flown, field, ort, plaats, lieu")),
    Field("pull", "how hard it pulled, 1 to 5", "flight", _words("pull")),
    Field("turn", "how readily it turned, 1 to 5", "flight", _words("turn, turns, turning")),
    Field("track", "how straight it flew, 1 to 5", "flight", _words("track, tracking")),
    Field("control", "how well it obeyed, 1 to 5", "flight", _words("control")),
    Field("speed", "how fast it flew, 1 to 5", "flight", _words("speed, flying speed, kite speed")),
    Field(
        "note",
        "anything to remember of the flight or the reading",
        "flight",
        _words(
            "note, notes, comment, comments, remark, remarks, bemerkung, bemerkungen, notiz, notizen, opmerking, "
            "opmerkingen, remarque, remarques, observaciones, notas"
        ),
    ),
)
FIELDS: Final = {field.name: field for field in (*_ALL, *LIFE)}

WORDS: Final = "words"  # kept as words in the kite's story
NOTHING: Final = "nothing"  # left out

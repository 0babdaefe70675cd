"""Links from page to page, against the standard library's own way of finding one path from another."""

from __future__ import annotations

import posixpath

from hypothesis import assume, given
from hypothesis import strategies as st

from bowbook.pages.chrome import relative

names = st.text("abk.-é", min_size=1, max_size=3).filter(lambda name: name.strip("."))
addresses = st.lists(names, min_size=1, max_size=4).map("/".join)


@given(addresses, addresses, st.sampled_from(["", "#skin"]))
def test_a_link_leads_where_posixpath_says(here: str, there: str, fragment: str) -> None:
    """From any page to any other, dots, equal folders and all."""
    assume(not here.startswith(f"{there}/"))  # no page stands where a folder does
    found = relative(here, there + fragment)
    assert found == posixpath.relpath(there, posixpath.dirname(here) or ".") + fragment

"""Characters that show as nothing or turn the reading direction: what a person sees is then not what is read.

What scripts need (joiners, left-to-right and right-to-left marks, the zero-width blank) is left alone.
"""

from __future__ import annotations

import re
from typing import Final

_ALWAYS = (
    "\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ufff9-\ufffb\ufffe\uffff"
    "\U000e0000-\U000e007f"
)
UNSEEN: Final = re.compile(f"[{_ALWAYS}]")
"""In a file as it lies on the disk, where a line may end as on any system."""

UNSEEN_IN_VALUE: Final = re.compile(f"[{_ALWAYS}\r\ud800-\udfff]")
"""In a value, to which escapes such as "\\e" bring what the file does not show; halves of characters too."""

"""The review page: one HTML file that steps through a plan, needle point by needle point.

The page holds everything it needs and may fetch nothing: its policy (W3C, Content Security
Policy Level 3) names the hashes of its one script and one style and forbids all else. The plan
is embedded as JSON in which ``<``, ``>`` and ``&`` are written as escapes, so that no text can
end the element it stands in (HTML Standard, section 4.12.1.3), and the script puts texts into
the page as text, never as HTML; the policy's ``require-trusted-types-for`` has browsers refuse
anything else.
"""

import html
import json
import re
from base64 import b64encode
from hashlib import sha256
from importlib.resources import files

from pathgen.model import Plan
from pathgen.verdicts import Reading
from pathgen.writers.review_data import review_data

__all__ = ["review_page"]

SCRIPTS = (
    "plan.js",
    "view.js",
    "colours.js",
    "drawing.js",
    "strip.js",
    "signs.js",
    "stepping.js",
    "pointing.js",
    "measuring.js",
    "panels.js",
    "start.js",
)
"""Parts of the page's script, in the order in which they build on one another."""

_ESCAPES = {ord(sign): f"\\u{ord(sign):04x}" for sign in "<>&\u2028\u2029"}
_UNPAIRED = re.compile("[\ud800-\udfff]")
_NOT_HTML = re.compile("[\0-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff]")


def review_page(plan: Plan, reading: Reading | None = None) -> str:
    """The review page of a plan as an HTML document, to be encoded in UTF-8.

    Parameters
    ----------
    plan : Plan
        May be of any size, and may lack letters, needle points or findings.
    reading : Reading, optional
        Whether it can be read, for the head of the page.
    """
    style = _piece("page.css")
    script = "(() => {\n'use strict';\n" + "\n".join(map(_piece, SCRIPTS)) + "})();\n"
    data = review_data(plan, reading)
    filling = {
        "title": html.escape(_NOT_HTML.sub("\ufffd", data["title"])),
        "policy": _policy(script, style),
        "style": style,
        "data": _embedded(data),
        "script": script,
    }
    # One pass: what a filling holds is never taken for a place to fill.
    return re.sub(r"\{\{(\w+)\}\}", lambda place: filling[place[1]], _piece("page.html"))


def _piece(name: str) -> str:
    """A piece of the page as it lies in the package."""
    return (files("pathgen.writers") / "page" / name).read_text(encoding="utf-8")


def _policy(script: str, style: str) -> str:
    """Nothing may be fetched or run but this script and this style."""
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src {_hash(script)}",
            f"style-src {_hash(style)}",
            "base-uri 'none'",
            "form-action 'none'",
            "require-trusted-types-for 'script'",
        )
    )


def _hash(text: str) -> str:
    """Source expression that allows one inline text (CSP Level 3, section 2.3.1)."""
    return f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'"


def _embedded(data: dict[str, object]) -> str:
    """JSON that is safe inside a script element; lone surrogates become U+FFFD."""
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return _UNPAIRED.sub("\ufffd", text).translate(_ESCAPES)

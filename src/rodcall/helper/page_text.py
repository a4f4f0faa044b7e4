"""The page as it is sent: one file, its words in one language, the screen's colours, and what a browser may do with it.

The page's own script is plain text in that file; nothing of a job is ever written into the page, only sent to it.
"""

from __future__ import annotations

import base64
import hashlib
import json
import re
from importlib.resources import files

from rodcall.helper.page_words import WORDS
from rodcall.i18n import LANGUAGES, say, speaking
from rodcall.palette import HIGH, LOW, NEUTRAL

MOST_BYTES = 60_000
"""Of the whole page: it comes at once on a bad hotspot."""

_STYLE = re.compile(rb"<style>(.*?)</style>", re.DOTALL)
_SCRIPT = re.compile(rb"<script>(.*?)</script>", re.DOTALL)


class Page:
    """The page in each language."""

    def __init__(self) -> None:
        raw = (files("rodcall.helper") / "page" / "page.html").read_text("utf-8")
        for name, colour in _colours().items():
            raw = raw.replace(f"%{name}%", colour)
        self._texts = {language: _in_language(raw, language) for language in LANGUAGES}
        text = self._texts["en"]
        self._style, self._script = (_hash(pattern.search(text)) for pattern in (_STYLE, _SCRIPT))

    def text(self, language: str) -> bytes:
        """The page in a language."""
        return self._texts[language]

    def headers(self, origin: str) -> dict[str, str]:
        """What a browser is allowed: this page's own script and style, and a socket to this address; nothing else."""
        allowed = {
            "default-src": "'none'",
            "script-src": self._script,
            "style-src": self._style,
            "img-src": "data:",
            # Older browsers do not count a socket among 'self'.
            "connect-src": f"'self' {origin.replace('http:', 'ws:')}",
            "base-uri": "'none'",
            "form-action": "'none'",
            "frame-ancestors": "'none'",
            "require-trusted-types-for": "'script'",
        }
        return {
            "Content-Security-Policy": "; ".join(f"{what} {who}" for what, who in allowed.items()),
            "Cache-Control": "no-store",
            "Referrer-Policy": "no-referrer",
            "X-Content-Type-Options": "nosniff",
            "X-Frame-Options": "DENY",
            "Cross-Origin-Opener-Policy": "same-origin",
            "Cross-Origin-Resource-Policy": "same-origin",
        }


def language_of(accepted: str) -> str:
    """The first of our languages that a browser asks for (Accept-Language, RFC 9110); English where it asks for none.

    Browsers send it in the order of preference.
    """
    for part in accepted[:200].split(","):
        language = part.strip()[:2].lower()
        if language in LANGUAGES:
            return language
    return "en"


def _in_language(raw: str, language: str) -> bytes:
    with speaking(language):
        said = {"code": language, **{name: say(words) for name, words in WORDS.items()}}
    # In a script's text only `<` could end it.
    table = json.dumps(said, ensure_ascii=False).replace("<", "\\u003c")
    filled = {"lang": language, "words": table, "no_script": said["no_script"]}
    for name, text in filled.items():
        raw = raw.replace(f"%{name}%", text)
    return raw.encode("utf-8")


def _colours() -> dict[str, str]:
    """The screen's colours by height, by the names that the page's style has for them."""
    sides = {"h": HIGH, "l": LOW}
    return {"n0": NEUTRAL, **{f"{side}{depth}": each for side, of in sides.items() for depth, each in enumerate(of)}}


def _hash(found: re.Match[bytes] | None) -> str:
    if found is None:
        raise ValueError("the page has no such part")
    return f"'sha256-{base64.b64encode(hashlib.sha256(found[1]).digest()).decode('ascii')}'"

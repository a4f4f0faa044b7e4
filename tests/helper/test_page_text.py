"""The page: one small file, nothing from elsewhere, its words in both languages, and nothing but its own script."""

from __future__ import annotations

import base64
import hashlib
import re
from importlib.resources import files

import pytest

from rodcall.helper.page_text import MOST_BYTES, Page, language_of
from rodcall.helper.page_words import WORDS
from rodcall.i18n import LANGUAGES, say, speaking

PAGE = Page()
RAW = (files("rodcall.helper") / "page" / "page.html").read_text("utf-8")


@pytest.mark.parametrize("language", LANGUAGES)
def test_under_sixty_kilobytes(language: str) -> None:
    assert len(PAGE.text(language)) < MOST_BYTES == 60_000


@pytest.mark.parametrize("language", LANGUAGES)
def test_nothing_is_left_to_be_filled_in(language: str) -> None:
    text = PAGE.text(language).decode()
    assert re.findall(r"%[a-z]+\d?%", text) == []
    assert f'<html lang="{language}">' in text


def test_no_foreign_resource() -> None:
    """Every address in it is its own: the socket's, made of where the page came from."""
    assert re.findall(r"\b(?:src|href|url|import|fetch|action)\s*[=(]\s*['\"]?([^'\")\s>]+)", RAW) == ["data:,"]
    assert re.findall(r"(?:https?|wss?):[^\s\"']*", RAW) == ["ws://"]


def test_no_text_becomes_markup_or_script() -> None:
    never = ("innerHTML", "outerHTML", "insertAdjacent", "document.write", "eval(", "Function(", 'setAttribute("on')
    assert [each for each in never if each in RAW] == []
    assert re.findall(r"\son\w+\s*=", RAW.partition("<script")[0]) == []


def test_no_cookie_and_nothing_that_lasts() -> None:
    assert "cookie" not in RAW
    assert "localStorage" not in RAW


def test_the_script_uses_exactly_the_words_that_there_are() -> None:
    used = set(re.findall(r"\bW\.(\w+)", RAW)) | set(re.findall(r'\bsay\((?:socket \? )?"(\w+)"', RAW))
    heads = {"lost", "ended", "full", "wait"}
    used |= heads | {f"{head}_why" for head in heads} | {"kept", "sun", "night", "auto", "no_script"}
    assert used - {"code"} == set(WORDS)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_words_are_in_the_page(language: str) -> None:
    text = PAGE.text(language).decode()
    with speaking(language):
        assert [word for word in map(say, WORDS.values()) if word not in text] == []


def test_a_browser_runs_this_script_and_no_other() -> None:
    headers = PAGE.headers("http://192.0.2.7:40123")
    policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))
    for name, pattern in (("script-src", r"<script>(.*?)</script>"), ("style-src", r"<style>(.*?)</style>")):
        for language in LANGUAGES:
            [inline] = re.findall(pattern, PAGE.text(language).decode(), re.DOTALL)
            digest = base64.b64encode(hashlib.sha256(inline.encode()).digest()).decode()
            assert policy[name] == f"'sha256-{digest}'"
    assert policy["default-src"] == policy["base-uri"] == policy["form-action"] == policy["frame-ancestors"] == "'none'"
    assert policy["connect-src"] == "'self' ws://192.0.2.7:40123"
    assert headers["Cache-Control"] == "no-store"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert "Set-Cookie" not in headers


@pytest.mark.parametrize(
    ("accepted", "language"),
    [
        ("es-MX,es;q=0.9,en;q=0.8", "es"),
        ("en-US,en;q=0.9,es;q=0.8", "en"),
        ("fr-CA,es;q=0.5", "es"),
        ("fr", "en"),
        ("", "en"),
        ("*", "en"),
        ("," * 10_000, "en"),
        ("espagnol", "es"),
    ],
)
def test_the_phones_language(accepted: str, language: str) -> None:
    assert language_of(accepted) == language

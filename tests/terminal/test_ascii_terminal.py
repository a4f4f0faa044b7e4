"""A terminal without UTF-8: every byte sent to it is ASCII, nothing else changes, and what it sends breaks nothing."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rodcall.tui.terminal.charset import in_ascii

from .crew import Crew, a_file, shots
from .pages import pages, without_chart

LOCALES = {
    "C": {"LANG": "C", "LC_ALL": None, "LC_CTYPE": None},
    "Latin-1": {"LANG": "es_MX.ISO-8859-1", "LC_ALL": None, "LC_CTYPE": None},
}
UTF_8 = {"LANG": "C", "LC_ALL": "C.UTF-8"}


@pytest.mark.parametrize(("locale", "language"), [("C", "es"), ("Latin-1", "en")])
def test_only_ascii_is_sent(tmp_path: Path, home: Path, locale: str, language: str) -> None:
    home.mkdir(parents=True)
    (home / "settings.toml").write_text(f'language = "{language}"\n', "utf-8")
    usual, sent = pages(tmp_path / "usual", UTF_8)
    assert not sent.isascii(), "else the next proves nothing"
    plain, sent = pages(tmp_path / "plain", LOCALES[locale])
    assert sent.isascii()
    expected = {page: [in_ascii(line) for line in lines] for page, lines in without_chart(usual).items()}
    assert without_chart(plain) == expected
    assert "FFFF" in "".join(plain["target"])
    assert [len(line) for line in plain["call out"]] == [len(line) for line in usual["call out"]]


def test_the_setting_says_so_where_the_locale_does_not(tmp_path: Path, home: Path) -> None:
    home.mkdir(parents=True)
    path = a_file(tmp_path)
    for characters, environment, only_ascii in (("ascii", UTF_8, True), ("utf-8", LOCALES["C"], False)):
        (home / "settings.toml").write_text(f'characters = "{characters}"\n', "utf-8")
        with Crew(path, env=environment) as crew:
            crew.sees("next A1")
            crew.terminal.settle(0.3)
            crew.key("j")
            crew.terminal.settle(0.3)
            assert bool(re.search("[█▀▄]", "".join(crew.terminal.text()))) is not only_ascii
            crew.terminal.keys("j", "q")
            assert crew.ended() == 0


def test_a_byte_that_is_no_character_ends_nothing(tmp_path: Path) -> None:
    """0xF1 is the `ñ` of ISO 8859-1 (SEEN, its table), which no UTF-8 text holds before a plain letter."""
    path = a_file(tmp_path)
    with Crew(path, env=LOCALES["Latin-1"]) as crew:
        crew.sees("next A1")
        crew.key("n")
        crew.sees("note")
        crew.terminal.send(b"pe\xf1a\xff \r")
        crew.sees("next A1, the zero > _")
        crew.shoot("-1/2", "B1")
        crew.key("q")
        assert crew.ended() == 0
    assert shots(path) == [("A1", "-1/2")]
    assert '"text":"peñaÿ"' in path.read_text("utf-8").replace(": ", ":")

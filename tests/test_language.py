"""The words of people: one way from the code to the screen, and each sentence in each language."""

from __future__ import annotations

import pytest

from rodcall.language import counted, say, speak, speaking, spoken


def test_english_stands_as_it_is_and_values_are_put_in():
    assert say("{count} of {total}", count=3, total=12) == "3 of 12"
    assert say("braces {stay} where nothing is put in") == "braces {stay} where nothing is put in"


def test_another_language_for_a_while():
    with speaking("es"):
        assert (spoken(), say("HIGH")) == ("es", "ALTO")
    assert (spoken(), say("HIGH")) == ("en", "HIGH")


def test_one_and_several():
    assert counted(1, "{number} load", "{number} loads") == "1 load"
    assert counted(0, "{number} load", "{number} loads") == "0 loads"


def test_no_other_language_is_spoken():
    with pytest.raises(KeyError):
        speak("xx")
    assert spoken() == "en"

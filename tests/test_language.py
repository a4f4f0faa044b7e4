"""The words of people: one way from the code to the screen, and each sentence in each language."""

from __future__ import annotations

from threading import Thread

import pytest

from rodcall.i18n import counted, later, later_counted, say, speak, speaking, spoken


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


def test_what_is_spoken_for_a_while_is_spoken_in_that_thread_alone():
    """A sheet is written on a thread of its own while the screen is painted on another."""
    heard = []
    with speaking("es"):
        other = Thread(target=lambda: heard.append(say("HIGH")))
        other.start()
        other.join()
        assert say("HIGH") == "ALTO"
    assert heard == ["HIGH"]


def test_what_is_kept_is_said_in_the_language_that_is_spoken_when_it_is_shown():
    read = later("{reference} reads true", reference="BM1")
    kept = later("{read}: {allowed} allowed", read=(read, read), allowed="1/8")
    assert str(kept) == "BM1 reads true, BM1 reads true: 1/8 allowed"
    with speaking("es"):
        assert f"{kept}" == "BM1 lee exacto, BM1 lee exacto: se admite 1/8"
    one, many = "{number} position not shot", "{number} positions not shot"
    assert [str(later_counted(number, one, many)) for number in (1, 2)] == [
        "1 position not shot",
        "2 positions not shot",
    ]

"""Keys that came in one read are told from a switch that repeats them, however long each takes to be worked off."""

from __future__ import annotations

import sys
from time import sleep

import pytest
from textual.events import Key

from rodcall.tui.terminal.keys import Bounces, stroke
from rodcall.tui.terminal.one_read import OneRead, time_by_read


def test_zeros_that_waited_together_are_all_taken() -> None:
    bounces, parser, taken = Bounces(40), OneRead(False), ""
    for event in parser.feed("-29000\r"):
        assert isinstance(event, Key)
        key = stroke(event)
        taken += (key.character or key.name) if bounces.take(key) else ""
        sleep(0.004)
    assert (taken, bounces.swallowed) == ("-29000enter", 0)


def test_a_switch_that_repeats_is_told_by_its_reads() -> None:
    bounces, parser, taken = Bounces(40), OneRead(False), ""
    for data in "500":
        sleep(0.004)
        taken += "".join(event.character or "" for event in parser.feed(data) if bounces.take(stroke(event)))  # type: ignore[arg-type,attr-defined]
    assert (taken, bounces.swallowed) == ("50", 1)


def test_half_a_sequence_is_kept_for_the_next_read() -> None:
    parser = OneRead(False)
    assert list(parser.feed("\x1b[")) == []
    assert [event.key for event in parser.feed("A1") if isinstance(event, Key)] == ["up", "1"]


@pytest.mark.skipif(sys.platform == "win32", reason="the driver of POSIX terminals")
def test_the_driver_reads_so() -> None:
    from textual.drivers import linux_driver

    time_by_read()
    assert linux_driver.XTermParser is OneRead

"""A lesson on the real screen: the helper calls, mistakes are caught, and the score is told at the end."""

from __future__ import annotations

import json
import re

from .crew import Crew

CALLED = re.compile(r"helper: ([A-Z]+\d+)  (\S+)")


def test_a_lesson_typed_as_it_is_called() -> None:
    with Crew("practice", "--seed", "5", "--pace", "0", "--json") as crew:
        crew.sees("helper: A1")
        crew.key("x")
        last = ""
        for _ in range(40):
            crew.terminal.settle(0.15)
            text = "\n".join(crew.terminal.text())
            if "all shot" in text:
                break
            called = CALLED.search(text)
            if called is None:
                assert "* take" in text
                crew.key("*")
            else:
                assert called[1] != last
                last = called[1]
                crew.key(f"{called[2]}\r")
        crew.sees("all shot")
        crew.key("q")
        assert crew.ended() == 0
        told = b"".join(chunk.data for chunk in crew.terminal.received).decode()
    score = json.loads(told[told.rindex("{") : told.rindex("}") + 1])
    assert (score["shot"], score["missed"], score["typing"]) == (20, [], [])

"""Whatever is keyed, each reading stands where the line named when its first character was typed."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings

from tests.tui.key_path import Action, Program, sequences


def test_each_reading_is_where_the_line_named_verbatim_and_once(tmp_path: Path) -> None:
    program = Program(tmp_path)

    @settings(max_examples=30, deadline=None)
    @given(sequences())
    def holds(sequence: tuple[str, list[Action]]) -> None:
        program.run(*sequence)

    try:
        holds()
    finally:
        program.close()

"""What tests of the screens stand on."""

from __future__ import annotations

from datetime import date

import pytest

from rodcall.tui.shot_grid import screen


@pytest.fixture(autouse=True)
def cautioned(monkeypatch: pytest.MonkeyPatch) -> None:
    """The day's cautions were shown already."""

    def seen(today: date) -> bool:
        return True

    monkeypatch.setattr(screen, "cautions_seen", seen)

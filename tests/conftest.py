"""What every test stands on: a home of its own, and a terminal that asks for nothing special."""

from __future__ import annotations

import asyncio
import inspect
import os
from pathlib import Path

import pytest
from hypothesis import settings

from rodcall.i18n import speak

# A slow machine is no failure: nothing in here asserts a time.
settings.register_profile("rodcall", deadline=None)
settings.load_profile("rodcall")

# Textual reads this once, when it is first imported.
os.environ.setdefault("TEXTUAL_FPS", "120")


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder of rodcall's own, colours, all characters, and English."""
    folder = tmp_path / "home"
    monkeypatch.setenv("RODCALL_HOME", str(folder))
    # A shell of the tests must not write into the history of whoever runs them.
    for name in ("HOME", "USERPROFILE"):
        monkeypatch.setenv(name, str(tmp_path))
    monkeypatch.setenv("HISTFILE", str(tmp_path / "history"))
    for name in ("NO_COLOR", "TEXTUAL_THEME", "TEXTUAL_ANIMATIONS"):
        monkeypatch.delenv(name, raising=False)
    # The theme and the characters go by them.
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    speak("en")
    return folder


@pytest.hookimpl(tryfirst=True)
def pytest_pyfunc_call(pyfuncitem: pytest.Function) -> bool | None:
    """Run a coroutine that is a test: the little that Textual's Pilot needs of a plugin."""
    if not inspect.iscoroutinefunction(pyfuncitem.obj):
        return None
    names = inspect.signature(pyfuncitem.obj).parameters
    asyncio.run(pyfuncitem.obj(**{name: pyfuncitem.funcargs[name] for name in names}))
    return True


@pytest.fixture(autouse=True)
def nobody_copies(monkeypatch: pytest.MonkeyPatch) -> None:
    """No damaged file of a test is one that is still being copied: it is not waited for."""
    monkeypatch.setattr("rodcall.book.storage.opening._LOOK_AGAIN", 0.0)

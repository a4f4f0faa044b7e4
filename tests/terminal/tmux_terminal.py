"""A program inside tmux, which has ideas of its own about keys, colours and resizing."""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Final, Self

import pytest

from .screen import Lines, ScreenTimeoutError, Wanted, framed, shows

needs_tmux: Final = pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed")

_NAMES: Final = {
    "enter": "Enter",
    "escape": "Escape",
    "tab": "Tab",
    "backspace": "BSpace",
    "space": "Space",
    "up": "Up",
    "down": "Down",
    "left": "Left",
    "right": "Right",
    "home": "Home",
    "end": "End",
    "delete": "DC",
    "insert": "IC",
    "pageup": "PPage",
    "pagedown": "NPage",
    "ctrl+z": "C-z",
    "ctrl+c": "C-c",
}


class Tmux:
    """Runs a command in a tmux server of its own; as a context manager it ends that server.

    Args:
        command: The program and its arguments.
        env: Additions to the environment.
        columns, rows: Size of the window in cells.
        term: What TERM says inside.
    """

    def __init__(
        self,
        command: Sequence[str | os.PathLike[str]],
        *,
        env: Mapping[str, str] | None = None,
        columns: int = 80,
        rows: int = 24,
        term: str = "tmux-256color",
    ) -> None:
        self._folder = tempfile.TemporaryDirectory(prefix="tmux-")
        self._status = Path(self._folder.name, "status")
        size = ["-x", str(columns), "-y", str(rows)]
        assignments = [f"{name}={value}" for name, value in {"TERM": term, **(env or {})}.items()]
        program = ["env", *assignments, *(os.fspath(word) for word in command)]
        # A shell stays after the program's end, so that its last screen and its status can be read.
        kept = ["/bin/sh", "-c", '"$@"; echo $? >"$0"; exec sleep 3600', str(self._status), *program]
        no_status_line = ["set-option", "-g", "status", "off", ";"]
        self._tmux("-f", os.devnull, "start-server", ";", *no_status_line, "new-session", "-d", *size, *kept)

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def send(self, text: str) -> None:
        """Type characters as they are."""
        self._tmux("send-keys", "-l", "--", text)

    def keys(self, *names: str) -> None:
        """Press keys by name or character."""
        self._tmux("send-keys", *(_NAMES.get(name, name) for name in names))

    def paste(self, text: str) -> None:
        """Paste, in brackets where the program asked for them."""
        self._tmux("set-buffer", "--", text)
        self._tmux("paste-buffer", "-p")

    def text(self) -> Lines:
        """The lines of the screen, without the spaces at their ends."""
        return [line.rstrip() for line in self._tmux("capture-pane", "-p").split("\n")[:-1]]

    def styled(self) -> str:
        """The screen with the sequences that colour it."""
        return self._tmux("capture-pane", "-p", "-e")

    def wait_for(self, wanted: Wanted, timeout: float = 30.0) -> None:
        """Look again and again until the screen shows it; tmux tells nobody when it changes.

        Raises:
            ScreenTimeoutError: when it does not come in time.
        """
        deadline = time.monotonic() + timeout
        while not shows(wanted, lines := self.text()):
            if time.monotonic() > deadline:
                raise ScreenTimeoutError(f"{timeout} s went by and tmux never showed {wanted!r}\n{framed(lines)}")
            time.sleep(0.02)

    def wait_exit(self, timeout: float = 30.0) -> int:
        """Wait for the program's end; returns its exit status, 128 + n after signal n.

        Raises:
            ScreenTimeoutError: when it does not end in time.
        """
        deadline = time.monotonic() + timeout
        while not (self._status.exists() and (status := self._status.read_text())):
            if time.monotonic() > deadline:
                raise ScreenTimeoutError(f"still running after {timeout} s\n{framed(self.text())}")
            time.sleep(0.02)
        return int(status)

    def close(self) -> None:
        """End the server, and with it the program, which gets SIGHUP."""
        with contextlib.suppress(RuntimeError):
            while True:  # the server answers until it is gone
                self._tmux("kill-server")
        self._folder.cleanup()

    def _tmux(self, *arguments: str) -> str:
        command = ["tmux", "-S", str(Path(self._folder.name, "socket")), *arguments]
        environment = {name: value for name, value in os.environ.items() if name != "TMUX"}
        done = subprocess.run(command, capture_output=True, text=True, env=environment, check=False)
        if done.returncode:
            raise RuntimeError(f"tmux {' '.join(arguments)}: {done.stderr.strip()}")
        return done.stdout

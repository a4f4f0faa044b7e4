"""A terminal that a test holds in its hand: a program on a pseudo-terminal, and the screen that it paints."""

from __future__ import annotations

import contextlib
import fcntl
import os
import re
import select
import signal
import struct
import subprocess
import termios
import threading
from collections.abc import Mapping, Sequence
from time import perf_counter
from typing import Final, NamedTuple, Self

from pyte.screens import Char

from . import keys
from .keys import Keypad
from .screen import ALTERNATE, Lines, Painter, Screen, ScreenTimeoutError, Wanted, framed, shows

SYNCHRONIZED: Final = {b"\x1b[?2026$p": b"\x1b[?2026;2$y"}
"""Replies of a terminal that takes synchronized output."""

_PASTE: Final = 2004
_MODE_NAMES: Final = {ALTERNATE: "alternate screen", 25: "cursor", 7: "line wrap", _PASTE: "bracketed paste"}
_AT_REST: Final = {7, 25}

# Behind `nohup` a hang-up is ignored, by every program of a test too. One that is caught comes to them as ever.
if signal.getsignal(signal.SIGHUP) is signal.SIG_IGN:
    signal.signal(signal.SIGHUP, lambda *_: None)

_KITTY_PUSH, _KITTY_POP = re.compile(rb"\x1b\[>\d+u"), re.compile(rb"\x1b\[<u")


class Chunk(NamedTuple):
    """Bytes that passed at one moment of `time.perf_counter`, in seconds."""

    at: float
    data: bytes


class Terminal:
    """Runs a command on a pseudo-terminal of its own, as its session's controlling terminal.

    A thread reads what the program writes and notes the time; the screen is painted only when it is asked for,
    so that after `settle` a time holds no painting. As a context manager it ends the program in any state.

    Args:
        command: The program and its arguments.
        env: Changes to the environment; None takes a variable away.
        cwd: Where it runs.
        columns, rows: Size of the screen in cells.
        replies: What the terminal answers, by the query.
    """

    def __init__(
        self,
        command: Sequence[str | os.PathLike[str]],
        *,
        env: Mapping[str, str | None] | None = None,
        cwd: str | os.PathLike[str] | None = None,
        columns: int = 80,
        rows: int = 24,
        replies: Mapping[bytes, bytes] | None = None,
    ) -> None:
        self.received: list[Chunk] = []
        """What the program wrote, as it came."""
        self.sent: list[Chunk] = []
        """What was written to it, with the time just before the write."""
        self._replies = dict(replies or {})
        self._screen = Screen(columns, rows)
        self._painter = Painter(self._screen)
        self._painted = 0
        self._came = threading.Condition()
        self._ended = False
        self._closing = False
        self._master, slave = os.openpty()
        try:
            self._set_size(columns, rows)
            self._attributes_before = termios.tcgetattr(slave)
            self.started = perf_counter()
            """Just before the program was started."""
            self.process = _spawn(command, slave, _environment(env or {}), cwd)
        except BaseException:
            os.close(self._master)
            raise
        finally:
            os.close(slave)
        self._reader = threading.Thread(target=self._read, name="terminal-reader", daemon=True)
        self._reader.start()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    # -- keying ---------------------------------------------------------------------------------------------

    def send(self, data: str | bytes) -> float:
        """Write to the program as if keyed; returns the time just before the write."""
        raw = data.encode() if isinstance(data, str) else data
        at = perf_counter()
        self.sent.append(Chunk(at, raw))
        while raw:
            raw = raw[os.write(self._master, raw) :]
        return at

    def keys(self, *names: str) -> float:
        """Press keys by name (`up`, `enter`, `ctrl+z`) or character.

        A lone `escape` is told from the start of a sequence by the silence after it: wait for its effect
        before the next key.
        """
        return self.send(b"".join(map(keys.key, names)))

    def keypad(self, characters: str, encoding: Keypad = Keypad.PLAIN) -> float:
        r"""Press keys of the numeric keypad, `\r` being its Enter."""
        return self.send(keys.keypad(characters, encoding))

    def paste(self, text: str) -> float:
        """Paste: in brackets where the program asked for them, else as if keyed."""
        return self.send(keys.pasted(text) if _PASTE in self.modes() else text.replace("\n", "\r"))

    def click(self, x: int, y: int) -> float:
        """Click on the cell in column x of line y, counted from 0."""
        return self.send(keys.click(x, y))

    def resize(self, columns: int, rows: int) -> None:
        """Make the window another size, of which the program is told by SIGWINCH."""
        self._paint_all()
        self._screen.resize(rows, columns)
        self._set_size(columns, rows)

    # -- seeing ---------------------------------------------------------------------------------------------

    def text(self) -> Lines:
        """The lines of the screen, without the spaces at their ends."""
        self._paint_all()
        return self._screen.rows()

    def line(self, n: int) -> str:
        """The n-th line from the top, counted from 0."""
        return self.text()[n]

    def find(self, text: str) -> tuple[int, int]:
        """Column and line where a text stands first, top down.

        Raises:
            ScreenTimeoutError: when it is not on the screen.
        """
        lines = self.text()
        for y, line in enumerate(lines):
            if (x := line.find(text)) >= 0:
                return x, y
        raise ScreenTimeoutError(f"{text!r} is not on the screen\n{framed(lines)}")

    def cell(self, x: int, y: int) -> Char:
        """The character in a cell with all that it wears."""
        self._paint_all()
        return self._screen.buffer[y][x]

    def cell_colours(self, x: int, y: int) -> tuple[str, str]:
        """Ink and ground as seen, reverse video counted in: six hexadecimal digits, a name, or `default`."""
        cell = self.cell(x, y)
        return (cell.bg, cell.fg) if cell.reverse else (cell.fg, cell.bg)

    def wait_for(self, wanted: Wanted, timeout: float = 30.0) -> float:
        """Wait until the screen shows it; returns the time at which the bytes that showed it had come.

        The screen is looked at after each chunk, so that what shows for a moment only is seen too.

        Raises:
            ScreenTimeoutError: when it does not come, or the program ends without.
        """
        deadline = perf_counter() + timeout
        at = self.received[self._painted - 1].at if self._painted else self.started
        while not shows(wanted, self._screen.rows()):
            chunk = self._next_chunk(deadline)
            if chunk is None:
                ended = f"the program ended ({self.process.poll()})" if self._ended else f"{timeout} s went by"
                raise ScreenTimeoutError(f"{ended} and the screen never showed {wanted!r}\n{framed(self.text())}")
            at = chunk.at
            self._paint(chunk)
        return at

    def settle(self, quiet: float = 0.1, timeout: float = 10.0) -> None:
        """Wait until nothing has come for `quiet` seconds; paints nothing, so that times stay exact.

        Raises:
            ScreenTimeoutError: when it never falls silent.
        """
        deadline = perf_counter() + timeout
        with self._came:
            last = perf_counter()
            while not self._ended and (left := last + quiet - perf_counter()) > 0:
                if self._came.wait(left):
                    last = perf_counter()
                if last > deadline:
                    raise ScreenTimeoutError(f"no silence of {quiet} s within {timeout} s\n{framed(self.text())}")

    # -- ending ---------------------------------------------------------------------------------------------

    def signal(self, number: signal.Signals) -> None:
        """Send a signal to the command that was started."""
        self.process.send_signal(number)

    def hang_up(self) -> None:
        """Close the window under the program, which gets SIGHUP and can write no more."""
        self._closing = True
        self._reader.join()
        if self._master >= 0:
            os.close(self._master)
            self._master = -1

    def wait_exit(self, timeout: float = 30.0) -> int:
        """Wait for the program's end and its last output; returns its exit status, minus n after signal n.

        Raises:
            ScreenTimeoutError: when it does not end.
        """
        try:
            status = self.process.wait(timeout)
        except subprocess.TimeoutExpired:
            raise ScreenTimeoutError(f"still running after {timeout} s\n{framed(self.text())}") from None
        self._reader.join(1.0)
        return status

    def kill(self) -> None:
        """End the program, and whatever stands in the foreground of its terminal, without asking."""
        if self.process.poll() is None:
            groups = {self.process.pid}
            with contextlib.suppress(OSError):
                groups.add(os.tcgetpgrp(self._master))
            for group in groups - {0}:
                with contextlib.suppress(ProcessLookupError):
                    os.killpg(group, signal.SIGKILL)
        self.process.wait()

    def close(self) -> None:
        """End the program and give everything back."""
        self.kill()
        self.hang_up()

    # -- modes ----------------------------------------------------------------------------------------------

    def modes(self) -> set[int]:
        """The private modes (DEC numbers) that are set now."""
        self._paint_all()
        return {mode >> 5 for mode in self._screen.mode if mode >= 32}

    def is_alternate_screen(self) -> bool:
        """True while the program paints on the alternate screen."""
        return ALTERNATE in self.modes()

    def left_behind(self) -> list[str]:
        """What the program changed and has not put back, in words; empty when all is restored."""
        left = [f"{_mode_name(mode)} left on" for mode in sorted(self.modes() - _AT_REST)]
        left += [f"{_mode_name(mode)} left off" for mode in sorted(_AT_REST - self.modes())]
        if depth := self._kitty_depth():
            left.append(f"keyboard protocol pushed {depth} times more than popped")
        names = ("input", "output", "control", "local", "input speed", "output speed", "characters")
        now = termios.tcgetattr(self._master)
        for name, before, after in zip(names, self._attributes_before, now, strict=True):
            if before != after:
                left.append(f"termios {name} {before} became {after}")
        return left

    def _kitty_depth(self) -> int:
        output = b"".join(chunk.data for chunk in self.received)
        return len(_KITTY_PUSH.findall(output)) - len(_KITTY_POP.findall(output))

    # -- inside ---------------------------------------------------------------------------------------------

    def _set_size(self, columns: int, rows: int) -> None:
        fcntl.ioctl(self._master, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def _read(self) -> None:
        tail = b""
        while not self._closing:
            if not select.select([self._master], [], [], 0.05)[0]:
                continue
            try:
                data = os.read(self._master, 65536)
            except OSError:  # Linux says EIO once nobody holds the other end; others give an empty read
                data = b""
            chunk = Chunk(perf_counter(), data)
            if not data:
                break
            with self._came:
                self.received.append(chunk)
                self._came.notify_all()
            tail = self._answer(tail + data)
        with self._came:
            self._ended = True
            self._came.notify_all()

    def _answer(self, output: bytes) -> bytes:
        """Answer the queries in it; returns its end, which may be the first part of one more."""
        end = 0
        for query, reply in self._replies.items():
            for found in re.finditer(re.escape(query), output):
                os.write(self._master, reply)
                end = max(end, found.end())
        return output[max(end, len(output) - 16) :]

    def _next_chunk(self, deadline: float) -> Chunk | None:
        with self._came:
            self._came.wait_for(
                lambda: self._ended or len(self.received) > self._painted, max(0.0, deadline - perf_counter())
            )
            return self.received[self._painted] if len(self.received) > self._painted else None

    def _paint(self, chunk: Chunk) -> None:
        self._painter.feed(chunk.data)
        self._painted += 1

    def _paint_all(self) -> None:
        while self._painted < len(self.received):
            self._paint(self.received[self._painted])


def _mode_name(mode: int) -> str:
    return _MODE_NAMES.get(mode, f"mode {mode}")


def _environment(changes: Mapping[str, str | None]) -> dict[str, str]:
    """The test's environment less what would steer the program's look, with the changes."""
    steering = ("COLUMNS", "LINES", "NO_COLOR", "FORCE_COLOR", "TERM_PROGRAM", "TMUX")
    kept = {k: v for k, v in os.environ.items() if k not in steering and not k.startswith("TEXTUAL")}
    kept |= {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LC_ALL": "C.UTF-8"}
    changed = {**kept, **changes}
    return {name: value for name, value in changed.items() if value is not None}


def _spawn(
    command: Sequence[str | os.PathLike[str]],
    slave: int,
    env: dict[str, str],
    cwd: str | os.PathLike[str] | None,
) -> subprocess.Popen[bytes]:
    """Start a session whose controlling terminal is the slave.

    A session leader gets it by opening it; the shell does that and becomes the program. (A hook in a forked
    child would do it too, but a fork is not safe beside threads.)
    """
    opened = [
        "/bin/sh",
        "-c",
        'terminal=$1; shift; exec "$@" <>"$terminal"',
        "sh",
        os.ttyname(slave),
        *command,
    ]
    return subprocess.Popen(opened, stdin=slave, stdout=slave, stderr=slave, env=env, cwd=cwd, start_new_session=True)

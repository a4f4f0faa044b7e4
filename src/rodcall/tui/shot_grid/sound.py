"""Sounds for a reading taken, a question, or a spot out of tolerance: bells, or words by the crew's command."""

from __future__ import annotations

import os
import shlex
import signal
import subprocess
import threading
from collections.abc import Callable
from typing import Protocol

from rodcall.book.storage.safe_read import reason
from rodcall.i18n import say
from rodcall.tablet.settings import Settings
from rodcall.wording.read_back import Call, ReadBack
from rodcall.wording.speech import spoken
from rodcall.wording.words import harmless

LONGEST = 10.0
"""Seconds after which a command that still speaks is ended: by then other words are wanted."""
MOST_CHARACTERS = 200
BELLS_APART = 0.25
"""Seconds between bells, so that they can be counted."""


class Speaker:
    """Hands words to a command on a thread of its own, so that keying never waits.

    While one is spoken the newest of those that follow waits, and the others are dropped: what was true two readings
    ago is better not said. The command is run without a shell, the words its last argument.

    Args:
        command: Program and arguments, as a shell would split them.
        tell: Called once, on the speaker's thread, with one line when the command fails; from then on it is silent.
        longest: Seconds until a command is ended.
    """

    def __init__(self, command: str, tell: Callable[[str], None], longest: float = LONGEST) -> None:
        self._command = command
        self._tell = tell
        self._longest = longest
        self._waiting = ""
        self._changed = threading.Condition()
        self._closed = False
        self._running: subprocess.Popen[bytes] | None = None
        self._thread = threading.Thread(target=self._run, name="speaker", daemon=True)
        self._thread.start()

    def say(self, words: str) -> None:
        """Speak these words next. Returns at once."""
        with self._changed:
            self._waiting = _argument(words)
            self._changed.notify()

    def close(self) -> None:
        """End what is being spoken, and stop."""
        with self._changed:
            self._closed = True
            self._changed.notify()
            if self._running is not None:
                _end(self._running)
        self._thread.join()

    def _run(self) -> None:
        while words := self._next():
            try:
                status = self._speak(words)
            except (OSError, ValueError) as error:
                why = reason(error) if isinstance(error, OSError) else str(error)
            else:
                if status == 0 or self._closed:
                    continue
                why = say("it ended with {status}", status=status)
            self._tell(say("say_command: {why}; nothing more is spoken", why=why))
            return

    def _next(self) -> str:
        """The words to be spoken next; none once it is closed."""
        with self._changed:
            self._changed.wait_for(lambda: self._waiting or self._closed)
            words, self._waiting = self._waiting, ""
            return "" if self._closed else words

    def _speak(self, words: str) -> int:
        """Run the command with these words; its status, 0 where it had to be ended."""
        parts = shlex.split(self._command, posix=os.name == "posix")
        if not parts:
            raise ValueError(say("none is set"))
        quiet = subprocess.DEVNULL
        with self._changed:
            if self._closed:
                return 0
            self._running = subprocess.Popen(
                [*parts, words], stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True
            )
        try:
            return self._running.wait(self._longest)
        except subprocess.TimeoutExpired:
            _end(self._running)
            self._running.wait()
            return 0


class Sounds:
    """What the crew has set to be heard.

    Args:
        ring: Rings so many bells, waiting for none.
        speaker: Speaks instead of them.
    """

    def __init__(self, ring: Callable[[int], None], speaker: Speaker | None = None) -> None:
        self._ring = ring
        self._speaker = speaker

    def heard(self, call: Call, text: str) -> None:
        """Let it be heard.

        Args:
            call: How it is called out.
            text: How the screen says it.
        """
        if self._speaker is None:
            self._ring(int(call))
            return
        words = spoken(harmless(text))
        self._speaker.say(say("out of tolerance, {words}", words=words) if call is Call.OUT else words)

    def close(self) -> None:
        """Be silent from here on."""
        if self._speaker is not None:
            self._speaker.close()


class Timer(Protocol):
    """Something that is to come and can be stopped."""

    def stop(self) -> None:
        """Let it not come."""


class Hearing:
    """Lets the crew hear what the shot grid shows: what an act came to, each question, and what was not taken.

    Args:
        settings: What is set, `sound` not being off.
        bell: Rings once.
        after: Calls something after so many seconds.
        silent: Told on the speaker's thread, in one line, when nothing is spoken any more.
    """

    def __init__(
        self,
        settings: Settings,
        bell: Callable[[], None],
        after: Callable[[float, Callable[[], None]], Timer],
        silent: Callable[[str], None],
    ) -> None:
        self._bell = bell
        self._after = after
        self._to_come: list[Timer] = []
        speaks = settings.sound == "command"
        self._sounds = Sounds(self._ring, Speaker(settings.say_command, silent) if speaks else None)

    def told(self, read_back: ReadBack) -> None:
        """What an act came to, and what is to be done about it."""
        self._sounds.heard(read_back.call, read_back.spoken)
        if read_back.order:
            self._sounds.heard(Call.LOOK, read_back.order)

    def asked(self, text: str) -> None:
        """A question, or why the last thing was not taken."""
        self._sounds.heard(Call.LOOK, text)

    def close(self) -> None:
        """Nothing is heard of a job that was left."""
        self._sounds.close()

    def _ring(self, times: int) -> None:
        """So many bells; those of the last time that are still to come are dropped."""
        for timer in self._to_come:
            timer.stop()
        self._bell()
        self._to_come = [self._after(BELLS_APART * each, self._bell) for each in range(1, times)]


def _argument(words: str) -> str:
    """Words that no program takes for one of its options, whatever a file made of them."""
    first = next((at for at, character in enumerate(words) if character.isalnum()), len(words))
    return words[first : first + MOST_CHARACTERS].replace("\0", " ")


def _end(process: subprocess.Popen[bytes]) -> None:
    """End a command and what it started."""
    try:
        if os.name == "posix":
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    except ProcessLookupError:
        return

"""The shot grid as plain lines, for screen readers and terminals without cursor control: `rodcall JOB.json --lines`.

The same session as on the screen takes what is typed, and each change is written once, as one line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from rodcall.book.entry_lines import write_line
from rodcall.book.storage.opening import JobFile
from rodcall.figures.summary import summarise
from rodcall.i18n import counted, say
from rodcall.tablet.paths import rescue
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.tui.terminal.keys import BEGIN_READING
from rodcall.tui.widgets.entry_line import Submitted
from rodcall.wording import punch_list as words_punch
from rodcall.wording import words

Tell = Callable[[str], None]


def run(file: JobFile, typed: Iterable[str], tell: Tell) -> str:
    """Take lines until they end, or one says `quit`; what is to be said of the disk, empty where all is well.

    A reading goes to the spot that was named. `go B3` names another, `list` reads the punch list, `undo` and `redo`
    do as on the screen; whatever else begins with a letter is an entry, as `rodcall enter` takes it.

    Args:
        file: The job, open to write.
        typed: What is typed, with or without line ends.
        tell: Writes one line.
    """
    by_line = _ByLine(ShotSession(file, lambda _: None), tell)
    by_line.begin()
    for line in typed:
        if not by_line.take(line.strip()):
            break
    kept = by_line.session.keeper.close()
    if not kept.trouble:
        tell(kept.words)
        return ""
    saved = rescue(file)
    told = say("the whole book is in {path}", path=saved) if saved else say("nor anywhere else")
    return f"{kept.words}; {told}"


class _ByLine:
    def __init__(self, session: ShotSession, tell: Tell) -> None:
        self.session = session
        self._tell = tell

    def begin(self) -> None:
        """Where the job is, and what comes next."""
        session = self.session
        self._tell(f"{words.harmless(session.book.job.name)}: {session.read_back.text}")
        if session.file.recovered:
            self._tell(words.harmless(session.file.recovered))
        self._tell_next()

    def take(self, said: str) -> bool:
        """Work off one line; False where it ends the work."""
        if said in ("quit", "q"):
            return False
        session = self.session
        before, verdict, open_before = session.read_back, session.listed.verdict, session.listed.open
        session.line.message = ""
        asked = session.line.question
        if asked is not None and asked.choices:
            answer = asked.choices.get(said.lower())
            session.line.close()
            if answer is None:
                self._tell(say("not taken: answer {choices}", choices=" ".join(asked.choices)))
            else:
                session.line.finish(answer)
        elif not said:
            session.say_next()
        elif said[0] in BEGIN_READING and not self._is_entry(said):
            session.line.finish(lambda: session.take(Submitted(said, session.named)))
        else:
            session.line.finish(lambda: self._command(said))
        session.follow()
        if session.read_back is not before:
            self._tell(session.read_back.text)
        if session.line.message:
            self._tell(session.line.message)
        if (session.listed.verdict, session.listed.open) != (verdict, open_before):
            still = counted(session.listed.open, "{number} item open", "{number} items open")
            self._tell(f"{say(str(session.listed.verdict))}: {still}")
        if session.line.question is not None:
            self._tell(session.line.question.prompt)
        else:
            self._tell_next()
        return True

    def _command(self, said: str) -> None:
        session = self.session
        word, _, rest = said.partition(" ")
        match word.lower():
            case "go":
                session.go_to(session.book.job.grid.index_said(rest.strip()))
            case "list":
                for item in session.listed.items:
                    self._tell(words_punch.item_words(session.summary, item))
                if not session.listed.items:
                    self._tell(say("the punch list is empty"))
            case "undo" | "u":
                session.written_together(session.book.undo())
            case "redo" | "y":
                session.written_together(session.book.redo())
            case _:
                change = write_line(session.book, said, lambda: summarise(session.book.page).suggested)
                session.written(change)

    def _is_entry(self, said: str) -> bool:
        """Does it begin with a position, or with a word of entries, though its first letter begins a reading too?"""
        first, *rest = said.split()
        if first.isalpha():
            return len(first) > 1 and first.lower() not in ("high", "low")
        return bool(rest) and first.upper() in self.session.book.job.grid.names

    def _tell_next(self) -> None:
        session = self.session
        named = session.named
        if named is not None and named.spot is not None:
            self._tell(say("next {position}", position=session.book.job.grid.name(named.spot)))
        else:
            self._tell(words_punch.next_words(session.summary, session.queue[0]))


def take_job(path: Path, typed: Iterable[str], tell: Tell) -> str:
    """Open a job and work on it line by line.

    Raises:
        JobFileError: when it cannot be opened.
    """
    from rodcall.book.storage.opening import open_to_write
    from rodcall.tablet.paths import tablet_name

    return run(open_to_write(path, tablet_name()), typed, tell)

"""The helper's page as the cab sees it: the code for a phone's camera, who is connected, and what phones may do."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from time import monotonic
from typing import ClassVar

from rich.style import Style
from rich.text import Text
from textual import events
from textual.app import ComposeResult

from rodcall.helper import code
from rodcall.helper.desk import HelperDesk
from rodcall.helper.network import Address, addresses
from rodcall.i18n import say
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.buttons import Button, Buttons, of_actions
from rodcall.tui.widgets.key_screen import KeyScreen
from rodcall.tui.widgets.lines import Lines, broken, fitted, wrapped
from rodcall.tui.widgets.styles import ACCENT, BAR, FAINT, HEAD, MESSAGE, PLAIN, STRONG

CODE = Style(color=code.LIGHT, bgcolor=code.DARK)
LEAST_BESIDE = 22
"""Columns that the words beside the code need; with less room they stand alone, and the address is typed."""
LOOK_S = 2.0
"""Seconds between looks at who is connected, and for how long."""


class HelperScreen(KeyScreen[None]):
    """Picks the address, shows the code, and keeps the list of phones.

    Args:
        desk: Between the session and its phones.
    """

    CSS = "HelperScreen { background: #101214; } HelperScreen #page { width: 100%; height: 100%; }"
    TABLE: ClassVar[str] = "helper"

    def __init__(self, desk: HelperDesk) -> None:
        super().__init__()
        self._desk = desk
        self._addresses: tuple[Address, ...] = addresses()
        self._at = 0
        self._buttons = Buttons()
        self._asks = ""
        """What is asked in the last line but one; empty where nothing is."""
        self._choices: dict[str, Callable[[], None]] = {}
        self._message = ""
        self._starting = False
        self._code: tuple[str, list[str]] = "", []

    def compose(self) -> ComposeResult:
        """One widget for all."""
        yield Lines(id="page")

    def on_mount(self) -> None:
        """Follow who comes and goes."""
        self._desk.changed_phones = self.show_anew
        self.set_interval(LOOK_S, self.show_anew)

    def on_unmount(self) -> None:
        """The page stays up; nobody looks at the list."""
        self._desk.changed_phones = lambda: None

    def on_resize(self, event: events.Resize) -> None:
        """Lay out anew."""
        self.show_anew()

    # -- keys -----------------------------------------------------------------------------------------------

    def press(self, key: Stroke) -> None:
        """The answer to what is asked, else what the table says."""
        pressed = key.character or key.name
        self._message = ""
        if self._asks:
            answer = self._choices.get(pressed.lower(), lambda: None)
            self._asks, self._choices = "", {}
            answer()
        elif (action := self.action_of(key)) is not None:
            self.do(action.id)
        self.show_anew()

    def on_click(self, event: events.Click) -> None:
        """A tap on a word of the last line does it."""
        if event.y == self.size.height - 1:
            self.tap(self._buttons.key_at(event.x), event)

    def _ask(self, what: str, choices: dict[str, Callable[[], None]]) -> None:
        self._asks, self._choices = what, choices

    # -- what can be done -----------------------------------------------------------------------------------

    @property
    def _is_up(self) -> bool:
        return self._desk.server is not None

    def do_up(self) -> None:
        "Go to the previous address."
        self._at = max(self._at - 1, 0)

    def do_down(self) -> None:
        "Go to the next address."
        self._at = min(self._at + 1, len(self._addresses) - 1)

    def do_start(self) -> None:
        """Start at the address under the bar; where it is up already, back to the grid."""
        if self._is_up:
            self.do_leave()
        elif not self._starting:
            self._starting = True
            self.run_worker(self._start(self._addresses[self._at].host), exclusive=True)

    async def _start(self, host: str) -> None:
        try:
            await self._desk.start(host)
        except OSError as error:
            why = (error.strerror or str(error)).lower()
            self._message = say("not started: {why}; turn the hotspot on, then pick its address", why=why)
            self._addresses = addresses()
            self._at = 0
        except ValueError as error:
            self._message = str(error)
        finally:
            self._starting = False
        if self._is_up and not self._desk.asked:
            self.do_readings()
        self.show_anew()

    def do_readings(self) -> None:
        """Ask whether phones may send readings."""
        allow, refuse = partial(self._desk.allow, True), partial(self._desk.allow, False)
        if self._desk.inbox.allowed:
            refuse()
        else:
            self._desk.asked = True
            asked = say("Let phones send readings in this job?  y or + yes, n or - no")
            self._ask(asked, {"y": allow, "+": allow, "s": allow, "n": refuse, "-": refuse})

    def do_send_away(self) -> None:
        """Ask which phone."""
        phones = self._desk.phones
        if not phones:
            self._message = say("no phone is connected")
            return
        server = self._desk.server
        assert server is not None

        def away(number: int) -> None:
            phone = next((each for each in self._desk.phones if each.number == number), None)
            if phone is not None:
                self.run_worker(server.send_away(phone))

        numbers = "  ".join(str(each.number) for each in phones)
        self._ask(
            say("Send which phone away?  {numbers}", numbers=numbers),
            {str(each.number): partial(away, each.number) for each in phones},
        )

    def do_stop(self) -> None:
        """Take the page down."""
        self.run_worker(self._stop(), exclusive=True)

    async def _stop(self) -> None:
        await self._desk.stop()
        self._addresses = addresses()
        self.show_anew()

    def do_leave(self) -> None:
        """Back to the grid; the page stays as it is."""
        self.dismiss(None)

    # -- showing --------------------------------------------------------------------------------------------

    def show_anew(self) -> None:
        """The code and what belongs to it, or the addresses to pick from."""
        width, height = self.size
        if not self.is_mounted or self._gone or width < 2:
            return
        told = self._asks or self._message
        last = [Text(fitted(f" {told}", width), MESSAGE)] if told else []
        room = height - 1 - len(last)
        page = self._up(width, room) if self._is_up else self._to_pick(width)
        page = [*page, *(Text("") for _ in range(height))][:room]
        foot = Text(self._buttons.line(self._offered(), width, told=self.swallowed_words), FAINT)
        self.query_one(Lines).show([*page, *last, foot])

    def _offered(self) -> Sequence[Button]:
        hidden = {"up", "down", "menu"} | ({"start"} if self._is_up else {"readings", "send_away", "stop"})
        return of_actions(tuple(each for each in self.actions if each.id not in hidden))

    def _to_pick(self, width: int) -> list[Text]:
        told = [
            say("The helper's phone shows what the call-out shows, in its browser: no app, no account, no internet."),
            say("Phone and tablet must be on one hotspot; either of them can give it. Turn it on first."),
            say("Pick this tablet's address on that hotspot:"),
        ]
        page = [Text(fitted(f" {say('helper')}", width), HEAD)]
        page += [line for text in told for line in wrapped(text, width)]
        for at, each in enumerate(self._addresses):
            of = say("this tablet only, to try it out") if each.only_here else each.adapter
            row = f"   {each.host:<17}{of}"
            page.append(Text(fitted(row, width), BAR if at == self._at else STRONG))
        starting = [Text(f" {say('starting ...')}", ACCENT)] if self._starting else []
        return [*page, *starting]

    def _up(self, width: int, room: int) -> list[Text]:
        """The code with the words beside it; where there is no room for it, the words alone."""
        server = self._desk.server
        assert server is not None
        drawn = self._drawn(server.gate.address)
        beside = width - len(drawn[0]) - 1 if drawn else 0
        fits = (
            bool(drawn) and beside >= LEAST_BESIDE and len(drawn) <= room + 1
        )  # the last line of the quiet zone may go
        words = list(self._words(beside if fits else width - 2, server.gate.address, code_shown=fits))
        if not fits:
            return [Text(fitted(f" {say('helper')}", width), HEAD), *(Text.assemble(" ", line) for line in words)]
        blank = Text("")
        rows = max(len(drawn), len(words))
        lines = [*words, *(blank for _ in range(rows))][:rows]
        codes = [Text(row, CODE) for row in drawn] + [Text(" " * len(drawn[0]))] * (rows - len(drawn))
        return [Text.assemble(code_row, " ", line) for code_row, line in zip(codes, lines, strict=True)]

    def _drawn(self, address: str) -> list[str]:
        if self.program.ascii_only:
            return []
        if self._code[0] != address:
            self._code = address, code.half_blocks(code.matrix(address))
        return self._code[1]

    def _words(self, width: int, address: str, *, code_shown: bool) -> list[Text]:
        host, secret = address.lower().removeprefix("http://").split("/")
        how = (
            say("Scan the code with the phone's camera, or type:")
            if code_shown
            else say("No room for the code in this window. Type in the phone's browser:")
        )
        lines = [Text(line, FAINT) for line in broken(how, width)]
        lines += [Text(line, STRONG) for line in (f"{host}/", secret[:13], secret[13:])]
        lines.append(Text(""))
        allowed = say("readings: allowed") if self._desk.inbox.allowed else say("readings: not allowed")
        lines.append(Text(allowed, ACCENT))
        phones = self._desk.phones
        if not phones:
            lines += [Text(line, FAINT) for line in broken(say("No phone yet. Same hotspot?"), width)]
        for phone in phones:
            minutes = int((monotonic() - phone.since) // 60)
            lines += [
                Text(say("phone {number}", number=phone.number), STRONG),
                Text(f" {phone.peer} {minutes} min", PLAIN),
            ]
        return lines

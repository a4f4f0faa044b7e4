"""The program that proves the kit: it says on the screen what reached it, and prints it again when it ends.

Lines of input are kept until `q`, which ends it with status 3; SIGTERM ends it with 143, all modes restored.
"""

from __future__ import annotations

import asyncio
import signal

from textual import events
from textual.app import App, ComposeResult
from textual.widgets import Static


class KeyReporter(App[list[str]]):
    ENABLE_COMMAND_PALETTE = False
    CSS = "#coloured { color: #ff8000; background: #000080; text-style: reverse; }"
    BINDINGS = [("ctrl+z", "suspend_process", "Suspend")]  # noqa: RUF012

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[str] = []
        self.buffer = ""

    def compose(self) -> ComposeResult:
        yield Static("ready", id="size")
        yield Static("coloured", id="coloured")
        yield Static("", id="event", markup=False)
        yield Static("", id="lines", markup=False)

    def on_mount(self) -> None:
        asyncio.get_running_loop().add_signal_handler(signal.SIGTERM, self.exit, self.lines, 143)
        self.app_resume_signal.subscribe(self, lambda _: self.refresh(layout=True))

    def on_resize(self, event: events.Resize) -> None:
        self.query_one("#size", Static).update(f"ready {event.size.width} x {event.size.height}")

    def on_key(self, event: events.Key) -> None:
        if event.key == "q":
            self.exit(self.lines, return_code=3)
        elif event.key == "enter":
            self.lines.append(self.buffer)
            self.buffer = ""
        elif event.is_printable and event.character:
            self.buffer += event.character
        self.query_one("#lines", Static).update(f"{len(self.lines)} lines, then {self.buffer!r}")
        self.say(f"key {event.key} {event.character!r}")

    def on_paste(self, event: events.Paste) -> None:
        self.say(f"paste {event.text!r}")

    def on_click(self, event: events.Click) -> None:
        self.say(f"click {event.screen_x} {event.screen_y}")

    def say(self, what: str) -> None:
        self.query_one("#event", Static).update(what + ".")


if __name__ == "__main__":
    app = KeyReporter()
    print("taken:", " ".join(app.run() or []), flush=True)
    raise SystemExit(app.return_code)

"""A phone that a test holds in its hand: headless Chromium, driven over its DevTools protocol.

The protocol: https://chromedevtools.github.io/devtools-protocol/ (from memory).
"""

from __future__ import annotations

import asyncio
import base64
import contextlib
import itertools
import os
import shutil
import subprocess
import tempfile
from collections.abc import AsyncIterator
from pathlib import Path
from time import monotonic
from typing import Any, Final

import aiohttp

CHROMIUM: Final = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
PATIENCE: Final = 20.0
"""Seconds until a state is given up: the machine may be busy, and no time is judged here."""
FLAGS: Final = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-extensions",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-dev-shm-usage",
    "--remote-debugging-port=0",
)


class Phone:
    """One tab of a browser, in the size and the language of a phone."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse, session: str) -> None:
        self._socket = socket
        self._session = session
        self._ids = itertools.count(1)
        self._answers: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self.dialogs = 0
        """How many times a script opened a dialog."""
        self.complaints: list[str] = []
        """What the browser wrote on its console."""
        self.asked_for: list[str] = []
        """Every address that the page asked for."""

    async def call(self, method: str, **params: Any) -> dict[str, Any]:
        number = next(self._ids)
        future = self._answers[number] = asyncio.get_running_loop().create_future()
        await self._socket.send_json({"id": number, "method": method, "params": params, "sessionId": self._session})
        return await asyncio.wait_for(future, PATIENCE)

    def heard(self, message: dict[str, Any]) -> None:
        if (number := message.get("id")) in self._answers:
            future = self._answers.pop(number)
            if not future.done():
                if "error" in message:
                    future.set_exception(RuntimeError(str(message["error"])))
                else:
                    future.set_result(message["result"])
        elif message.get("method") == "Page.javascriptDialogOpening":
            self.dialogs += 1
        elif message.get("method") in ("Runtime.exceptionThrown", "Log.entryAdded"):
            self.complaints.append(str(message["params"]))
        elif message.get("method") == "Network.requestWillBeSent":
            self.asked_for.append(message["params"]["request"]["url"])

    async def js(self, expression: str) -> Any:
        """What an expression is worth in the page."""
        told = await self.call("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        if "exceptionDetails" in told:
            raise RuntimeError(str(told["exceptionDetails"]))
        return told["result"].get("value")

    async def text(self, name: str) -> str:
        """What is seen of an element, by its id; empty where it is hidden or covered."""
        seen = await self.js(
            f"""(() => {{ const el = document.getElementById('{name}'), gone = document.getElementById('gone');
            if (!el || !gone) return '';
            const covered = !gone.hidden && !gone.contains(el);
            return covered || el.offsetParent === null && getComputedStyle(el).position !== 'fixed' ? ''
            : el.innerText; }})()"""
        )
        return str(seen).strip()

    async def until(self, condition: str, patience: float = PATIENCE) -> None:
        """Wait until an expression is true."""
        end = monotonic() + patience
        while not await self.js(condition):
            if monotonic() > end:
                told = await self.js("document.body.innerText")
                raise TimeoutError(f"{condition} never came true\n{told}")
            await asyncio.sleep(0.02)

    async def shows(self, name: str, text: str, patience: float = PATIENCE) -> None:
        """Wait until an element shows a text."""
        end = monotonic() + patience
        while text not in (seen := await self.text(name)):
            if monotonic() > end:
                told = await self.js("document.body.innerText")
                raise TimeoutError(f"{name} shows {seen!r}, never {text!r}\n{told}")
            await asyncio.sleep(0.02)

    async def tap(self, selector: str) -> None:
        await self.js(f"document.querySelector({selector!r}).click()")

    async def tap_key(self, text: str) -> None:
        """Tap a key of the page's own keyboard by what stands on it."""
        await self.js(
            f"""(() => {{ const keys = [...document.querySelectorAll('#keys button')];
            (keys.find(b => b.textContent === {text!r}) || keys.find(b => b.textContent.includes({text!r}))).click();
            }})()"""
        )

    async def key_in(self, said: str) -> None:
        """Tap the characters of a reading: signs, digits, and what joins them."""
        for character in said:
            await self.tap_key({"+": "\u25b2", "-": "\u25bc"}.get(character, character))

    async def size(self, width: int, height: int) -> None:
        await self.call(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=2, mobile=True
        )

    async def light(self, scheme: str) -> None:
        await self.call("Emulation.setEmulatedMedia", features=[{"name": "prefers-color-scheme", "value": scheme}])

    async def picture(self, path: Path, *, full: bool = False) -> None:
        shot = await self.call("Page.captureScreenshot", format="png", captureBeyondViewport=full)
        path.write_bytes(base64.b64decode(shot["data"]))

    async def open(self, address: str) -> None:
        await self.call("Page.navigate", url=address)

    async def close(self) -> None:
        with contextlib.suppress(Exception):
            await self.call("Page.close")


class Browser:
    """A running Chromium; each phone has a profile of its own, as in incognito windows."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self._socket = socket
        self._ids = itertools.count(1_000_000)
        self._answers: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self._phones: dict[str, Phone] = {}
        self._reading = asyncio.create_task(self._read())

    async def _read(self) -> None:
        async for message in self._socket:
            said = message.json()
            if said.get("sessionId") in self._phones:
                self._phones[said["sessionId"]].heard(said)
            elif said.get("id") in self._answers:
                self._answers.pop(said["id"]).set_result(said)

    async def _call(self, method: str, **params: Any) -> dict[str, Any]:
        number = next(self._ids)
        future = self._answers[number] = asyncio.get_running_loop().create_future()
        await self._socket.send_json({"id": number, "method": method, "params": params})
        said = await asyncio.wait_for(future, PATIENCE)
        return dict(said["result"])

    async def phone(self, *, language: str = "en-US", width: int = 390, height: int = 844) -> Phone:
        context = (await self._call("Target.createBrowserContext"))["browserContextId"]
        target = (await self._call("Target.createTarget", url="about:blank", browserContextId=context))["targetId"]
        session = (await self._call("Target.attachToTarget", targetId=target, flatten=True))["sessionId"]
        phone = self._phones[session] = Phone(self._socket, session)
        for domain in ("Page", "Runtime", "Log", "Network"):
            await phone.call(f"{domain}.enable")
        agent = await phone.js("navigator.userAgent")
        await phone.call("Network.setUserAgentOverride", userAgent=agent, acceptLanguage=language)
        await phone.size(width, height)
        return phone


@contextlib.asynccontextmanager
async def chromium() -> AsyncIterator[Browser]:
    """Start a browser, and end it."""
    assert CHROMIUM is not None
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        process = subprocess.Popen(
            [CHROMIUM, *FLAGS, f"--user-data-dir={profile}", "about:blank"],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            port_file = Path(profile) / "DevToolsActivePort"
            end = monotonic() + 60
            while not port_file.exists() or len(port_file.read_text().split()) < 2:
                if monotonic() > end or process.poll() is not None:
                    raise TimeoutError("the browser does not start")
                await asyncio.sleep(0.05)
            port, path = port_file.read_text().split()
            async with (
                aiohttp.ClientSession() as session,
                session.ws_connect(f"ws://127.0.0.1:{port}{path}", max_msg_size=0) as socket,
            ):
                yield Browser(socket)
        finally:
            process.kill()
            process.wait()

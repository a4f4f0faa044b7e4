"""Prints what the helper's page costs and how quick it is, with the real program in a pty and a real browser.

    python -m tests.benchmarks.helper_page latency    cell painted in the cab to text painted on the phone, and back
    python -m tests.benchmarks.helper_page cost       one Enter with three phones on, beside one with none
    python -m tests.benchmarks.helper_page flood      one Enter while a stranger guesses, beside one in peace
    python -m tests.benchmarks.helper_page cuts       a typed session with fifty cuts
    python -m tests.benchmarks.helper_page memory     10,000 updates, 200 reconnects
    python -m tests.benchmarks.helper_page guesses    how long a guess takes, by how much of it is right
    python -m tests.benchmarks.helper_page axe FILE   accessibility, by axe-core's axe.min.js (npm pack axe-core)

All traffic stays on loopback addresses. Nothing is asserted; the bars stand beside the figures.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import gc
import json
import os
import statistics
import tempfile
import time
from collections.abc import AsyncIterator, Sequence
from functools import partial
from pathlib import Path
from time import perf_counter

import aiohttp

from rodcall.helper.gate import Gate
from rodcall.helper.server import HelperServer
from rodcall.units import Unit
from tests.helper.chromium import chromium
from tests.helper.kit import FakeDesk
from tests.kit import a_book, a_job
from tests.terminal.crew import a_file
from tests.terminal.helper_day import Cab, a_day, key_parts, typed_session
from tests.terminal.screen import Lines

WALL = time.time() - perf_counter()
"""From `perf_counter` to seconds since 1970, which browser and terminal share."""
WATCH = """
window.painted = [];
new MutationObserver(() => requestAnimationFrame(() => { const c = new MessageChannel();
  c.port1.onmessage = () => painted.push([document.getElementById('back_name').textContent,
    performance.timeOrigin + performance.now()]); c.port2.postMessage(0); }))
  .observe(document.getElementById('back_name'), {childList: true, characterData: true, subtree: true});
"""
"""In the page: when a read-back was painted, after the frame that shows it."""


def spots_of(along: int) -> list[str]:
    return [f"{'ABCD'[at if row % 2 else 3 - at]}{row}" for row in range(1, along + 1) for at in range(4)]


def in_plan(lines: Lines, said: str) -> bool:
    """The reading in a cell of the plan; not in the entry line, where it was typed."""
    return any(said in line for line in lines[1:17])


def told(name: str, values: Sequence[float], bar: str = "") -> None:
    ranked = sorted(values)
    p95 = ranked[min(int(0.95 * len(ranked)), len(ranked) - 1)]
    print(f"{name:52} n {len(values):4}  median {statistics.median(values):7.2f}  p95 {p95:7.2f} ms  {bar}")


async def latency(readings: int) -> None:
    to_phone, to_cab = [], []
    with tempfile.TemporaryDirectory() as folder:
        async with (
            chromium() as browser,
            a_day(a_file(Path(folder), along=25, across=4, heights=Unit.MM)) as (cab, address),
        ):
            phone = await browser.phone()
            await phone.open(address)
            await phone.shows("name", "A1")
            await phone.tap("#key")
            await phone.js(WATCH)
            spots = spots_of(25)
            for at in range(readings):
                said = f"-{101 + at}"
                await phone.shows("name", spots[at])
                await asyncio.sleep(0.15)
                if at % 2:
                    await key_parts(phone, said)
                    pressed = await phone.js(
                        "(() => { const t = performance.timeOrigin + performance.now();"
                        "document.getElementById('enter').click(); return t; })()"
                    )
                    painted = await cab.sees(partial(in_plan, said=said))
                    to_cab.append(1000 * (painted + WALL) - pressed)
                else:
                    cab.crew.terminal.send(said)
                    await asyncio.sleep(0.1)
                    cab.crew.terminal.send("\r")
                    painted = await cab.sees(partial(in_plan, said=said))
                    await phone.until(f"painted.length && painted[painted.length - 1][0] === {spots[at]!r}")
                    seen = await phone.js("painted[painted.length - 1][1]")
                    to_phone.append(seen - 1000 * (painted + WALL))
                await cab.sees(f"next {spots[at + 1]}")
    told("cell painted in the cab -> text painted on the phone", to_phone, "bar: p95 100")
    told("key on the phone -> cell painted in the cab", to_cab, "bar: 150")


@contextlib.asynccontextmanager
async def phones(address: str, number: int) -> AsyncIterator[None]:
    """Phones that only read along, each from a loopback address of its own."""
    async with contextlib.AsyncExitStack() as stack:
        tasks = []
        for at in range(number):
            connector = aiohttp.TCPConnector(local_addr=(f"127.0.0.{at + 10}", 0))
            session = await stack.enter_async_context(aiohttp.ClientSession(connector=connector))
            ws = await session.ws_connect(f"{address}/live", origin=address.rpartition("/")[0])
            await ws.send_json({"hello": f"{at:032x}", "language": "en"})
            tasks.append(asyncio.create_task(_read(ws)))
        yield
        for task in tasks:
            task.cancel()


async def _read(ws: aiohttp.ClientWebSocketResponse) -> None:
    async for _ in ws:
        pass


def cpu_of(cab: Cab) -> float:
    """Seconds of processor time that the program has had."""
    fields = Path(f"/proc/{cab.crew.terminal.process.pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


async def enters(cab: Cab, readings: int, first: int) -> tuple[list[float], float]:
    """Milliseconds from Enter to the painted cell, and processor time of an Enter with its digits."""
    times, began = [], cpu_of(cab)
    for at in range(first, first + readings):
        said = f"-{101 + at}"
        cab.crew.terminal.send(said)
        await asyncio.sleep(0.12)
        pressed = cab.crew.terminal.send("\r")
        painted = await cab.sees(partial(in_plan, said=said))
        times.append(1000 * (painted - pressed))
        await asyncio.sleep(0.12)
    return times, 1000 * (cpu_of(cab) - began) / readings


async def cost(readings: int) -> None:
    with_phones: list[float] = []
    without: list[float] = []
    cpu: dict[str, list[float]] = {"without": [], "with": []}
    with tempfile.TemporaryDirectory() as folder:
        async with a_day(a_file(Path(folder), along=100, across=4, heights=Unit.MM)) as (cab, address):
            for block in range(readings // 20):
                first = 40 * block
                times, each = await enters(cab, 20, first)
                without += times
                cpu["without"].append(each)
                async with phones(address, 3):
                    await asyncio.sleep(0.3)
                    times, each = await enters(cab, 20, first + 20)
                    with_phones += times
                    cpu["with"].append(each)
                await asyncio.sleep(0.3)
    told("Enter -> cell, no phone", without)
    told("Enter -> cell, three phones", with_phones)
    ratio = statistics.median(with_phones) / statistics.median(without)
    print(f"ratio of medians {ratio:.3f}   bar: 1.05")
    means = {name: statistics.mean(values) for name, values in cpu.items()}
    print(f"processor time of a reading: {means['without']:.1f} ms without, {means['with']:.1f} ms with three phones")


async def flood(readings: int) -> None:
    async def guess(origin: str, stop: asyncio.Event) -> int:
        made = 0
        connector = aiohttp.TCPConnector(local_addr=("127.0.0.99", 0), force_close=True, limit=16)
        async with aiohttp.ClientSession(connector=connector) as session:
            while not stop.is_set() and made < 20_000:
                made += 1
                with contextlib.suppress(aiohttp.ClientError, OSError, asyncio.TimeoutError):
                    async with session.get(f"{origin}/{made:026d}", timeout=aiohttp.ClientTimeout(0.5)):
                        pass
        return made

    calm: list[float] = []
    under: list[float] = []
    with tempfile.TemporaryDirectory() as folder:
        async with (
            a_day(a_file(Path(folder), along=100, across=4, heights=Unit.MM)) as (cab, address),
            phones(address, 3),
        ):
            origin = address.rpartition("/")[0]
            for block in range(readings // 20):
                calm += (await enters(cab, 20, 40 * block))[0]
                stop = asyncio.Event()
                guessing = [asyncio.create_task(guess(origin, stop)) for _ in range(8)]
                under += (await enters(cab, 20, 40 * block + 20))[0]
                stop.set()
                await asyncio.gather(*guessing)
    told("Enter -> cell, three phones, in peace", calm)
    told("Enter -> cell, while eight connections guess", under)


async def cuts(number: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        async with chromium() as browser:
            found = await typed_session(browser, Path(folder), number)
    print(f"{number} cuts: {found['sent']} readings from the phone, each once, at its own spot, none lost")
    print(f"slowest LOST after {found['slowest']:.2f} s   bar: 3")


def resident_mb() -> float:
    return int(Path("/proc/self/statm").read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6


async def memory(updates: int, reconnects: int) -> None:
    desk = FakeDesk(a_book("A1 0", "B1 -3/8", job=a_job(along=10, across=10)))
    server = HelperServer("127.0.0.1", desk)
    await server.start()
    address = server.gate.address.replace("HTTP", "http")
    after: list[float] = []
    for part in range(11):
        async with phones(address, 3):
            for at in range(updates // 10):
                desk.cab.go_to(at % 100)
                server.changed()
                await asyncio.sleep(0.002)
        for at in range(reconnects // 10):
            async with aiohttp.ClientSession() as session:
                ws = await session.ws_connect(f"{address}/live", origin=address.rpartition("/")[0])
                await ws.send_json({"hello": f"{1000 * part + at:032x}", "language": "es"})
                await ws.receive(timeout=20)
                await ws.close()
            await asyncio.sleep(0.22)
        gc.collect()
        after.append(resident_mb())
        print(f"after {part * updates // 10 + updates // 10:6} updates: {after[-1]:.1f} MB")
    await server.stop()
    print(
        f"growth over the last {updates} updates and {reconnects} reconnects: {after[-1] - after[0]:+.1f} MB   bar: 5"
    )


async def guesses(number: int) -> None:
    gate = Gate("127.0.0.1", 40123)
    secret = gate.address.rpartition("/")[2]
    ways = {
        "nothing right": "/" + ("A" if secret[0] != "A" else "B") * 26,
        "half right": "/" + secret[:13] + ("A" if secret[13] != "A" else "B") * 13,
        "all but the last": "/" + secret[:-1] + ("A" if secret[-1] != "A" else "B"),
        "short": "/A",
    }
    times: dict[str, list[int]] = {name: [] for name in ways}
    for _ in range(number):
        for name, path in ways.items():
            began = time.perf_counter_ns()
            gate.wanted(path)
            times[name].append(time.perf_counter_ns() - began)
    for name, each in times.items():
        print(f"{name:18} median {statistics.median(each):6.0f} ns  mean of the middle half {_middle(each):7.1f} ns")


def _middle(values: list[int]) -> float:
    ranked = sorted(values)
    return statistics.mean(ranked[len(ranked) // 4 : 3 * len(ranked) // 4])


async def axe(script: Path) -> None:
    lines = ["A1 0", "B1 -3/8", "C1 -1/2", "C2 -1/4", "target -1/2"]
    source = script.read_text("utf-8")
    async with chromium() as browser:
        for name, more in (("grid", []), ("alarm", ["B2 +9"])):
            server = HelperServer("127.0.0.1", FakeDesk(a_book(*lines, *more)))
            await server.start()
            for scheme in ("light", "dark"):
                for language in ("en-US", "es-MX"):
                    phone = await browser.phone(language=language)
                    await phone.light(scheme)
                    await phone.open(server.gate.address)
                    await phone.until("document.getElementById('gone') && document.getElementById('gone').hidden")
                    await phone.js(source + ";1")
                    for page, tap in (("first", None), ("keys", "#key"), ("punch", "#punch"), ("menu", "#more")):
                        if tap is not None:
                            await phone.tap(tap)
                        found = json.loads(await phone.js("axe.run().then(r => JSON.stringify(r.violations))"))
                        _report(f"{name} {page} {scheme} {language}", found)
                    await phone.close()
            await server.stop()


def _report(name: str, violations: list[dict[str, object]]) -> None:
    grave = [each for each in violations if each["impact"] in ("serious", "critical")]
    print(f"{name:28} {len(grave)} serious, {len(violations) - len(grave)} lesser")
    for each in violations:
        nodes = [node["html"][:90] for node in each["nodes"]][:3]  # type: ignore[attr-defined]
        print(f"    {each['impact']}: {each['id']}: {each['help']}  {nodes}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", choices=["latency", "cost", "flood", "cuts", "memory", "guesses", "axe"])
    parser.add_argument("file", nargs="?", type=Path)
    parser.add_argument("--number", type=int)
    asked = parser.parse_args()
    number = asked.number
    run = {
        "latency": lambda: latency(number or 90),
        "cost": lambda: cost(number or 100),
        "flood": lambda: flood(number or 60),
        "cuts": lambda: cuts(number or 50),
        "memory": lambda: memory(number or 10_000, 200),
        "guesses": lambda: guesses(number or 50_000),
        "axe": lambda: axe(asked.file),
    }[asked.what]
    asyncio.run(run())


if __name__ == "__main__":
    main()

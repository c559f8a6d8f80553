"""A class that drags at once: how long a student waits, what the server holds, whether anyone sees another.

`python -m tests.benchmarks.classroom [--students 30] [--processes 1]` serves the homework on the loopback,
logs in every student with a code of their own and drags the live column's slider twice a second each. What
came back to each student is held against what the library computes for that student's soil. With more than
one process a proxy in here keeps every student with one server, by a cookie.

It speaks the notebook framework's internal protocol, as its browser half does: another version may need
another.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import json
import os
import re
import signal
import statistics
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from websockets.asyncio.client import ClientConnection, connect

from soilx.column.sweep import sweep
from soilx.show.homework_column import Slid
from soilx.teaching.variants import variant
from tests.benchmarks.sticky_proxy import StickyProxy, free_port

COURSE = "CLASS-1"
PROBLEM = "least-gypsum"
MOVES_A_SECOND = 2.0
STARTS_WITHIN_S = 90.0
_CONTROLS = ("Course code", "Student code", "Problem", "Pure gypsum")
ANSWERS_WITHIN_S = 20.0


@dataclass(slots=True)
class Student:
    """One browser's worth of traffic.

    Attributes
    ----------
    number : int
    port : int
        Where the class is served.
    waits : list of float
        From a move to the last chart that it changed [s].
    """

    number: int
    port: int
    waits: list[float] = field(default_factory=list)
    opened_s: float = 0.0
    moved: float = 0.0
    heard: str = ""
    _models: dict[str, str] = field(default_factory=dict)
    _done: asyncio.Event = field(default_factory=asyncio.Event)
    _headers: dict[str, str] = field(default_factory=dict)
    _http: Any = None
    _reading: Any = None

    @property
    def code(self) -> str:
        """The student's code."""
        return f"S{self.number:03d}"

    async def open(self) -> None:
        """Ask for the page, join its session and write codes and problem into it."""
        began = time.perf_counter()
        page, headers = await self._ask("GET", f"/?course={COURSE}", b"")
        cookie = re.search(r"(?im)^set-cookie: (soilx_server=[^;\r\n]+)", headers)
        token = re.search(r'server-token[^>]*data-token="([^"]*)"', page)
        assert token is not None, page[:300]
        session = f"s_{self.number:06d}"
        self._headers = {"Marimo-Session-Id": session, "Marimo-Server-Token": token[1]}
        if cookie:
            self._headers["Cookie"] = cookie[1]
        socket = await connect(
            f"ws://127.0.0.1:{self.port}/ws?session_id={session}",
            max_size=None,
            additional_headers={"Cookie": cookie[1]} if cookie else {},
            open_timeout=STARTS_WITHIN_S,
        )
        self._reading = asyncio.create_task(self._read(socket))
        # A slow server may say that a part of the page is done before the last control is there.
        while not {*_CONTROLS} <= set(self._models):
            self._done.clear()
            await self._settled(STARTS_WITHIN_S)
        for model, name, value in (
            ("Course code", "text", COURSE),
            ("Student code", "text", self.code),
            ("Problem", "picked", PROBLEM),
        ):
            self._done.clear()
            await self._send(model, {name: value})
            await self._settled(STARTS_WITHIN_S)
        self.opened_s = time.perf_counter() - began

    async def drag(self, seconds: float, *, gap: float) -> None:
        """Move the slider at a steady pace, each move to a place of its own, and time the answers."""
        # Students do not move in step.
        await asyncio.sleep(gap * (self.number % 10) / 10.0)
        until = time.perf_counter() + seconds
        step = 0
        while time.perf_counter() < until:
            began = time.perf_counter()
            step += 1
            self.moved = round(0.5 + 0.02 * ((7 * step + 3 * self.number) % 300), 2)
            self._done.clear()
            await self._send("Pure gypsum", {"value": self.moved})
            await self._settled(ANSWERS_WITHIN_S)
            self.waits.append(time.perf_counter() - began)
            await asyncio.sleep(max(0.0, gap - (time.perf_counter() - began)))

    async def close(self) -> None:
        """Leave."""
        if self._reading is not None:
            self._reading.cancel()
            with contextlib.suppress(asyncio.CancelledError, Exception):
                await self._reading
        if self._http is not None:
            self._http[1].close()

    def own_sentence(self) -> str:
        """What the library says of this student's soil at the last move."""
        seen = variant(COURSE, PROBLEM, self.code).seen
        moved = seen.scenario.with_(gypsum=f"{self.moved!r} g/kg")
        treated, _ = sweep([moved, moved.without_gypsum()])
        return Slid(run=treated, target=seen["target"]).sentence

    async def _settled(self, seconds: float) -> None:
        async with asyncio.timeout(seconds):
            await self._done.wait()

    async def _read(self, socket: ClientConnection) -> None:
        async for raw in socket:
            if b'"completed-run"' in (raw if isinstance(raw, bytes) else raw[:80].encode()):
                self._done.set()
                continue
            if '"model-lifecycle"' not in (raw if isinstance(raw, str) else raw.decode())[:80]:
                continue
            said = json.loads(raw)["data"]
            message = said["message"]
            state = message.get("state", {})
            if message["method"] == "open":
                for name in (state.get("label"), state.get("quantity")):
                    if name:
                        self._models[name] = said["model_id"]
            words = state.get("spoken") or ""
            if words.startswith("The column"):
                self.heard = words

    async def _send(self, model: str, state: dict[str, object]) -> None:
        body = {
            "modelId": self._models[model],
            "message": {"method": "update", "state": state, "bufferPaths": []},
            "buffers": [],
        }
        answer, head = await self._ask("POST", "/api/kernel/set_model_value", json.dumps(body).encode())
        assert " 200 " in head.partition("\r\n")[0], f"{head}{answer[:300]}"

    async def _ask(self, method: str, path: str, body: bytes) -> tuple[str, str]:
        """One request over a connection that is kept: body and head of the answer."""
        if self._http is None:
            self._http = await asyncio.open_connection("127.0.0.1", self.port, limit=2**24)
        reader, writer = self._http
        head = [f"{method} {path} HTTP/1.1", f"Host: 127.0.0.1:{self.port}", "Content-Type: application/json"]
        head += [f"{name}: {value}" for name, value in self._headers.items()]
        head += [f"Content-Length: {len(body)}", "", ""]
        writer.write("\r\n".join(head).encode() + body)
        answered = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1")
        length = re.search(r"(?im)^content-length: (\d+)", answered)
        assert length is not None, answered
        return (await reader.readexactly(int(length[1]))).decode("utf-8", errors="replace"), answered


@dataclass(slots=True)
class Server:
    """One `soilx open homework` of its own process group."""

    port: int
    process: subprocess.Popen[bytes]

    @classmethod
    def start(cls) -> Server:
        """Serve on a free port of the loopback."""
        port = free_port()
        process = subprocess.Popen(
            [sys.executable, "-m", "soilx.cli", "open", "homework", "--headless", "--port", str(port)],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        return cls(port, process)

    async def ready(self) -> None:
        """Wait until it answers."""
        ends = time.monotonic() + STARTS_WITHIN_S
        while time.monotonic() < ends:
            with contextlib.suppress(OSError):
                _, writer = await asyncio.open_connection("127.0.0.1", self.port)
                writer.close()
                return
            await asyncio.sleep(0.1)
        raise TimeoutError("the homework was not served")

    def memory_mb(self) -> float:
        """Resident memory [MB]; not a number where the system does not tell."""
        with contextlib.suppress(OSError):
            told = Path(f"/proc/{self.process.pid}/statm").read_text("ascii")
            return int(told.split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6
        return float("nan")

    def processor_s(self) -> float:
        """Processor time used so far [s]."""
        with contextlib.suppress(OSError):
            fields = Path(f"/proc/{self.process.pid}/stat").read_text("ascii").rpartition(")")[2].split()
            return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
        return float("nan")

    def stop(self) -> None:
        """End it and all that it started."""
        with contextlib.suppress(ProcessLookupError):
            os.killpg(self.process.pid, signal.SIGTERM)
        self.process.wait(timeout=20)


async def run_class(*, students: int, seconds: float, processes: int, gap: float) -> dict[str, float]:
    """Serve, drag and measure; what a student was shown is held against the library's own numbers.

    Parameters
    ----------
    students : int
    seconds : float
        How long they drag [s].
    processes : int
        Servers; more than one stand behind a proxy.
    gap : float
        Between a student's moves [s].
    """
    servers = [Server.start() for _ in range(processes)]
    proxy: StickyProxy | None = None
    try:
        for server in servers:
            await server.ready()
        port = servers[0].port
        if processes > 1:
            proxy = StickyProxy([server.port for server in servers])
            port = await proxy.start()
        pupils = [Student(number, port) for number in range(students)]
        # The first one pays for the imports; the class comes when the instructor has looked at the page.
        for first in range(processes):
            await pupils[first].open()
        alone = sum(server.memory_mb() for server in servers)
        await asyncio.gather(*(pupil.open() for pupil in pupils[processes:]))
        before, began = sum(server.processor_s() for server in servers), time.perf_counter()
        await asyncio.gather(*(pupil.drag(seconds, gap=gap) for pupil in pupils))
        spent = time.perf_counter() - began
        used = sum(server.processor_s() for server in servers) - before
        mixed = [pupil.code for pupil in pupils if pupil.heard != pupil.own_sentence()]
        waits = sorted(1000.0 * wait for pupil in pupils for wait in pupil.waits)
        memory = sum(server.memory_mb() for server in servers)
        for pupil in pupils:
            await pupil.close()
    finally:
        if proxy is not None:
            await proxy.stop()
        for server in servers:
            server.stop()
    return {
        "moves": len(waits),
        "moves_per_s": len(waits) / spent,
        "p50_ms": statistics.median(waits),
        "p95_ms": waits[int(0.95 * (len(waits) - 1))],
        "worst_ms": waits[-1],
        "opening_s": max(pupil.opened_s for pupil in pupils[processes:]) if students > processes else 0.0,
        "memory_mb": memory,
        "memory_per_student_mb": (memory - alone) / max(1, students - processes),
        "processor_pct": 100.0 * used / spent,
        "processor_ms_per_move": 1000.0 * used / len(waits),
        "mixed_up": len(mixed),
    }


def main() -> int:
    """Print the figures; exit code 1 where a student was shown what is not theirs."""
    options = argparse.ArgumentParser(prog="python -m tests.benchmarks.classroom", description=__doc__)
    options.add_argument("--students", type=int, default=30)
    options.add_argument("--seconds", type=float, default=20.0)
    options.add_argument("--processes", type=int, default=1)
    options.add_argument("--moves", type=float, default=MOVES_A_SECOND, help="a second, each student")
    asked = options.parse_args()
    found = asyncio.run(
        run_class(
            students=asked.students, seconds=asked.seconds, processes=asked.processes, gap=1.0 / asked.moves
        )
    )
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
    sys.stdout.write(
        f"{asked.students} students, {asked.processes} process(es), {asked.moves:g} moves a second each for "
        f"{asked.seconds:g} s; load of the machine {load:.1f} on {os.cpu_count()} cores\n"
    )
    for name, value in found.items():
        sys.stdout.write(f"  {name:22} {value:8.1f}\n")
    return 1 if found["mixed_up"] else 0


if __name__ == "__main__":
    sys.exit(main())

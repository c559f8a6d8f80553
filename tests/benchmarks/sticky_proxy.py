"""A proxy on the loopback that keeps each browser with one of several servers, by a cookie.

Sixty lines to try the arrangement with; a class is served by a proxy that is made for it (DEVELOPERS.md).
"""

from __future__ import annotations

import asyncio
import contextlib
import itertools
import re
import socket

COOKIE = "soilx_server"
_NAMED = re.compile(rf"(?im)^cookie:.*\b{COOKIE}=(\d+)")


def free_port() -> int:
    """A port of the loopback that nobody listens at."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class StickyProxy:
    """Requests by cookie to one of some ports; a browser without one is given the next in turn.

    Parameters
    ----------
    ports : list of int
        Of the servers, on the loopback.
    """

    def __init__(self, ports: list[int]) -> None:
        self._ports = ports
        self._turns = itertools.cycle(range(len(ports)))
        self._server: asyncio.Server | None = None
        self._tasks: set[asyncio.Task[None]] = set()

    async def start(self) -> int:
        """Listen; the port."""
        self._server = await asyncio.start_server(self._connected, "127.0.0.1", 0, limit=2**24)
        return int(self._server.sockets[0].getsockname()[1])

    async def stop(self) -> None:
        """Close every connection."""
        if self._server is not None:
            self._server.close()
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)

    def _connected(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        task = asyncio.create_task(self._serve(reader, writer))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """A connection of a browser: its first request decides, and all of it goes to one server."""
        with contextlib.suppress(OSError, asyncio.IncompleteReadError):
            head = await reader.readuntil(b"\r\n\r\n")
            named = _NAMED.search(head.decode("latin-1"))
            chosen = int(named[1]) % len(self._ports) if named else next(self._turns)
            upstream, to_upstream = await asyncio.open_connection(
                "127.0.0.1", self._ports[chosen], limit=2**24
            )
            to_upstream.write(head)
            back = asyncio.create_task(self._back(upstream, writer, None if named else chosen))
            try:
                await _pipe(reader, to_upstream)
                await back
            finally:
                back.cancel()
                to_upstream.close()
        writer.close()

    async def _back(
        self, upstream: asyncio.StreamReader, writer: asyncio.StreamWriter, cookie: int | None
    ) -> None:
        if cookie is not None:
            first = (await upstream.readuntil(b"\r\n\r\n")).removesuffix(b"\r\n")
            writer.write(
                first + f"Set-Cookie: {COOKIE}={cookie}; Path=/; HttpOnly; SameSite=Lax\r\n\r\n".encode()
            )
        await _pipe(upstream, writer)


async def _pipe(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    while piece := await reader.read(65536):
        writer.write(piece)
        await writer.drain()

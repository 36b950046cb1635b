"""A proxy on this machine that spoils calls of the phone by a seeded schedule: answers that are none, cut connections.

    with FaultProxy(server_port, seed=7, share=0.25) as proxy: ... proxy.url ... proxy.injected

Only `/phone/api/` is spoilt, each kind of call in its turn by every fault but the stall, then by chance, the frequent
ones more often. What is injected:

    s401 proof s403 clashes s413 fields s429 s500   an answer of that status that the server never gave
    garbage wrong_hash page redirect                200 without a number, another content's hash, a page, a portal's redirect
    half                                            the server's answer, cut in its middle
    cut                                             half the request reaches the server, then nothing
    reset_before reset_after                        the connection is reset: nothing was sent on; or all was, and answered
    delay stall                                     late by 0.05 to 0.3 s; no answer at all
"""

from __future__ import annotations

import asyncio
import json
import random
import socket
import struct
import threading
from collections import Counter, defaultdict
from typing import Any

SPOILT = b"/phone/api/"
WEIGHTS = {
    "s401": 20, "proof": 20, "s403": 10, "clashes": 10, "s413": 10, "fields": 10, "s429": 20, "s500": 30,
    "garbage": 20, "wrong_hash": 20, "page": 20, "redirect": 10, "half": 40, "cut": 30, "reset_before": 40,
    "reset_after": 60, "delay": 30, "stall": 2,
}  # fmt: skip
FIRST_SHARE = 0.6
ANSWERS: dict[str, tuple[int, Any, dict[str, str]]] = {
    "s401": (401, {"error": "Sign in first.", "code": "sign_in"}, {}),
    "proof": (403, {"error": "Stale.", "code": "proof"}, {}),
    "s403": (403, {"error": "Not yours.", "code": "not_yours"}, {}),
    "clashes": (409, {"error": "Changed.", "code": "clashes", "clashes": {}, "revision": 1}, {}),
    "s413": (413, {"error": "Too large.", "code": "too_large"}, {}),
    "fields": (422, {"error": "Not read.", "code": "fields", "fields": {}}, {}),
    "s429": (429, {"error": "Too many.", "code": "too_many"}, {"Retry-After": "1"}),
    "s500": (500, {"error": "Broken.", "code": "broken"}, {}),
    "garbage": (200, {"ok": True}, {}),
    "wrong_hash": (200, {"number": "C-999999", "content_sha256": "0" * 64, "link": "/jobs"}, {}),
    "redirect": (302, {}, {"Location": "/check"}),
}
DEPLOYED = b"<!doctype html><title>Welcome</title><p>Accept the terms to go on."


class FaultProxy:
    """Runs in a thread of its own until it is left."""

    def __init__(self, port: int, seed: int = 0, share: float = 0.25):
        self.upstream, self.share, self.random = port, share, random.Random(seed)
        self.injected: Counter[str] = Counter()
        self.by_kind: defaultdict[bytes, set[str]] = defaultdict(set)
        self._first: dict[bytes, list[str]] = {}
        self.calls = 0
        self.url = ""
        self._loop = asyncio.new_event_loop()
        self._ready = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True)

    def __enter__(self) -> FaultProxy:
        self._thread.start()
        self._ready.wait(10)
        return self

    def __exit__(self, *failed: object) -> None:
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(10)

    def _run(self) -> None:
        asyncio.set_event_loop(self._loop)
        server = self._loop.run_until_complete(asyncio.start_server(self._serve, "127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{server.sockets[0].getsockname()[1]}"
        self._ready.set()
        self._loop.run_forever()
        server.close()
        for left in asyncio.all_tasks(self._loop):
            left.cancel()
        self._loop.run_until_complete(asyncio.sleep(0))
        self._loop.close()

    def chosen(self, path: bytes) -> str:
        """What happens to the next call, by the schedule."""
        if not path.startswith(SPOILT):
            return ""
        self.calls += 1
        kind = path.split(b"/")[3]
        if kind not in self._first:
            self._first[kind] = self.random.sample(sorted({*WEIGHTS} - {"stall"}), len(WEIGHTS) - 1)
        first = self._first[kind]
        if self.random.random() >= (FIRST_SHARE if first else self.share):
            return ""
        fault = first.pop() if first else self.random.choices(list(WEIGHTS), list(WEIGHTS.values()))[0]
        self.injected[fault] += 1
        self.by_kind[kind].add(fault)
        return fault

    async def _serve(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        try:
            head, body = await _message(reader)
            if head:
                await self._answer(self.chosen(head.split(b" ", 2)[1]), head, body, writer)
        except (OSError, asyncio.IncompleteReadError, asyncio.CancelledError):
            _reset(writer)
        finally:
            writer.close()

    async def _answer(self, fault: str, head: bytes, body: bytes, writer: asyncio.StreamWriter) -> None:
        if fault == "reset_before":
            _reset(writer)
        elif fault == "stall":
            await asyncio.sleep(20)
        elif fault == "cut":
            await self._forward(head, body[: len(body) // 2], whole=False)
            _reset(writer)
        elif fault in ANSWERS:
            status, said, headers = ANSWERS[fault]
            await _send(writer, _response(status, json.dumps(said).encode(), headers))
        elif fault == "page":
            await _send(writer, _response(200, DEPLOYED, {"Content-Type": "text/html"}))
        else:
            if fault == "delay":
                await asyncio.sleep(0.05 + self.random.random() / 4)
            answer = await self._forward(head, body)
            if fault == "reset_after":
                _reset(writer)
                return
            split = answer.find(b"\r\n\r\n") + 4
            end = split + (len(answer) - split) // 2 if fault == "half" else len(answer)
            await _send(writer, answer[:end])

    async def _forward(self, head: bytes, body: bytes, whole: bool = True) -> bytes:
        reader, writer = await asyncio.open_connection("127.0.0.1", self.upstream)
        try:
            writer.write(_closing(head) + body)
            await writer.drain()
            return await reader.read() if whole else b""
        finally:
            writer.close()


async def _message(reader: asyncio.StreamReader) -> tuple[bytes, bytes]:
    try:
        head = await reader.readuntil(b"\r\n\r\n")
    except asyncio.IncompleteReadError:
        return b"", b""
    length = 0
    for line in head.split(b"\r\n"):
        name, _, value = line.partition(b":")
        if name.lower() == b"content-length":
            length = int(value)
    return head, await reader.readexactly(length)


def _closing(head: bytes) -> bytes:
    kept = [line for line in head.split(b"\r\n")[:-2] if not line.lower().startswith((b"connection:", b"expect:"))]
    return b"\r\n".join([*kept, b"Connection: close", b"", b""])


def _response(status: int, body: bytes, headers: dict[str, str]) -> bytes:
    told = {"Content-Type": "application/json", "Content-Length": str(len(body)), "Connection": "close", **headers}
    lines = "".join(f"{name}: {value}\r\n" for name, value in told.items())
    return f"HTTP/1.1 {status} X\r\n{lines}\r\n".encode() + body


async def _send(writer: asyncio.StreamWriter, data: bytes) -> None:
    writer.write(data)
    await writer.drain()


def _reset(writer: asyncio.StreamWriter) -> None:
    held: socket.socket = writer.get_extra_info("socket")
    # Closed with nothing lingering, the other side gets a reset instead of an end.
    held.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    writer.transport.abort()

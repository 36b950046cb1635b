"""A line between a browser and the server that can really be cut: sockets closed, nobody listening."""

from __future__ import annotations

import contextlib
import select
import socket
import threading

CHUNK = 65536


class CutLine:
    """Forwards one loopback port to another until it is cut; `mend` listens on the same port again."""

    def __init__(self, port: int) -> None:
        """port  where the server listens"""
        self._to = port
        self._ends: set[socket.socket] = set()
        self._listener: socket.socket | None = None
        self.port = 0
        self.mend()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def mend(self) -> None:
        """Listen again."""
        if self._listener:
            return
        listener = socket.socket()
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(("127.0.0.1", self.port))
        listener.listen(64)
        self.port = listener.getsockname()[1]
        self._listener = listener
        threading.Thread(target=self._accept, args=(listener,), daemon=True).start()

    def before(self, port: int) -> None:
        """Cut, and listen again before another server."""
        self.cut()
        self._to = port
        self.mend()

    def cut(self) -> None:
        """Close the listener and every connection, in the middle of whatever passes."""
        listener, self._listener = self._listener, None
        if listener:
            with contextlib.suppress(OSError):
                listener.shutdown(socket.SHUT_RDWR)
            listener.close()
        for end in list(self._ends):
            with contextlib.suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)

    def _accept(self, listener: socket.socket) -> None:
        while True:
            try:
                near, _ = listener.accept()
            except OSError:
                return
            threading.Thread(target=self._carry, args=(near,), daemon=True).start()

    def _carry(self, near: socket.socket) -> None:
        with near, contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", self._to)) as far:
            ends = {near, far}
            self._ends |= ends
            try:
                while True:
                    for one in select.select(list(ends), [], [])[0]:
                        passed = one.recv(CHUNK)
                        if not passed:
                            return
                        (far if one is near else near).sendall(passed)
            finally:
                self._ends -= ends

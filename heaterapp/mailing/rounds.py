"""The thread that sends what is due, and looks again every little while."""

from __future__ import annotations

import sys
import threading
from typing import Any

from heaterapp.mailing.sending import Post, send_due

LOOK_EVERY_S = 20.0
ENDS_IN_S = 2.0


class Rounds:
    """Looks at once when somebody of this process asks for a mail; `end` stops it between two rounds.

    Any number of these may run over one database: each mail is taken by one of them.
    """

    def __init__(self, store: Any, post: Post):
        self._store, self._post = store, post
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._go, name="mails", daemon=True)
        self._thread.start()

    def _go(self) -> None:
        asked = self._store.mails.asked
        while not self._ended.is_set():
            asked.clear()
            try:
                send_due(self._store, self._post)
            except Exception as broken:  # the database may be away for a while: the next look may find it
                print(f"Mail: {type(broken).__name__}: {broken}".splitlines()[0][:300], file=sys.stderr)
            asked.wait(LOOK_EVERY_S)

    def end(self) -> None:
        self._ended.set()
        self._store.mails.asked.set()
        self._thread.join(ENDS_IN_S)

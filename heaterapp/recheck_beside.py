"""A recheck that a page began, in a process beside the server that ends with it.

The process reads its standard input, which the server alone holds open: when the server ends, however it
ends, so does the pipe, and the run is left where it stands, to be gone on with later.
"""

from __future__ import annotations

import atexit
import os
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
ENDING_S = 5
_running: dict[tuple[str, int], subprocess.Popen[bytes]] = {}
_lock = threading.Lock()


def start(store: Any, org: int, slug: str, data_dir: str) -> None:
    """Go on with the organisation's unfinished run, unless a process of this server does already."""
    url = store.database.engine.url.render_as_string(hide_password=False)
    with _lock:
        if _alive((url, org)):
            return
        environment = {**os.environ, "HEATERAPP_DATABASE_URL": url, "HEATERAPP_DATA": str(data_dir)}
        command = [sys.executable, "-m", "heaterapp", "recheck", "--resume", "--beside", "--firm", slug]
        _running[url, org] = subprocess.Popen(
            command, cwd=ROOT, env=environment, stdin=subprocess.PIPE, stdout=subprocess.DEVNULL
        )


def is_running(store: Any, org: int) -> bool:
    """Return whether a process of this server works at the organisation's run."""
    with _lock:
        return _alive((store.database.engine.url.render_as_string(hide_password=False), org))


def stop_all() -> None:
    """End every process that this server started; what they had written stands."""
    with _lock:
        for one in _running.values():
            if one.stdin is not None:
                one.stdin.close()
            try:
                one.wait(ENDING_S)
            except subprocess.TimeoutExpired:
                one.kill()
                one.wait()
        _running.clear()


def _alive(key: tuple[str, int]) -> bool:
    found = _running.get(key)
    return found is not None and found.poll() is None


atexit.register(stop_all)

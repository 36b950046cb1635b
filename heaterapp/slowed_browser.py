"""A real Chromium before a real server, for what is measured on the phone's pages.

prepared(folder)           an empty archive
served(folder)             a server of this tree on an archive of its own; ends it on the way out
page(profile, slowed=4)    a fresh browser process on a profile that outlives it, its page slowed
until(page, says)          waits until a function of the page answers yes

Both are real processes: ending the server is a network that is gone. Chromium slows the page's
own thread, not its workers. Raises ImportError, named, where playwright or chromium is missing.
"""

from __future__ import annotations

import importlib
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

CHROMIUM = "chromium"
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
PHONE = {"width": 360, "height": 740}
PATIENCE_S = 60


def free_port() -> int:
    """A port of this machine that nobody listens on now."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def prepared(folder: Path) -> None:
    """Make the empty archive that `served` serves.

    folder  the data folder, made here
    """
    from heaterapp import archive

    folder.mkdir(parents=True)
    store = archive.open_store(data_dir=folder)
    store.organisations.default()
    store.close()


@contextmanager
def served(folder: Path, port: int | None = None, tree: Path | None = None, **environ: str) -> Iterator[str]:
    """Serve a tree on the archive of a folder, and give the address.

    folder   the data folder, set up already
    port     where; by default a free one
    tree     the folder that holds heaterapp, static and templates; by default this one
    environ  further variables of the process
    raises   RuntimeError with what the process said, where it does not come up
    """
    port, tree = port or free_port(), tree or Path(__file__).resolve().parent.parent
    command = [sys.executable, "-m", "heaterapp", "serve", "--port", str(port)]
    environment = {**os.environ, "HEATERAPP_DATA": str(folder), **environ}
    said = folder / "said.txt"
    with said.open("wb") as out:
        process = subprocess.Popen(command, cwd=tree, env=environment, stdout=out, stderr=out)
    try:
        _wait(f"http://127.0.0.1:{port}/healthz", process, said)
        yield f"http://127.0.0.1:{port}"
    finally:
        process.terminate()
        process.wait(PATIENCE_S)


def _wait(address: str, process: subprocess.Popen[bytes], said: Path) -> None:
    for _ in range(PATIENCE_S * 10):
        try:
            urllib.request.urlopen(address, timeout=PATIENCE_S).close()  # noqa: S310 - our own address
            return
        except OSError:
            time.sleep(0.1)
        if process.poll() is not None:
            break
    raise RuntimeError(f"the server did not come up: {said.read_text(errors='replace')}")


def program() -> str:
    """Where the browser is; asked before a server is started for it.

    raises  ImportError that names playwright or chromium, whichever is missing
    """
    importlib.import_module("playwright")
    found = shutil.which(CHROMIUM)
    if found is None:
        raise ImportError("chromium is not on this machine", name=CHROMIUM)
    return found


@contextmanager
def page(profile: Path, slowed: int = 1, flags: tuple[str, ...] = ()) -> Iterator[Any]:
    """Start Chromium on a profile, and give its page, 360 px wide.

    profile  a folder; what the browser keeps is in it, and is there the next time
    slowed   how many times slower the page's thread runs, 1 to 20
    """
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        context = driver.chromium.launch_persistent_context(
            str(profile), executable_path=program(), args=[*FLAGS, *flags], viewport=PHONE,
        )  # fmt: skip
        try:
            one = context.pages[0]
            if slowed > 1:
                context.new_cdp_session(one).send("Emulation.setCPUThrottlingRate", {"rate": slowed})
            yield one
        finally:
            context.close()


def until(one: Any, says: str, patience_s: float = PATIENCE_S) -> None:
    """Wait until the function `says` of a page answers yes, asked from outside: its policy allows no eval.

    raises  RuntimeError after the patience
    """
    end = time.monotonic() + patience_s
    while not one.evaluate(says):
        if time.monotonic() > end:
            raise RuntimeError(f"not so after {patience_s} s: {says}")
        time.sleep(0.02)

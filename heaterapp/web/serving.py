"""The server: waitress in front of the app, after what a crash left is finished."""

from __future__ import annotations

import signal
import socket
import sys
import threading
from contextlib import suppress
from typing import Any

from waitress import create_server
from waitress.server import BaseWSGIServer

from heaterapp import backing_up, create_app
from heaterapp.archive import BlobsFailed
from heaterapp.mailing.rounds import Rounds
from heaterapp.mailing.sending import Post
from heaterapp.web import settings, translated
from heaterapp.web.reached import at_start

THREADS = 8
# Above the app's own limit, so that the app answers an over-long request in its own words.
LARGEST_BODY = 42_000_000
HEADROOM_S = 30
TIDY_EVERY_S = 86_400


def serve(store: Any, host: str, port: int) -> None:
    """Serve until the process is told to end.

    raises  OSError when the port cannot be used
    """
    app = create_app(STORE=store, **_hosts(host))
    server = _listen(app, host, port)
    _finish(app, store)
    rounds = _back_up(app, store)
    post = Post(app.config["PUBLIC_URL"], app.config["SECRET_KEY"], translated.for_mail)
    mails = Rounds(store, post)
    ended = threading.Event()
    threading.Thread(target=_tidy, args=(store, ended), name="tidying", daemon=True).start()
    url = f"http://{'localhost' if host in {'0.0.0.0', '::'} else _bracketed(host)}:{port}"  # noqa: S104
    if unnamed := at_start(app.config["PUBLIC_URL"]):
        print(unnamed, file=sys.stderr, flush=True)
    print(f"Serving on {url} (Ctrl-C ends it).", flush=True)
    # Only the main thread may take signals; elsewhere whoever started it ends it.
    if threading.current_thread() is threading.main_thread():
        signal.signal(signal.SIGTERM, lambda number, frame: sys.exit(0))
    with suppress(KeyboardInterrupt):
        server.run()
    server.close()
    ended.set()
    mails.end()
    if rounds is not None:
        rounds.end()
    print("Stopped.", flush=True)


def _listen(app: Any, host: str, port: int) -> BaseWSGIServer:
    # waitress would share a port with another server of ours without a word.
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        probe.bind((host, port))
    return create_server(
        app, host=host, port=port, threads=THREADS, ident=None, max_request_body_size=LARGEST_BODY,
        channel_timeout=HEADROOM_S, clear_untrusted_proxy_headers=app.config["PROXIES"] == 0,
    )  # fmt: skip


def _finish(app: Any, store: Any) -> None:
    with app.app_context():
        done = store.finish_pending(settings.renderer())
        store.uploads.sweep()
        try:
            store.sweep_blobs()
        except BlobsFailed as refused:
            print(f"Files that nothing names were not swept away: {refused}.", file=sys.stderr)
    if done.finished:
        print(f"Finished {len(done.finished)} papers that were begun before.")
    for record, why in done.failed:
        print(f"The paper of record {record} cannot be finished: {why}", file=sys.stderr)


def _back_up(app: Any, store: Any) -> backing_up.Rounds | None:
    late = backing_up.warning(store, app.config)
    if late:
        print(f"Backup: {late}", file=sys.stderr)
    plan = backing_up.wanted(app.config)
    return backing_up.Rounds(store, plan) if plan else None


def _tidy(store: Any, ended: threading.Event) -> None:
    """Keep the word index in one piece, at the start and once a day, beside whoever reads and writes."""
    while not ended.is_set():
        try:
            store.tidy_words()
        except Exception as broken:  # searches are only slower without: a full disk is told by what needs it
            print(f"Word index: {type(broken).__name__}: {broken}".splitlines()[0][:300], file=sys.stderr)
        ended.wait(TIDY_EVERY_S)


def _hosts(host: str) -> dict[str, Any]:
    """Listening on every address means any name may be asked for, unless the settings name some."""
    said = settings.settled({})
    if host in {"0.0.0.0", "::"} and not said["PUBLIC_URL"] and not said["HOSTS"]:  # noqa: S104
        return {"HOSTS": "*"}
    return {"HOSTS": f"{said['HOSTS']},{_bracketed(host)}"}


def _bracketed(host: str) -> str:
    return f"[{host}]" if ":" in host else host

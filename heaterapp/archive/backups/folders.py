"""Where backups lie: their names, the hidden place one is made in, and which are kept."""

import fcntl
import os
import re
import secrets
import shutil
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from heaterapp.archive import faults
from heaterapp.archive.backups import manifest
from heaterapp.archive.backups.refused import BackupRefused

NAME = re.compile(r"heaterapp-\d{8}T\d{6}Z")
BEGUN, ABANDONED = ".part", ".new"
ABANDONED_S = 3600
_OURS = re.compile(r"\.heaterapp-[0-9a-f]{12}")


@dataclass(frozen=True)
class Backup:
    """One backup as its manifest tells it; `size` is that of all its files, in bytes.

    unnoted  why the list of later erasures beside it could not be brought up to date; empty where it was
    """

    path: Path
    made_at: str
    size: int
    manifest: dict[str, Any]
    unnoted: str = ""


def name_at(at: str) -> str:
    """Return the folder name of a backup of this moment.

    >>> name_at("2026-03-14T09:26:53Z")
    'heaterapp-20260314T092653Z'
    """
    return f"heaterapp-{at.replace('-', '').replace(':', '')}"


def listed(folder: str | Path) -> list[Backup]:
    """Return the backups of a folder whose manifest can be read, newest first; files are not hashed."""
    found = []
    with suppress(OSError):
        for path in Path(folder).iterdir():
            if not NAME.fullmatch(path.name):
                continue
            with suppress(BackupRefused):
                said = manifest.read(path)
                size = sum(one["size"] for one in said["files"].values())
                found.append(Backup(path, said["made_at"], size, said))
    return sorted(found, key=lambda one: one.path.name, reverse=True)


@contextmanager
def part(folder: Path) -> Iterator[Path]:
    """Give a hidden folder on the disk of `folder`; what still lies in it at the end is gone.

    What earlier ones left, whose makers were killed, goes first.
    """
    sweep(folder)
    made = folder / f".heaterapp-{secrets.token_hex(6)}{ABANDONED}"
    made.mkdir(mode=0o700)
    try:
        with (made / "lock").open("w") as held:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
            # Only under this name is it looked at by others, and by then it is locked.
            made = made.rename(made.with_suffix(BEGUN))
            inside = made / "inside"
            inside.mkdir(mode=0o700)
            yield inside
    finally:
        shutil.rmtree(made, ignore_errors=True)


def is_part(path: Path) -> bool:
    """Say whether a path is named as the hidden folders here are."""
    return _OURS.fullmatch(path.stem) is not None and path.suffix in (BEGUN, ABANDONED)


def sweep(folder: Path) -> None:
    """Remove the hidden folders that nobody works in any more."""
    for path in folder.glob(".heaterapp-*"):
        if not _OURS.fullmatch(path.stem):
            continue
        with suppress(OSError):
            if path.suffix == BEGUN and _is_left(path):
                shutil.rmtree(path)
            elif path.suffix == ABANDONED and time.time() - path.stat().st_mtime > ABANDONED_S:
                shutil.rmtree(path)


def _is_left(path: Path) -> bool:
    lock = path / "lock"
    if not lock.is_file():
        return True
    with lock.open("r+") as held:
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
    return True


def thin(made: Backup, keep: int, is_earlier: Callable[[dict[str, Any]], bool]) -> list[str]:
    """Remove all but `made` and the `keep` - 1 (0 or more) of the same archive that are furthest on.

    is_earlier  says of a manifest whether it is of this very archive as it once was

    How far one is on is told by the logs and not by a clock, which may have been wrong. Everything
    else in the folder is left alone and not counted. Return the names of those removed.
    """
    earlier = [old for old in listed(made.path.parent) if old.path != made.path and is_earlier(old.manifest)]
    earlier.sort(key=lambda old: (entries_of(old.manifest), old.path.name), reverse=True)
    gone = []
    for old in earlier[max(keep, 1) - 1 :]:
        faults.at("backup_thinning")
        # First the name goes: a half-removed backup never stands under the name of a whole one.
        hidden = made.path.parent / f".heaterapp-{secrets.token_hex(6)}{BEGUN}"
        old.path.rename(hidden)
        shutil.rmtree(hidden, ignore_errors=True)
        gone.append(old.path.name)
    return gone


def entries_of(said: dict[str, Any]) -> int:
    """Return how many entries all logs of a backup have together, by its manifest."""
    return sum(one["entries"] for one in said["organisations"])


def flush(path: Path) -> None:
    """Write a file, or a folder with all in it, through to the disk."""
    if path.is_dir():
        for inner in path.iterdir():
            flush(inner)
    sync(path)


def sync(path: Path) -> None:
    """Write one file, or the names in one folder, through to the disk."""
    opened = os.open(path, os.O_RDONLY)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def room(folder: Path) -> int:
    """Return how many bytes more the disk of a folder takes."""
    return shutil.disk_usage(folder).free

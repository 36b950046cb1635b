"""Why a backup is not made, or not taken: one sentence, for a person."""

import errno
import sqlite3

from sqlalchemy.exc import DBAPIError

from heaterapp.archive.errors import ArchiveError

FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


class BackupRefused(ArchiveError):
    """A backup cannot be made, taken or kept; the text says which, why, and that nothing was changed."""


class BodyMissing(BackupRefused):
    """A body is not in the blob store: erased since the copy was begun, or lost."""


def is_full(error: BaseException) -> bool:
    """Say whether an error means that a disk has no room left."""
    if isinstance(error, DBAPIError) and error.orig is not None:
        error = error.orig
    if isinstance(error, OSError) and error.errno in FULL:
        return True
    return isinstance(error, sqlite3.Error) and "disk is full" in str(error)


def reason(error: BaseException) -> str:
    """Return what an error of the disk or of a database says, as the end of a sentence."""
    if isinstance(error, OSError) and error.strerror:
        return f"{error.filename}: {error.strerror}" if error.filename else error.strerror
    if isinstance(error, DBAPIError) and error.orig is not None:
        error = error.orig
    return (str(error).splitlines() or [type(error).__name__])[0][:200].rstrip(".")

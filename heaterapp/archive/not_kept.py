"""Why a database kept nothing, where it is nobody's mistake: a full disk, another writer, no connection."""

import sqlite3

from sqlalchemy.exc import DBAPIError

from heaterapp.archive.errors import StoreBusy, StoreFull

FULL = "The disk of the server is full, so nothing was changed"
UNWRITABLE = "The disk of the server cannot be written, so nothing was changed"
BUSY = "Others are writing to the database, so nothing was changed"
LOST = "The connection to the database was lost, and this may not be saved"
_SQLITE = {
    sqlite3.SQLITE_FULL: StoreFull(FULL),
    sqlite3.SQLITE_IOERR: StoreFull(UNWRITABLE),
    sqlite3.SQLITE_READONLY: StoreFull(UNWRITABLE),
    sqlite3.SQLITE_BUSY: StoreBusy(BUSY),
    sqlite3.SQLITE_LOCKED: StoreBusy(BUSY),
}
# As the server's manual names them: disk_full, io_error, read_only_sql_transaction; lock_not_available,
# deadlock_detected, too_many_connections; admin_shutdown, crash_shutdown, cannot_connect_now.
_POSTGRES = {
    "53100": StoreFull(FULL),
    "58030": StoreFull(UNWRITABLE),
    "25006": StoreFull(UNWRITABLE),
    "55P03": StoreBusy(BUSY),
    "40P01": StoreBusy(BUSY),
    "53300": StoreBusy(BUSY),
    "57P01": StoreBusy(LOST),
    "57P02": StoreBusy(LOST),
    "57P03": StoreBusy(LOST),
}


def worded(error: BaseException) -> StoreFull | StoreBusy | None:
    """Return what an error of a database means, None where it means something else."""
    lost = False
    if isinstance(error, DBAPIError) and error.orig is not None:
        lost, error = error.connection_invalidated, error.orig
    if isinstance(error, sqlite3.Error):
        # The lowest byte is the kind, those above it tell it closer.
        return _SQLITE.get((getattr(error, "sqlite_errorcode", None) or 0) & 0xFF)
    # By its name: where the archive is a file, the server's driver need not be loaded.
    if not type(error).__module__.startswith("psycopg"):
        return None
    state = getattr(error, "sqlstate", None)
    if lost or (state is None and type(error).__name__ == "OperationalError"):
        return StoreBusy(LOST)
    return _POSTGRES.get(state or "")

"""Copies of the whole archive: made while it runs, put back into an empty place, held against each other.

    store.backups.make(folder, secret=None, keep=None) -> Backup    verified, then renamed into place
    store.backups.timetable                                         who makes the next one, and when
    listed(folder) -> list[Backup]                                  newest first
    check(folder) -> dict                                           the manifest, if no file was changed
    restore(folder, data_dir=..., url=None) -> dict                 into an empty place only; what was
                                                                   erased later, by the list, is again
    later.note(database, folder) -> int                             brings that list up to date
    differences(one, other) -> Iterator[Difference]                 row for row

A backup is a folder `heaterapp-20260314T092653Z` with archive.sqlite3 (always SQLite, whatever it was
made from, and complete in itself), manifest.json, and the key of the session cookies. It is made
under a hidden name and renamed when all of it has been checked, so there is a whole one or none.

No entry of any organisation's log speaks of a backup: it is an act on the whole place and not on a
firm's papers, and an entry written after the copy would make every copy differ from what it copies.
"""

from heaterapp.archive.backups import later
from heaterapp.archive.backups.again import Again, lacking, open_acts, reaches
from heaterapp.archive.backups.comparing import Difference, Place, differences, open_place
from heaterapp.archive.backups.folders import Backup, listed
from heaterapp.archive.backups.making import Backups
from heaterapp.archive.backups.manifest import check
from heaterapp.archive.backups.refused import BackupRefused
from heaterapp.archive.backups.restoring import restore

__all__ = [
    "Again",
    "Backup",
    "BackupRefused",
    "Backups",
    "Difference",
    "Place",
    "check",
    "differences",
    "lacking",
    "later",
    "listed",
    "open_acts",
    "open_place",
    "reaches",
    "restore",
]

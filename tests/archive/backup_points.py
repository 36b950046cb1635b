"""Strike a backup and a restore at each named step, one after the other in the same place; say what was found.

Run as a program by test_backup_faults.py, so that forking happens in a process with one thread. Each
strike finds what the one before it left, so that getting to the next step shows that it can be run again.
"""

import json
import os
import sys
import traceback
from datetime import UTC, datetime
from pathlib import Path

from heaterapp import archive
from heaterapp.archive import backups, faults, soak_writer
from heaterapp.archive.backups import folders, steps
from heaterapp.archive.database import newest_revision
from tests.archive.fault_points import Struck, fail, kill
from tests.compiled_once import compiled_once

OLD = "heaterapp-20200101T000000Z"


def prepare(root):
    store = archive.open_store(data_dir=root / "data")
    person = store.people.add(
        store.organisations.default().id, "soak", "A. Installer", "installer", "soak soak soak"
    )
    (root / "data" / "secret-key").write_text("a key")
    for turn in range(3):
        soak_writer.submit(store, person.organisation, person.id, f"writer0-{turn}")
    for folder in ("raise", "kill", "old"):
        made = store.backups.make(root / folder, root / "data" / "secret-key")
        made.path.rename(root / folder / OLD)
    store.close()


def in_child(work):
    """Do `work` in a forked process; return its status: 7 for a strike that raised."""
    pid = os.fork()
    if pid == 0:
        try:
            work()
        except Struck:
            os._exit(7)
        except BaseException:
            traceback.print_exc()
            os._exit(1)
        os._exit(0)
    return os.waitpid(pid, 0)[1]


def strike(work, point, how):
    """Do `work` with the hook set; return whether the strike came."""

    def struck():
        faults.hook = lambda at: (kill if how == "kill" else fail)(at) if at == point else None
        work()

    status = in_child(struck)
    return os.WIFSIGNALED(status) if how == "kill" else os.WEXITSTATUS(status) == 7


def make(root, how, turn):
    clock = datetime(2026, 3, 14, 12, 0, turn, tzinfo=UTC)
    store = archive.open_store(data_dir=root / "data", upgrade=False, clock=lambda: clock)
    try:
        store.backups.make(root / how, root / "data" / "secret-key", keep=1)
    finally:
        store.close()


def differing(one, other):
    places = [backups.open_place(str(named)) for named in (one, other)]
    try:
        return [str(found) for found in backups.differences(*places)]
    finally:
        for place in places:
            place.close()


def look_at_backups(root, how):
    names = sorted(path.name for path in (root / how).iterdir() if folders.NAME.fullmatch(path.name))
    hidden = [path.suffix for path in (root / how).iterdir() if path.name not in [*names, backups.later.NAME]]
    for name in names:
        backups.check(root / how / name)
    differs = [line for name in names for line in differing(root / how / name, root / "data")]
    return {"names": names, "hidden": hidden, "differs": differs}


def look_at_restored(root, place, url):
    inside = [path.name for path in place.iterdir() if path.suffix != ".part"] if place.is_dir() else []
    hidden = len(list(place.glob(".heaterapp-*")))
    found = {"inside": inside, "hidden": hidden, "there": "archive.sqlite3" in inside}
    if url:
        opened = backups.engines.opened(url)
        with opened.read() as connection:
            found["there"] = sum(backups.rows.counts(connection).values()) > 0
        opened.close()
    return found | {"differs": differing(root / "old" / OLD, url or place) if found["there"] else []}


def visits(root, urls):
    for how in ("raise", "kill"):
        for turn, point in enumerate(steps.MAKING):
            struck = strike(lambda how=how, turn=turn: make(root, how, turn), point, how)
            yield {"what": "make", "point": point, "how": how, "struck": struck, **look_at_backups(root, how)}
        for what, url in (("restore", None), ("restore to a server", urls.pop(0))):
            place = root / f"{what} {how}"
            for point in steps.RESTORING:
                struck = strike(
                    lambda place=place, url=url: backups.restore(root / "old" / OLD, place, url), point, how
                )
                seen = look_at_restored(root, place, url)
                yield {"what": what, "point": point, "how": how, "struck": struck, **seen}
        store = archive.open_store(data_dir=root / "data", upgrade=False)
        yield {"what": "source", "point": "", "how": how, "faults": list(map(str, store.verify().faults))}
        store.close()


def main(root, urls):
    newest_revision()  # looked up once, for all that are forked
    assert in_child(lambda: prepare(root)) == 0
    for seen in visits(root, urls):
        print(json.dumps(seen), flush=True)


if __name__ == "__main__":
    with compiled_once():
        main(Path(sys.argv[1]), sys.argv[2:])

"""Visit every fault point with an error and with a hard kill; print what was found, one JSON line each.

Run as a program by test_faults.py, so that forking happens in a process with one thread.
"""

import json
import os
import shutil
import signal
import sys
from pathlib import Path

from heaterapp import archive
from heaterapp.archive import faults, soak
from tests.compiled_once import compiled_once


class Struck(Exception):
    """Raised at a fault point."""


def fail(_point):
    raise Struck


def kill(_point):
    os.kill(os.getpid(), signal.SIGKILL)


def prepare(folder):
    """An archive with one finished record, so that the second has something before it."""
    store = archive.open_store(data_dir=folder)
    organisation = store.organisations.default().id
    person = store.people.add(organisation, "soak", "A. Installer", "installer", "soak soak soak").id
    wish = soak.submission(organisation, person, "writer0-0")
    store.jobs.create(organisation, person, None, wish.job_id)
    store.issue_and_finish(wish, soak.render)
    store.close()


def submit(folder, point, strike):
    """Issue the second record with the hook set; return whether the strike came."""
    store = archive.open_store(data_dir=folder, upgrade=False)
    faults.hook = lambda at: strike(at) if at == point else None
    try:
        organisation, person, wish = subject(store)
        store.jobs.create(organisation, person, None, wish.job_id)
        store.issue_and_finish(wish, soak.render)
    except Struck:
        return True
    finally:
        faults.hook = faults._nothing
        store.close()
    return False


def subject(store):
    organisation = store.organisations.default().id
    person = store.people.by_login(organisation, "soak").id
    return organisation, person, soak.submission(organisation, person, "writer1-1")


def look(folder):
    """Say what a fresh start finds, before and after the same submission comes again."""
    store = archive.open_store(data_dir=folder)
    organisation, _, wish = subject(store)
    first = store.records.by_key(organisation, wish.key)
    found = {
        "faults": [str(fault) for fault in store.verify().faults],
        "committed": first is not None,
        "finished": bool(first and first.finished),
    }
    done = store.finish_pending(soak.render)
    answer = store.issue_and_finish(wish, soak.render)
    following = store.issue_and_finish(soak.submission(organisation, wish.person, "writer0-0"), soak.render)
    found |= {
        "finished_at_start": len(done.finished),
        "repeated": answer.repeated,
        "same_number": first is None or first.number == answer.number,
        "first_is_kept": following.repeated,
        "records": len(store.find(organisation).hits),
        "numbers": sorted(hit.number for hit in store.find(organisation).hits),
        "paper": store.records.file(organisation, answer.record, "certificate.pdf").hex()
        == soak.render(store.records.get(organisation, answer.record))["certificate.pdf"].hex(),
        "faults_after": [str(fault) for fault in store.verify().faults],
    }
    store.close()
    return found


def visit(point, how, template, folder):
    shutil.copytree(template, folder)
    if how == "raise":
        struck = submit(folder, point, fail)
    else:
        pid = os.fork()
        if pid == 0:
            submit(folder, point, kill)
            os._exit(0)
        struck = os.WIFSIGNALED(os.waitpid(pid, 0)[1])
    found = look(folder)
    shutil.rmtree(folder)
    return {"point": point, "how": how, "struck": struck, **found}


def main(root):
    template = root / "template"
    child = os.fork()
    if child == 0:
        prepare(template)
        os._exit(0)
    os.waitpid(child, 0)
    # Those that are killed are forked: they have what was compiled before.
    for how in ("raise", "kill"):
        for point in faults.POINTS:
            print(json.dumps(visit(point, how, template, root / f"{how}-{point}")), flush=True)


if __name__ == "__main__":
    with compiled_once():
        main(Path(sys.argv[1]))

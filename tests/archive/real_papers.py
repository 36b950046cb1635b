"""Papers of one demo job, really rendered, for archives that tests fill."""

import shutil
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from heaterapp import archive  # noqa: E402


def real_papers() -> dict[str, bytes]:
    """Return the papers of one demo job, really rendered."""
    from heaterapp import certificate, demo
    from heaterapp.issue import submission

    folder = Path(tempfile.mkdtemp(prefix="flip-"))
    store = archive.open_store(data_dir=folder)
    try:
        firm = store.organisations.default().id
        person = store.people.add(firm, "ana", "Ana Reyes", "owner", "a long password")
        job = store.jobs.create(firm, person.id, demo.answers_of(demo.STORIES[0]))
        signed = {"signatures": [{"name": "Ana Reyes", "role": "installer", "method": "typed"}]}
        job = store.jobs.save_signature(firm, job.id, signed)
        issued = store.issue(submission(person, job, "a-real-paper"))
        return certificate.render_here(store.records.get(firm, issued.record))
    finally:
        store.close()
        shutil.rmtree(folder, ignore_errors=True)

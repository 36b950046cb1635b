"""The ruleset kept beside a record judges it again, on bare Python, to the same bytes."""

import os
import subprocess
import sys

import pytest

from heaterapp import demo
from heaterapp.issue import submission


@pytest.mark.parametrize("ref", ["PL-0401", "PL-0402", "PL-0406"])
def test_a_record_is_judged_again_with_the_ruleset_kept_beside_it(store, firm, papers, tmp_path, ref):
    story = next(one for one in demo.STORIES if one.ref == ref)
    job = store.jobs.create(firm.id, firm.installer.id, demo.answers_of(story))
    signed = {"signatures": [{"name": "Ana Reyes", "method": "typed"}]}
    job = store.jobs.save_signature(firm.id, job.id, signed)
    issued = store.issue_and_finish(submission(firm.installer, job, f"judged-{ref}"), papers)
    record = store.records.get(firm.id, issued.record)
    (tmp_path / "rules.zip").write_bytes(store.records.ruleset(firm.id, record.ruleset_digest))
    (tmp_path / "job.json").write_bytes(record.job)
    done = subprocess.run(
        [sys.executable, "-S", "-m", "heaterapp.rules", "assess", "job.json"],
        cwd=tmp_path, env={"PATH": os.environ["PATH"], "PYTHONPATH": "rules.zip"},
        capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.rstrip(b"\n") == record.report.rstrip(b"\n")

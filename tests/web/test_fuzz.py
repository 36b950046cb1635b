"""Nonsense at every form of a job and at its addresses: never broken, the field named, the rest kept, nothing half-written."""

from __future__ import annotations

import html
from typing import Any
from urllib.parse import quote_from_bytes

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from heaterapp.filling.typed import boxes, questions_of
from heaterapp.rules import CATALOGUE, SECTIONS, Job
from heaterapp.web.jobs import NO_REVISION

QUICK = settings(
    deadline=None, derandomize=True, database=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)  # fmt: skip
ODD = [
    "", " ", "\x00", "60\x00", "٦٠", "６０", "NaN", "-inf", "1e5", "-1", "0", "9" * 50, "9" * 5000, "1/0", "14 3/8", "5½", "--5", "yes", "no",
    "unknown", "not_here", "could_not_measure", "2026-02-30", "us_ca_2022", "atlantis", "<script>x</script>", "'; DROP TABLE job", "../../x",
    "\ud800", "a\u202eb", "x" * 201, "{}", "[]", '{"could_not_measure": "x"}', "true", "60, 70", "60;70", "1\n2",
]  # fmt: skip
text = st.one_of(st.sampled_from(ODD), st.text(st.characters(codec=None), max_size=20))
small = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), text)
anything = st.recursive(
    small, lambda one: st.lists(one, max_size=3) | st.dictionaries(text, one, max_size=2), max_leaves=6
)
beside = st.dictionaries(st.sampled_from(["revision", "seen", "go", "nonsense"]), text, max_size=2)


@pytest.fixture
def job(visit: Any) -> tuple[Any, str, str]:
    """An installer, a job, and the secret of its forms."""
    visitor = visit("installer")
    return visitor, visitor.begin(), visitor.secret()


def _encoded(pairs: list[tuple[str, str]]) -> bytes:
    def one(said: str) -> str:
        return quote_from_bytes(said.encode("utf-8", "surrogatepass"))

    return "&".join(f"{one(name)}={one(said)}" for name, said in pairs).encode()


def _post(job: tuple[Any, str, str], path: str, pairs: list[tuple[str, str]]) -> Any:
    body = _encoded([("csrf_token", job[2]), *pairs])
    return job[0].client.post(path, data=body, content_type="application/x-www-form-urlencoded")


def _sound(stored: dict[str, Any]) -> None:
    """What is stored can be read whole, and is stored as it is read."""
    read = Job(stored).canonical()
    assert {name: read.get(name) for name in stored if name not in ("acceptances", "accepted_as_usual")} == {
        name: value for name, value in stored.items() if name not in ("acceptances", "accepted_as_usual")
    }


@st.composite
def of_a_section(draw: Any) -> tuple[str, list[tuple[str, str]]]:
    section = draw(st.sampled_from(list(SECTIONS)))
    pairs = []
    for question in draw(st.lists(st.sampled_from(questions_of(section)), min_size=1, max_size=4)):
        ends = st.sampled_from([*boxes(question), "-said", "-why", "-9"])
        pairs += [(question.name + end, draw(text)) for end in draw(st.lists(ends, min_size=1, max_size=3))]
    return section, pairs


@settings(QUICK, max_examples=120)
@given(sent=of_a_section(), more=beside)
def test_a_section_s_form(
    job: tuple[Any, str, str], store: Any, sent: tuple[str, list[tuple[str, str]]], more: dict[str, str]
) -> None:
    section, pairs = sent
    before = store.jobs.get(1, job[1]).answers
    answer = _post(job, f"/jobs/{job[1]}/{section}", [*pairs, *{"revision": "1", **more}.items()])
    after = store.jobs.get(1, job[1]).answers
    assert answer.status_code in (302, 422), (answer.status_code, pairs, more)
    _sound(after)
    named = {q for q in CATALOGUE for name, _ in pairs if name == q or name.startswith(f"{q}-")}
    changed = {q for q in {*before, *after} if before.get(q) != after.get(q)}
    if more.get("go") != "usual":
        assert changed <= {*named, "accepted_as_usual"}, (changed, pairs)
    if answer.status_code == 422:
        page = html.unescape(answer.text)
        assert NO_REVISION in page or any(f"{CATALOGUE[q].label}: expected " in page for q in named), pairs


@settings(QUICK, max_examples=80)
@given(
    changes=st.dictionaries(st.one_of(st.sampled_from(list(CATALOGUE)), text), anything, max_size=4),
    more=st.dictionaries(st.sampled_from(["revision", "section"]), anything, max_size=1),
)
def test_the_live_call(
    job: tuple[Any, str, str], store: Any, changes: dict[str, Any], more: dict[str, Any]
) -> None:
    before = store.jobs.get(1, job[1]).answers
    headers = {"X-CSRFToken": job[2]}
    answer = job[0].client.post(f"/jobs/{job[1]}/answers", json={"changes": changes, **more}, headers=headers)
    after = store.jobs.get(1, job[1]).answers
    told = answer.get_json()
    assert answer.status_code in (200, 400), changes
    _sound(after)
    if answer.status_code == 400:
        assert told["error"]
        assert after == before
        return
    for name in changes:
        saved = name in CATALOGUE and name[:60] not in told["errors"] and name not in told["clashes"]
        assert saved or after.get(name) == before.get(name), name
        assert name in CATALOGUE or told["errors"][name[:60]]


@settings(QUICK, max_examples=40)
@given(
    form=st.sampled_from(["/jobs/new", "/jobs/{job}/accept", "/jobs/{job}/sign", "/jobs/{job}/link", "/jobs/{job}/again"]),
    pairs=st.lists(
        st.tuples(
            st.sampled_from(
                ["address_street", "heater_kind", "job_kind", "place", "check", "by", "on", "why", "act", "key", "digest", "name", "consent", "strokes", "homeowner", "homeowner_name", "relation", "homeowner_strokes"]
            ),
            text,
        ),
        max_size=6,
    ),
)  # fmt: skip
def test_the_other_forms(
    job: tuple[Any, str, str], store: Any, form: str, pairs: list[tuple[str, str]]
) -> None:
    before = store.jobs.get(1, job[1])
    answer = _post(job, form.format(job=job[1]), pairs)
    assert answer.status_code in (302, 404, 422), (form, pairs)
    assert store.jobs.get(1, job[1]) == before
    for one in store.jobs.all(1):
        _sound(dict(one.answers))


PATHS = ["%00", "..", "%2e%2e%2f", "%ff%fe", "%ed%a0%80", "a" * 9000, "1", "-1", "NaN", "٦", "{job}x", "{job}%00", "{job}/", "{job}/cellar", "{job}/water/", "{job}/water/x",
         "{job}/papers/C-1/%00", "{job}/papers/%00/certificate.pdf", "{job}/papers/C-000001/..%2f..%2fsecret-key", "{job}/papers/x", "{job}/issued", "{job}/water?x=" + "y" * 9000,
         "{job}/water?seen=%00&revision=%ff", "%7Bjob%7D", "{JOB}/review"]  # fmt: skip


@pytest.mark.parametrize(
    "method", ["GET", "HEAD", "POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "NONSENSE"]
)
def test_odd_addresses_and_methods(job: tuple[Any, str, str], store: Any, method: str) -> None:
    before = store.jobs.get(1, job[1])
    for path in PATHS:
        address = "/jobs/" + path.replace("{job}", job[1]).replace("{JOB}", job[1].upper())
        answer = job[0].client.open(address, method=method, headers={"X-CSRFToken": job[2]})
        assert answer.status_code in (200, 302, 308, 400, 404, 405, 422, 414), (method, path[:60])
    assert store.jobs.get(1, job[1]) == before


@pytest.mark.parametrize("path", ["water", "answers", "accept", "sign"])
def test_ten_megabytes_are_too_much_everywhere(job: tuple[Any, str, str], store: Any, path: str) -> None:
    before = store.jobs.get(1, job[1])
    answer = _post(job, f"/jobs/{job[1]}/{path}", [("house_pressure_psi", "6" * 10_000_000)])
    assert answer.status_code == 413
    assert "larger than 1 MB" in answer.text
    assert store.jobs.get(1, job[1]) == before


def test_another_firm_s_names_reach_nothing(job: tuple[Any, str, str], store: Any, visit: Any) -> None:
    theirs = visit("installer", firm="b").begin()
    before, of_theirs = store.jobs.get(1, job[1]), store.jobs.get(2, theirs)
    pairs = [
        ("organisation", "2"),
        ("job_id", theirs),
        ("installer", "99"),
        ("state", "issued"),
        ("id", theirs),
    ]
    assert _post(job, f"/jobs/{job[1]}/water", [*pairs, ("revision", "1")]).status_code == 302
    assert _post(job, f"/jobs/{theirs}/water", [("cold_inlet_f", "45")]).status_code == 404
    told = job[0].post_json(f"/jobs/{job[1]}/answers", {"changes": dict(pairs)}).get_json()
    assert set(told["errors"]) == {name for name, _ in pairs}
    assert store.jobs.get(1, job[1]) == before
    assert store.jobs.get(2, theirs) == of_theirs

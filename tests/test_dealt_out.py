"""Every test of a piece goes to one process, and a dear server that a file hides is named."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from tests import dealt_out

BROWSER = "tests/browser"
COLLECTED = [
    f"{BROWSER}/test_phone_kept.py::one", f"{BROWSER}/test_phone_update.py::two[a::b]", f"{BROWSER}/test_straps.py::three",
    f"{BROWSER}/test_straps.py::four", f"{BROWSER}/test_phone_kept.py::five", "tests/archive/test_soak.py::six",
    "tests/archive/test_soak.py::seven",
]  # fmt: skip


class Process:
    """One that shares the work, and is done with all it was given at once."""

    def __init__(self, name: str) -> None:
        self.gateway, self.given = SimpleNamespace(id=name), []
        self.shutting_down = False

    def send_runtest_some(self, places: list[int]) -> None:
        self.given += places

    def shutdown(self) -> None:
        self.shutting_down = True


def _shared(dist: str) -> list[set[str]]:
    told = {"dist": dist, "tx": ["2*popen"], "maxschedchunk": None}
    config: Any = SimpleNamespace(getvalue=told.get, option=SimpleNamespace(loadscopereorder=True))
    shared = dealt_out.scheduler(config, None)
    assert shared is not None
    processes = [Process("one"), Process("two")]
    for one in processes:
        shared.add_node(one)
    for one in processes:
        shared.add_node_collection(one, COLLECTED)
    shared.schedule()
    done: dict[Process, int] = dict.fromkeys(processes, 0)
    while any(done[one] < len(one.given) for one in processes):
        for one in processes:
            if done[one] < len(one.given):
                done[one] += 1
                shared.mark_test_complete(one, one.given[done[one] - 1])
    return [{COLLECTED[at] for at in one.given} for one in processes]


@pytest.mark.parametrize("dist", ["loadfile", "loadgroup"])
def test_what_shares_a_server_or_a_file_goes_to_one_process(dist: str) -> None:
    shared = _shared(dist)
    assert sum(map(len, shared)) == len(COLLECTED)
    for piece in ({"one", "two[a::b]", "five"} if dist == "loadgroup" else {"one", "five"}, {"three", "four"}):
        assert [bool({name.split("::", 1)[1] for name in given} & piece) for given in shared].count(True) == 1, piece
    assert sorted(map(len, shared)) == [3, 4]


def test_other_ways_of_sharing_stay_as_they_are() -> None:
    config: Any = SimpleNamespace(getvalue=lambda _: "load")
    assert dealt_out.scheduler(config, None) is None


def test_a_test_s_own_id_leads_to_its_file(request: pytest.FixtureRequest) -> None:
    path = dealt_out.ROOT / request.node.nodeid.partition("::")[0]
    assert dealt_out.piece_of(path) == dealt_out.piece_of(request.path) == str(Path(__file__))


def _item(file: str, *asked: str) -> Any:
    path = dealt_out.BROWSER / file
    return SimpleNamespace(path=path, nodeid=f"{BROWSER}/{file}::it", fixturenames=asked)


def test_what_takes_long_comes_first_and_a_hidden_server_is_named() -> None:
    items = [_item("test_straps.py"), _item("test_desk.py"), _item("test_desk.py"), _item("test_phone_kept.py", "server")]
    dealt_out.longest_first(items)
    assert [item.path.stem for item in items] == ["test_phone_kept", "test_desk", "test_desk", "test_straps"]
    with pytest.raises(pytest.UsageError, match="::it asks for server"):
        dealt_out.longest_first([_item("test_straps.py", "server")])


def test_a_file_that_asks_for_both_dear_servers_is_of_one_piece(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dealt_out, "BROWSER", tmp_path)
    (tmp_path / "test_both.py").write_text("def test_a(server: Replaced): ...\ndef test_b(served_whole: Served): ...\n")
    items = [SimpleNamespace(path=tmp_path / "test_both.py", nodeid=name, fixturenames=(name,)) for name in dealt_out.DEAR]
    dealt_out.longest_first(items)
    assert {dealt_out.piece_of(item.path) for item in items} == {"served_whole"}


@pytest.mark.parametrize("failed", ["setup", "call", "teardown"])
def test_of_a_test_that_passed_one_report_is_sent_and_of_any_other_all(failed: str) -> None:
    reports: Any = [SimpleNamespace(when=when, passed=True) for when in ("setup", "call", "teardown")]
    assert dealt_out.worth_telling(reports) == reports[1:2]
    next(one for one in reports if one.when == failed).passed = False
    assert dealt_out.worth_telling(reports) == reports

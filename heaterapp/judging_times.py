"""How long judging takes, beside its bars: one job warm, its arithmetic alone, and ten thousand by lines."""

from __future__ import annotations

import argparse
import json
import re
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from decimal import Decimal, localcontext
from pathlib import Path
from typing import IO, Any

from heaterapp.rules import Job, assess
from heaterapp.rules.calc import altitude, expansion, strap_forces, strapping, venting
from heaterapp.rules.units import EXACT
from heaterapp.timing import Measured, in_turns

D = Decimal
FEWEST_LINES = 100


def gas_job() -> dict[str, Any]:
    """The answers of the demo's first job, a gas tank with everything answered."""
    from heaterapp import demo

    return demo.answers_of(demo.STORIES[0])


def straight(job: dict[str, Any]) -> list[Decimal]:
    """The gas job's arithmetic as one straight function: no books, no questions, no words."""
    with localcontext(EXACT):
        house, setting = job["house_pressure_psi"], job["precharge_psi"]
        air = altitude.atmosphere(job["elevation_ft"])
        grown = expansion.thermal_expansion(job["storage_gal"], job["cold_inlet_f"], job["thermostat_f"])
        tank, holds = job["expansion_tank_gal"], job["expansion_acceptance_gal"]
        needed = expansion.tank_needed(grown, house, house, D(80), air)
        as_set = expansion.peak_pressure(grown, tank, setting, house, air, holds)
        advised = expansion.peak_pressure(grown, tank, house, house, air, holds)
        used = expansion.acceptance_used(grown, tank, setting, house, air, holds)
        gauge = expansion.precharge_at_air(house, job["installed_air_f"], job["precharge_air_f"], air)
        derated = altitude.rated_input(job["input_btuh"], job["elevation_ft"], D("0.04"), D(2000))
        base, height, straps = job["tank_base_in"], job["tank_height_in"], job["strap_heights_in"]
        low, high = strapping.lower_third(base, height), strapping.upper_third(base, height)
        weight = job["dry_weight_lb"] + D("8.33") * job["storage_gal"]
        force = strap_forces.strap_force(weight, D(1), D(3))
        middle = strap_forces.mass_height(base, height)
        pulls = strap_forces.strap_reactions(force, middle, straps)
        legs = strap_forces.splay(job["tank_diameter_in"], job["wall_gap_in"], job["anchor_spacing_in"])
        loads = [strap_forces.strap_load(one, legs) for one in pulls]
        angle = strap_forces.splay_deg(legs)
        tips = strap_forces.tipping_ratio(middle, base, job["tank_diameter_in"] / 2)
        area = venting.circle_ratio(job["vent_diameter_in"], job["draft_hood_outlet_in"])
        reach = venting.connector_length_by_height(job["vent_height_ft"], D("0.75"))
        rise = venting.rise_needed(job["connector_length_ft"], D("0.25"))
        worked: list[Any] = [needed, as_set, advised, used]
        firm = [gauge, derated, *low, *high, force, *pulls, angle, tips, area, reach, rise]
        return [*firm, D(len(loads)), D(len(worked))]


def assess_part(options: argparse.Namespace) -> Iterator[Measured]:
    """One full gas job, its answers read and judged, and the same arithmetic alone."""
    answers = gas_job()
    read = Job(answers).values
    works = {"judged": lambda: assess(answers), "alone": lambda: straight(read)}
    took = in_turns(options.rounds * 5, works)
    yield Measured("assess one full gas job, warm", took["judged"] * 1000, 5, "ms")
    name = "... against its arithmetic as one straight function"
    yield Measured(name, took["judged"] / took["alone"], 40, "x")


def _resident_kb(pid: int) -> float:
    """Memory a process holds now, by the system's own account; Linux only."""
    said = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    found = re.search(r"^VmRSS:\s+(\d+) kB", said, re.MULTILINE)
    if found is None:
        raise RuntimeError(f"process {pid} has no resident memory: it has ended")
    return float(found[1])


def _fed(jobs: int, into: IO[bytes]) -> None:
    """Write so many jobs, no two with the same serial, so that nothing remembered can answer for them."""
    answers = gas_job()
    with into:
        for count in range(jobs):
            into.write(json.dumps({**answers, "heater_serial": f"PL-{count:06}"}).encode() + b"\n")


def lines_part(options: argparse.Namespace) -> Iterator[Measured]:
    """So many jobs through `assess --lines`: time for each, and memory at the end against the first tenth."""
    jobs: int = options.lines
    command = [sys.executable, "-m", "heaterapp", "assess", "--lines", "-"]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as run:
        if run.stdin is None or run.stdout is None:
            raise RuntimeError("the door was opened without pipes")
        feeding = threading.Thread(target=_fed, args=(jobs, run.stdin), daemon=True)
        feeding.start()
        early, began = 0.0, time.perf_counter()
        for count in range(1, jobs + 1):
            if b'"outcome"' not in run.stdout.readline():
                raise RuntimeError(f"job {count} of {jobs} was not answered with a report")
            if count == jobs // 10:
                early = _resident_kb(run.pid)
            elif count == jobs:
                late = _resident_kb(run.pid)
        took = time.perf_counter() - began
    yield Measured(f"assess --lines, {jobs:,} jobs, each", took / jobs * 1000, 5, "ms")
    yield Measured("... memory at the end against after a tenth", late / early, 1.1, "x")

"""One gas job with every topic to judge, and its arithmetic alone: what judging is timed against."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal, localcontext
from typing import Any

from heaterapp.rules import Job
from heaterapp.rules.book import table
from heaterapp.rules.calc import (
    air,
    altitude,
    expansion,
    fasteners,
    gas,
    strap_forces,
    strapping,
    structural,
    vent_tables,
    venting,
)
from heaterapp.rules.units import EXACT

D = Decimal
BESIDE_THE_USUAL: dict[str, Any] = {
    "job_kind": "moved",
    "short_period_sds": "1.2",
    "floor_height_ft": 0,
    "roof_height_ft": 20,
    "importance_factor": "1",
    "new_gas_piping": "yes",
    "gas_piping_test_psi": 10,
    "gas_piping_test_min": 15,
    "gas_pipe_in": "3/4",
    "gas_pipe_length_ft": 40,
    "gas_pipe_total_btuh": 140000,
    "gas_sections": [{"in": "1", "btuh": 260000}],
    "gas_running_inwc": "6.5",
    "heater_min_inlet_inwc": 5,
    "gas_pressure_drop_inwc": "0.5",
    "air_source": "outdoors_direct",
    "room_other_input_btuh": 80000,
    "room_other_draft_kind": "draft_hood",
    "air_opening_high_in2": 150,
    "air_opening_low_in2": 150,
    "air_louver": "metal",
    "air_opening_least_dimension_in": 6,
    "air_high_from_top_in": 6,
    "air_low_from_bottom_in": 6,
    "air_screen_mesh_in": "1/4",
    "air_intake_above_ground_in": 24,
    "vent_shared": "yes",
    "connector_kind": "type_b",
    "connector_vertical_rise_ft": 2,
    "other_vent_kind": "draft_hood",
    "other_vent_input_btuh": 80000,
    "other_outlet_in": 5,
    "other_connector_diameter_in": 5,
    "other_connector_kind": "type_b",
    "other_connector_length_ft": 4,
    "other_connector_vertical_rise_ft": 2,
    "heater_connector_enters_above": "yes",
    "common_vent_diameter_in": 6,
    "common_vent_elbows_90": 0,
    "common_vent_elbows_45": 0,
    "common_vent_offset_ft": 0,
    "connectors_manifolded": "no",
    "vent_above_draft_hood_ft": 14,
    "vent_diameter_in": 6,
    "connector_diameter_in": 4,
}
"""The demo's first job with its gas pipe, openings to outdoors, a shared vent and the site's acceleration."""


def gas_job() -> dict[str, Any]:
    """The answers of the demo's first job, a gas tank with everything answered that its place asks."""
    from heaterapp import demo

    return demo.answers_of(demo.STORIES[0])


def full_gas_job() -> dict[str, Any]:
    """The answers of one gas job that every topic has something to judge on."""
    return {**gas_job(), **BESIDE_THE_USUAL}


def arithmetic_alone(answers: dict[str, Any]) -> Callable[[], list[Decimal]]:
    """The job's arithmetic as one straight function: no books, questions or words; tables are read before."""
    job = Job(answers).values
    connector, common = (
        vent_tables.grid_of(table(f"vent_shared_{name}_type_b").rows) for name in ("connector", "common")
    )
    pipes = table("gas_pipe_natural_05").rows

    def straight() -> list[Decimal]:
        with localcontext(EXACT):
            return [*_water(job), *_strap(job), *_vent(job, connector, common), *_fuel(job, pipes)]

    return straight


def _water(job: dict[str, Any]) -> list[Decimal]:
    house, here = job["house_pressure_psi"], altitude.atmosphere(job["elevation_ft"])
    setting = expansion.precharge_at_air(
        job["precharge_psi"], job["precharge_air_f"], job["installed_air_f"], here
    )
    grown = expansion.thermal_expansion(job["storage_gal"], job["cold_inlet_f"], job["thermostat_f"])
    tank, holds = job["expansion_tank_gal"], job["expansion_acceptance_gal"]
    needed = expansion.tank_needed(grown, house, house, D(80), here)
    as_set = expansion.peak_pressure(grown, tank, setting, house, here, holds)
    advised = expansion.peak_pressure(grown, tank, house, house, here, holds)
    used = expansion.acceptance_used(grown, tank, setting, house, here, holds)
    gauge = expansion.precharge_at_air(house, job["installed_air_f"], job["precharge_air_f"], here)
    derated = altitude.rated_input(job["input_btuh"], job["elevation_ft"], D("0.04"), D(2000))
    return [gauge, derated, D(len((needed, as_set, advised, used)))]


def _strap(job: dict[str, Any]) -> list[Decimal]:
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
    cover, lag, long = job["wall_cover_in"], job["lag_diameter_in"], job["lag_length_in"]
    deep = fasteners.penetration(long, D("0.15625"), cover)
    holds = fasteners.lag_withdrawal_allowable(
        D(225),
        fasteners.thread_in_wood(long, D("0.15625"), cover),
        load_duration=D("1.6"),
        penetration_in=deep,
        lag_diameter_in=lag,
        least_diameters=D(4),
    )
    standard = structural.structural_force(
        weight,
        job["short_period_sds"],
        amplification=D(1),
        response_modification=D("2.5"),
        importance=job["importance_factor"],
        floor_height_ft=job["floor_height_ft"],
        roof_height_ft=job["roof_height_ft"],
        formula_factor=D("0.4"),
        rise_factor=D(2),
        least_factor=D("0.3"),
        most_factor=D("1.6"),
    )
    return [*low, *high, force, *pulls, D(len(loads)), angle, tips, holds, standard.force_lb]


def _vent(job: dict[str, Any], connector: vent_tables.Grid, common: vent_tables.Grid) -> list[Decimal]:
    height, own = job["vent_above_draft_hood_ft"], job["connector_diameter_in"]
    other, rise = job["other_connector_diameter_in"], job["connector_vertical_rise_ft"]
    carried = [
        vent_tables.read(connector, "nat_max", height_ft=height, diameter_in=own, second_ft=rise),
        vent_tables.read(
            connector,
            "nat_max",
            height_ft=height,
            diameter_in=other,
            second_ft=job["other_connector_vertical_rise_ft"],
        ),
        vent_tables.read(common, "nat_nat", height_ft=height, diameter_in=job["common_vent_diameter_in"]),
    ]
    allowed = [venting.connector_length_by_diameter(one, D("1.5")) for one in (own, other)]
    area = venting.circle_ratio(job["vent_diameter_in"], job["draft_hood_outlet_in"])
    up = venting.rise_needed(job["connector_length_ft"], D("0.25"))
    lost = vent_tables.elbow_loss(
        job["vent_elbows_90"], job["vent_elbows_45"], free=D(2), loss_90=D("0.1"), loss_45=D("0.05")
    )
    return [*(one.value or D(0) for one in carried), *allowed, area, up, lost]


def _fuel(job: dict[str, Any], pipes: gas.Rows) -> list[Decimal]:
    sizes = [job["gas_pipe_in"], *(one[0] for one in job["gas_sections"])]
    cells = [gas.printed(pipes, one, job["gas_pipe_length_ft"]) for one in sizes]
    burned = job["input_btuh"] + job["room_other_input_btuh"]
    opening = air.opening_area(burned, D(4000))
    there = [air.free_area(job[f"air_opening_{one}_in2"], D("0.75")) for one in ("high", "low")]
    return [*(cell["cfh"] * D(1000) for cell in cells if cell), opening, *there]

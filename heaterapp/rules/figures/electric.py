"""Figures of the circuit: current, breaker range, what the wire may carry."""

from __future__ import annotations

from decimal import Decimal

from ..book import Table
from ..calc import electrical
from ..figure import figure
from ..questions.plate import ELECTRIC
from ..report import Worked
from ..units import (
    HUNDREDTHS,
    Ampere,
    Awg,
    Celsius,
    Count,
    Gallon,
    Kilowatt,
    Ratio,
    Volt,
    plain,
    plain_down,
    plain_up,
)
from ..when import is_

_LOAD = ("electric.continuous_load",)
_MOST = ("electric.overcurrent", "electric.standard_ratings")


@figure(
    "A",
    "0.01",
    "I = 1000 P / V, with P = plate kW (V / plate V)^2 / circuits",
    "Ohm's law for a resistance element",
    when=ELECTRIC,
    up=True,
)
def heater_amps(
    input_kw: Kilowatt, volts: Volt, input_kw_at_volts: Volt, circuit_count: Count | None = None
) -> Worked:
    rated, circuits = input_kw_at_volts, circuit_count or Decimal(1)
    value = electrical.amperes(input_kw, rated, volts, circuits)
    worked = f"1000 x {plain(input_kw, 6)} x {plain(volts, 6)} / ({plain(rated, 6)} x {plain(rated, 6)} x {plain(circuits)}) = {plain_up(value, HUNDREDTHS)} A"
    return Worked(value, worked)


@figure(
    "A",
    "0.01",
    "heat pump and tankless: the plate's least circuit amperes; else storage to the book's size: k I; else I",
    "NEC 422.13 and 422.10, or the data plate",
    when=ELECTRIC,
    clauses=_LOAD,
    up=True,
)
def circuit_needed_a(
    heater_kind: str, heater_amps: Ampere | None = None, storage_gal: Gallon | None = None, minimum_circuit_a: Ampere | None = None,
    disconnect: str | None = None, *, factor: Ratio, up_to: Gallon,
) -> Worked:  # fmt: skip
    marked = heater_kind != "electric_storage"
    if marked and minimum_circuit_a is not None:
        return Worked(minimum_circuit_a, f"data plate: {plain_up(minimum_circuit_a, HUNDREDTHS)} A")
    # Once the plate is said to have none ("not here"), its kW count: until then it is waited for.
    awaited = () if not marked or disconnect == "cord_and_plug" else ("minimum_circuit_a",)
    said = "The plate gives no least circuit amperes: worked from its kW." if awaited else ""
    tank = heater_kind != "electric_instantaneous"
    if heater_amps is None or (tank and storage_gal is None):
        said = "kW, the volts it is given at, the supply's volts and storage capacity are needed"
        return Worked(None, says=said, needs=("input_kw", "volts", "input_kw_at_volts", "storage_gal", *awaited))
    if not tank:
        return Worked(heater_amps, f"no tank: {plain_up(heater_amps, HUNDREDTHS)} A", said, needs=awaited)
    if storage_gal is not None and storage_gal > up_to:
        return Worked(heater_amps, f"over {plain(up_to)} gal: {plain_up(heater_amps, HUNDREDTHS)} A", said, needs=awaited)
    needed = plain_up(heater_amps * factor, HUNDREDTHS)
    return Worked(heater_amps * factor, f"{plain(factor)} x {plain(heater_amps)} = {needed} A", said, needs=awaited)


@figure(
    "A",
    "1",
    "the smallest standard rating at or above the circuit's need",
    "NEC 240.6(A)",
    when=ELECTRIC,
    clauses=("electric.standard_ratings",),
    up=True,
)
def breaker_min_a(circuit_needed_a: Worked, *, ratings: Table) -> Worked:
    if not isinstance(circuit_needed_a.value, Decimal):
        return Worked(None, says=circuit_needed_a.says, needs=circuit_needed_a.needs)
    sizes = [row["rating_a"] for row in ratings.rows]
    value = electrical.next_standard_size(circuit_needed_a.value, sizes)
    if value is None:
        return Worked(None, says="larger than the listed standard ratings")
    return Worked(
        value,
        f"first of the standard ratings at or above {plain_up(circuit_needed_a.value, HUNDREDTHS)} A: {plain(value)} A",
    )


@figure(
    "A",
    "1",
    "the marked maximum; else a fixed size for a small load; else the standard rating at or above k I",
    "NEC 422.11(E), 240.6(A)",
    when=ELECTRIC,
    clauses=_MOST,
    down=True,
)
def breaker_max_a(
    breaker_marked_max_a: Ampere | None = None, input_kw: Kilowatt | None = None,
    volts: Volt | None = None, input_kw_at_volts: Volt | None = None, circuit_count: Count | None = None,
    *, most_factor: Ratio, small_load: Ampere, small_load_breaker: Ampere, ratings: Table,
) -> Worked:  # fmt: skip
    if breaker_marked_max_a is not None:
        return Worked(breaker_marked_max_a, f"marked on the plate: {plain_down(breaker_marked_max_a, HUNDREDTHS)} A")
    if input_kw is None or volts is None or input_kw_at_volts is None:
        said = "kW, the volts it is given at and the supply's, or the largest breaker marked on the plate, are needed"
        return Worked(None, says=said, needs=("input_kw", "volts", "input_kw_at_volts"))
    # From the kW: a current rounded up, or without end, comes to more than a rating it is just on.
    sizes, circuits = [row["rating_a"] for row in ratings.rows], circuit_count or Decimal(1)
    heater_amps = electrical.amperes(input_kw, input_kw_at_volts, volts, circuits)
    value = electrical.largest_breaker(heater_amps, most_factor, small_load, small_load_breaker, sizes)
    if value is None:
        return Worked(None, says="larger than the listed standard ratings")
    if heater_amps <= small_load:
        return Worked(
            value, f"{plain_up(heater_amps, HUNDREDTHS)} A is not above {plain(small_load)} A: {plain(value)} A at most"
        )
    product, rated = plain_up(most_factor * heater_amps, HUNDREDTHS), plain(input_kw_at_volts, 6)
    worked = f"{plain(most_factor)} x 1000 x {plain(input_kw, 6)} x {plain(volts, 6)} / ({rated} x {rated} x {plain(circuits)}) = {product} A, next standard rating {plain(value)} A"
    return Worked(value, worked)


@figure(
    "A", "1", "the cell of the table for the wire, in the column of the coolest of cable, insulation and terminals", "NEC Table 310.16, 110.14(C), 334.80",
    when=ELECTRIC & is_("wire_metal", "copper", "aluminum"), clauses=("electric.ampacity", "electric.ampacity_aluminum", "electric.termination"),
    down=True,
)  # fmt: skip
def conductor_ampacity_a(
    wire_awg: Awg, wire_metal: str, wire_method: str, wire_rating_c: Celsius | None = None, terminal_rating_c: Celsius | None = None,
    *, copper: Table, aluminum: Table, columns: tuple[Decimal, ...], cool_column: Celsius,
) -> Worked:  # fmt: skip
    marks = [m if m is not None else cool_column for m in (wire_rating_c, terminal_rating_c)]
    coolest = cool_column if wire_method == "nm_cable" else min(marks)
    column = max((c for c in columns if c <= coolest), default=None)
    if column is None:
        return Worked(None, says=f"no column of the table is as cool as {plain(coolest)} C")
    cells = {
        row["awg"]: row[f"at_{plain(column)}c_a"]
        for row in (copper if wire_metal == "copper" else aluminum).rows
    }
    value = electrical.ampacity(wire_awg, cells)
    if value is None:
        return Worked(None, says=f"{plain(wire_awg)} AWG {wire_metal} is not in the table held here")
    return Worked(value, f"{plain(wire_awg)} AWG {wire_metal}, {plain(column)} C column: {plain(value)} A")

"""Currents of a resistive heater, and the breakers and wires that carry them.

Sizes, factors and thresholds are the code's and come in as arguments.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import TypeVar

from .exact import EXACT, exactly, within

Wire = TypeVar("Wire")

HIGHEST_KW = Decimal(1000)
LOWEST_V = Decimal(1)
HIGHEST_V = Decimal(1000)
HIGHEST_A = Decimal(10000)
ONE = Decimal(1)

# One kilowatt hour over one international-table Btu of 1055.05585262 J.
BTUH_PER_KW = EXACT.divide(Decimal(3600000), Decimal("1055.05585262"))


def _amperes(name: str, amperes: Decimal) -> None:
    within(name, amperes, Decimal(0), HIGHEST_A, "A")


def _volts(name: str, volts: Decimal) -> None:
    within(name, volts, LOWEST_V, HIGHEST_V, "V")


@exactly
def kilowatts_at(rated_kw: Decimal, rated_volts: Decimal, volts: Decimal) -> Decimal:
    """Power of a resistive element on a voltage other than its plate's.

        P = P_rated x (V / V_rated)^2

    rated_kw     power on the plate                    [kW]  0 to 1,000
    rated_volts  voltage the plate states it at        [V]   1 to 1,000
    volts        voltage it runs on                    [V]   1 to 1,000
    returns      power there, unrounded                [kW]

    Leaves out the small change of resistance with temperature.

    Source: Ohm's law. Checked against: a 5,500 W, 240 V element on 208 V is 4,131 W
    by hand; a label prints 4,125 W, the same within 0.15 percent.

    >>> round(kilowatts_at(Decimal("5.5"), Decimal(240), Decimal(208)), 3)
    Decimal('4.131')
    """
    within("rated_kw", rated_kw, Decimal(0), HIGHEST_KW, "kW")
    _volts("rated_volts", rated_volts)
    _volts("volts", volts)
    return rated_kw * volts * volts / (rated_volts * rated_volts)


@exactly
def amperes(rated_kw: Decimal, rated_volts: Decimal, volts: Decimal, circuits: Decimal = ONE) -> Decimal:
    """Current in each circuit of a single-phase resistive heater.

        I = 1000 P_rated V / V_rated^2 / n;  on its own voltage I = 1000 P / V / n

    rated_kw     most power that runs at once, from the plate  [kW]     0 to 1,000
    rated_volts  voltage the plate states it at                [V]      1 to 1,000
    volts        voltage it runs on                            [V]      1 to 1,000
    circuits     branch circuits that share the load evenly    [count]  1 or more
    returns      current in one circuit, unrounded             [A]

    Leaves out power factor and three-phase connections: heating elements only.

    Source: Ohm's law. Checked against: a trade magazine (4,500 W at 240 V
    18.75 A, exact) and an electricians' forum (5,500 W 22.9 A, to a tenth).

    >>> amperes(Decimal("4.5"), Decimal(240), Decimal(240))
    Decimal('18.75')
    >>> amperes(Decimal("4.5"), Decimal(240), Decimal(208))
    Decimal('16.25')
    """
    if not circuits >= 1 or circuits % 1:
        raise ValueError(f"circuits must be a whole number, 1 or more, not {circuits}")
    power = kilowatts_at(rated_kw, rated_volts, volts)
    # multiplied first, so that a round current comes out round
    return power * 1000 / (volts * circuits)


@exactly
def heat_input(kilowatts: Decimal) -> Decimal:
    """Electric power as a rate of heat, to compare with a relief valve's rating.

        Q = 3412.14 P

    kilowatts  electric power                [kW]     0 to 1,000
    returns    the same power, unrounded     [Btu/h]

    Source: the international-table Btu, 1055.05585262 J. Checked against: 4.5 kW is
    15,355 and 5.5 kW is 18,767 Btu/h, to the whole Btu.

    >>> round(heat_input(Decimal("4.5")))
    15355
    """
    within("kilowatts", kilowatts, Decimal(0), HIGHEST_KW, "kW")
    return kilowatts * BTUH_PER_KW


@exactly
def next_standard_size(needed_a: Decimal, standard_a: Iterable[Decimal]) -> Decimal | None:
    """Smallest standard rating at or above a current.

    needed_a    current to carry                          [A]  0 to 10,000
    standard_a  ratings that are made, in any order       [A]
    returns     a rating of the list; None when the list ends below the current

    Source: how a list is read. Checked against: 31.25 A gives 35, 35 A gives 35.

    >>> next_standard_size(Decimal("31.25"), [Decimal(30), Decimal(40), Decimal(35)])
    Decimal('35')
    """
    _amperes("needed_a", needed_a)
    return min((size for size in standard_a if size >= needed_a), default=None)


@exactly
def smallest_breaker(
    load_a: Decimal, continuous_factor: Decimal, standard_a: Iterable[Decimal]
) -> Decimal | None:
    """Smallest breaker for a load that counts as continuous.

        the smallest standard rating >= k I

    load_a             current of the heater                    [A]  0 to 10,000
    continuous_factor  what the load is multiplied by           [1]  1 to 2
    standard_a         ratings that are made                    [A]
    returns            a rating of the list, None past its end  [A]

    Leaves out a minimum circuit ampacity marked on the plate, which governs.

    Source: the electrical code's rule, whose numbers the caller brings. Checked
    against: an electricians' forum, 5,500 W at 240 V and 1.25: 30 A.

    >>> smallest_breaker(Decimal("22.9"), Decimal("1.25"), map(Decimal, (25, 30, 35)))
    Decimal('30')
    """
    _amperes("load_a", load_a)
    within("continuous_factor", continuous_factor, Decimal(1), Decimal(2), "times the load")
    return next_standard_size(load_a * continuous_factor, standard_a)


@exactly
def largest_breaker(
    load_a: Decimal,
    most_factor: Decimal,
    small_load_a: Decimal,
    small_load_breaker_a: Decimal,
    standard_a: Iterable[Decimal],
    marked_max_a: Decimal | None = None,
) -> Decimal | None:
    """Largest breaker a single non-motor appliance may have.

        the marked maximum;  else a fixed size up to a small load;
        else the smallest standard rating >= k I

    load_a                current of the heater                         [A]  0 to 10,000
    most_factor           what the load is multiplied by                [1]  1 to 3
    small_load_a          a load up to this, included, takes            [A]  0 to 10,000
    small_load_breaker_a  this breaker at most                          [A]  0 to 10,000
    standard_a            ratings that are made                         [A]
    marked_max_a          maximum on the plate, None if unmarked        [A]  0 to 10,000
    returns               largest rating; None past the end of the list [A]

    Source: the electrical code's rule, whose numbers the caller brings. Checked
    against: a trade magazine (4,500 W 30 A) and an electricians' forum (5,500 W 35 A).

    >>> numbers = map(Decimal, ("22.9", "1.5", "13.3", 20))
    >>> largest_breaker(*numbers, standard_a=map(Decimal, (30, 35, 40)))
    Decimal('35')
    """
    _amperes("load_a", load_a)
    within("most_factor", most_factor, Decimal(1), Decimal(3), "times the load")
    _amperes("small_load_a", small_load_a)
    _amperes("small_load_breaker_a", small_load_breaker_a)
    if marked_max_a is not None:
        _amperes("marked_max_a", marked_max_a)
        return marked_max_a
    if load_a <= small_load_a:
        return small_load_breaker_a
    return next_standard_size(load_a * most_factor, standard_a)


def ampacity(wire: Wire, ampacities_a: Mapping[Wire, Decimal]) -> Decimal | None:
    """Current a wire size may carry, from one column of a table.

    wire          size as the table names it, 10 for 10 AWG
    ampacities_a  the column: size to current                    [A]
    returns       the cell; None for a size the table does not have: never extrapolated

    Source: the table the caller brings. Checked against: nothing, it is a look-up.

    >>> ampacity(10, {12: Decimal(20), 10: Decimal(30)})
    Decimal('30')
    """
    return ampacities_a.get(wire)


@exactly
def breaker_limit_of_wire(
    ampacity_a: Decimal, standard_a: Iterable[Decimal], small_wire_cap_a: Decimal | None = None
) -> Decimal | None:
    """Largest breaker that protects a wire.

        the cap of a small wire;  else the smallest standard rating >= its ampacity

    ampacity_a        current the wire may carry                     [A]  0 to 10,000
    standard_a        ratings that are made                          [A]
    small_wire_cap_a  cap of a small wire size, None if it has none  [A]  0 to 10,000
    returns           largest rating; None past the end of the list  [A]

    Source: the electrical code's rule, whose numbers the caller brings. Checked
    against: its published small-conductor caps; 55 A wire takes a 60 A breaker.

    >>> breaker_limit_of_wire(Decimal(55), map(Decimal, (50, 60)))
    Decimal('60')
    >>> breaker_limit_of_wire(Decimal(35), map(Decimal, (30, 35)), Decimal(30))
    Decimal('30')
    """
    _amperes("ampacity_a", ampacity_a)
    if small_wire_cap_a is None:
        return next_standard_size(ampacity_a, standard_a)
    _amperes("small_wire_cap_a", small_wire_cap_a)
    return small_wire_cap_a


@exactly
def smallest_wire(
    needed_a: Decimal,
    breaker_a: Decimal,
    ampacities_a: Mapping[Wire, Decimal],
    standard_a: Iterable[Decimal],
    small_wire_caps_a: Mapping[Wire, Decimal],
) -> Wire | None:
    """Smallest wire that carries a load and is protected by its breaker.

        ampacity >= needed  and  breaker <= `breaker_limit_of_wire`

    needed_a           load with its continuous factor                  [A]  0 to 10,000
    breaker_a          breaker on the circuit                           [A]  0 to 10,000
    ampacities_a       one column of the table: size to current         [A]
    standard_a         ratings that are made                            [A]
    small_wire_caps_a  caps of the small sizes                          [A]
    returns            the size with the least ampacity that will do; None when the
                       table has none

    Leaves out bundling, hot places and voltage drop.

    Source: the electrical code's rules, whose numbers the caller brings. Checked
    against: an electricians' forum, 5,500 W at 240 V: 10 AWG with a 30 A breaker, 8
    AWG with a 35 A one.

    >>> column = {12: Decimal(20), 10: Decimal(30), 8: Decimal(40)}
    >>> smallest_wire(Decimal("28.65"), Decimal(30), column, map(Decimal, (30, 35)), {10: Decimal(30)})
    10
    """
    _amperes("needed_a", needed_a)
    _amperes("breaker_a", breaker_a)
    standard = tuple(standard_a)
    for wire, carries in sorted(ampacities_a.items(), key=lambda row: row[1]):
        limit = breaker_limit_of_wire(carries, standard, small_wire_caps_a.get(wire))
        if carries >= needed_a and limit is not None and breaker_a <= limit:
            return wire
    return None

"""Air for burning: room volumes, openings and fans that an input calls for.

The shares and factors come from the adopted book and are arguments here.
"""

from __future__ import annotations

from decimal import Decimal

from .exact import exactly, not_negative, positive, within


@exactly
def standard_volume(input_btuh: Decimal, ft3_per_1000_btuh: Decimal) -> Decimal:
    """Least volume of a room that gives an input its air by itself.

        V = k Q / 1000

    input_btuh         Q, of all that takes air from the room  [Btu/h]  0 or more
    ft3_per_1000_btuh  k; 50                                   [ft3]    more than 0
    returns            volume, unrounded                       [ft3]

    Leaves out houses known to be tight, for which the next formula holds.

    Source: 2012 UPC 506.2.1 (NFPA 54-2012 9.3.2.1). Checked against: a gas utility's
    engineering guide (hawaiigas.com), 150,000 Btu/h need 7,500 ft3; exact.

    >>> standard_volume(Decimal(150000), Decimal(50))
    Decimal('7500')
    """
    not_negative(input_btuh=input_btuh)
    positive(ft3_per_1000_btuh=ft3_per_1000_btuh)
    return ft3_per_1000_btuh * input_btuh / 1000


@exactly
def infiltration_volume(
    hood_btuh: Decimal, fan_btuh: Decimal, changes_per_hour: Decimal,
    *, hood_factor: Decimal, fan_factor: Decimal, most_changes: Decimal,
) -> Decimal:  # fmt: skip
    """Least volume where the rate at which outdoor air leaks in is known.

        V = (a Q_hood + b Q_fan) / (1000 n),  n no more than its cap

    hood_btuh         Q_hood, of draft-hood appliances         [Btu/h]  0 or more
    fan_btuh          Q_fan, of fan-assisted ones              [Btu/h]  0 or more
    changes_per_hour  n, air changes                           [1/h]    more than 0
    hood_factor       a; 21                                    [ft3]    more than 0
    fan_factor        b; 15                                    [ft3]    more than 0
    most_changes      the cap of n; 0.60                       [1/h]    more than 0
    returns           the sum of both volumes, unrounded       [ft3]

    Source: New York City Fuel Gas Code 304.5.2 (shape and inputs); 2012 UPC 506.2.2 (the
    cap). Checked against: Minnesota Fuel Gas Code appendix E, Table E-1, two rows in four
    columns, with 0.20 and 0.40 changes, which its printed defaults come to; to 1 ft3.

    >>> infiltration_volume(Decimal(25000), Decimal(0), Decimal("0.2"), hood_factor=Decimal(21),
    ...     fan_factor=Decimal(15), most_changes=Decimal("0.6"))
    Decimal('2625')
    """
    not_negative(hood_btuh=hood_btuh, fan_btuh=fan_btuh)
    positive(changes_per_hour=changes_per_hour, most_changes=most_changes)
    positive(hood_factor=hood_factor, fan_factor=fan_factor)
    rate = min(changes_per_hour, most_changes)
    return (hood_factor * hood_btuh + fan_factor * fan_btuh) / (1000 * rate)


@exactly
def opening_area(input_btuh: Decimal, btuh_per_in2: Decimal, least_in2: Decimal = Decimal(0)) -> Decimal:
    """Least free area of an opening.

        A = Q / n, and not under A_least

    input_btuh    Q                                                 [Btu/h]  0 or more
    btuh_per_in2  n; 1000 indoors, 2000 to 4000 outdoors            [Btu/h]  more than 0
    least_in2     A_least; 100 between rooms, else 0                [in2]    0 or more
    returns       free area, unrounded                              [in2]

    Source: 2012 UPC 506.3 and 506.4. Checked against: hand.

    >>> opening_area(Decimal(40000), Decimal(1000), Decimal(100)), opening_area(Decimal(40000), Decimal(4000))
    (Decimal('100'), Decimal('10'))
    """
    not_negative(input_btuh=input_btuh, least_in2=least_in2)
    positive(btuh_per_in2=btuh_per_in2)
    return max(input_btuh / btuh_per_in2, least_in2)


@exactly
def free_area(gross_in2: Decimal, share: Decimal) -> Decimal:
    """Free area behind a louver whose own is not known.

        A_free = s A

    gross_in2  A, width times height             [in2]  0 or more
    share      s; 0.75 metal, 0.25 wood          [-]    0 to 1
    returns    free area, unrounded              [in2]

    Source: 2012 UPC 506.8; a gas utility's engineering guide (hawaiigas.com). Checked
    against: a wood louver of 2 by 6 ft, 1,728 in2, has 432 in2 free; exact.

    >>> free_area(Decimal(1728), Decimal("0.25"))
    Decimal('432.00')
    """
    not_negative(gross_in2=gross_in2)
    within("share", share, Decimal(0), Decimal(1), "of the face")
    return gross_in2 * share


@exactly
def outdoor_share(available_ft3: Decimal, needed_ft3: Decimal) -> Decimal:
    """Share of the full outdoor opening left to find when the rooms give part of the air.

        s = 1 - V_there / V_needed, from 0 to 1

    available_ft3  V_there, the rooms        [ft3]  0 or more
    needed_ft3     V_needed                  [ft3]  more than 0
    returns        share, to 28 digits       [-]

    Source: Minnesota residential combustion air worksheet; 2012 UPC 506.5. Checked
    against: hand, at both ends.

    >>> outdoor_share(Decimal(500), Decimal(2000)), outdoor_share(Decimal(3000), Decimal(2000))
    (Decimal('0.75'), Decimal('0'))
    """
    not_negative(available_ft3=available_ft3)
    positive(needed_ft3=needed_ft3)
    return max(Decimal(0), 1 - available_ft3 / needed_ft3)


@exactly
def fan_air(input_btuh: Decimal, cfm_per_1000_btuh: Decimal) -> Decimal:
    """Least outdoor air from a fan that supplies all of it.

        q = k Q / 1000

    input_btuh         Q                         [Btu/h]  0 or more
    cfm_per_1000_btuh  k; 0.35                   [cfm]    more than 0
    returns            flow, unrounded           [cfm]

    Source: 2012 UPC 506.7 (NFPA 54-2012 9.3.6). Checked against: hand.

    >>> fan_air(Decimal(40000), Decimal("0.35"))
    Decimal('14.00')
    """
    not_negative(input_btuh=input_btuh)
    positive(cfm_per_1000_btuh=cfm_per_1000_btuh)
    return cfm_per_1000_btuh * input_btuh / 1000

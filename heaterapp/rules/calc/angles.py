"""Angles by series: floating-point functions differ between server and phone."""

from __future__ import annotations

from decimal import Context, Decimal, localcontext

from .exact import EXACT, exactly, within

PI = Decimal("3.1415926535897932384626433832795028841972")

# Twelve digits more than the answer keeps, so the last one kept is the right one.
GUARDED = Context(
    prec=40,
    rounding=EXACT.rounding,
    Emin=EXACT.Emin,
    Emax=EXACT.Emax,
    capitals=1,
    clamp=0,
    flags=[],
    traps=[signal for signal, on in EXACT.traps.items() if on],
)
TOO_SMALL = Decimal("1e-38")


@exactly
def arctangent_deg(tangent: Decimal) -> Decimal:
    """Angle whose tangent is given.

        atan t = 2 atan(t / (1 + sqrt(1 + t^2))), twice, then t - t^3/3 + t^5/5 - ...

    tangent  ratio                                      [-]    any
    returns  angle from -90 to 90, to 28 digits         [deg]

    Source: the arctangent series, any handbook of mathematical functions.
    Checked against: tangents of 45, 60 and 15 degrees written as roots; within
    1e-25 degree.

    >>> arctangent_deg(Decimal(1))
    Decimal('45')
    """
    if not tangent:
        return Decimal(0)
    with localcontext(GUARDED):
        quarter = tangent
        for _ in range(2):
            quarter = quarter / (1 + (1 + quarter * quarter).sqrt())
        square = -quarter * quarter
        power, total, odd = quarter, quarter, 1
        while abs(power) > TOO_SMALL:
            power *= square
            odd += 2
            total += power / odd
        degrees = 4 * total * 180 / PI
    return plain(degrees)


@exactly
def sine_of_deg(angle_deg: Decimal) -> Decimal:
    """Sine of an angle.

        sin x = x - x^3/3! + x^5/5! - ...,  x = pi x angle / 180

    angle_deg  angle              [deg]  -90 to 90
    returns    sine, to 28 digits [-]
    raises     ValueError outside the range

    Source: the sine series, any handbook of mathematical functions. Checked
    against: 30, 45 and 60 degrees written as roots; within 1e-27.

    >>> sine_of_deg(Decimal(30))
    Decimal('0.5')
    """
    within("angle_deg", angle_deg, Decimal(-90), Decimal(90), "degrees")
    with localcontext(GUARDED):
        angle = angle_deg * PI / 180
        square = -angle * angle
        term, total, count = angle, angle, 1
        while abs(term) > TOO_SMALL:
            count += 2
            term = term * square / (count * (count - 1))
            total += term
    return plain(total)


def plain(value: Decimal) -> Decimal:
    """The value rounded to the context in force, without trailing zeros."""
    rounded = (+value).normalize()
    return rounded.quantize(Decimal(1)) if rounded == rounded.to_integral_value() else rounded

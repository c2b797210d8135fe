"""Limits of wear for a car on the road: steering, tread, linings, toe, pedal and rims.

In: lengths; inches for rules, millimeters for the facts that people ask for, in which an inch and a millimeter are
both exact. Out: limits and yes/no for rules, a `Fact` for people. All are 49 CFR 570 subpart A, for vehicles up to
10,000 lb; the numbers of subpart B, for heavy ones, are not a car's.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal
from itertools import pairwise

from advisor.trade.fact import Cited, Fact, Unanswerable, Value
from advisor.trade.figures import MM_PER_INCH, inches, number, percent, thirty_seconds

__all__ = [
    "lining_fact",
    "lining_limit",
    "pedal_fact",
    "rim_fact",
    "steering_fact",
    "steering_play_limit",
    "toe_fact",
    "toe_fits",
    "tread_fact",
    "tread_limit",
]

_EXACT = Context(prec=34, rounding=ROUND_HALF_EVEN)
_STEERING = (
    (Decimal(16), Decimal(2)),
    (Decimal(18), Decimal("2.25")),
    (Decimal(20), Decimal("2.5")),
    (Decimal(22), Decimal("2.75")),
)
"""Steering wheel's diameter, "16 or less" and up, and free play at its rim, inches (49 CFR 570.7(a), Table 1)."""
_LINKAGE = Decimal("0.25")
_TREAD_US = Decimal("0.0625")
_TREAD_UK_MM = Decimal("1.6")
_NEAR_MM = Decimal("1.7")
"""Down to here two decimals tell a tread from its limits."""
_LININGS = {"riveted": Decimal("0.03125"), "bonded": Decimal("0.0625")}
_TOE = Decimal("1.5")
_PEDAL = Decimal("0.80")
_RUNOUT = Decimal("0.125")

_LAW = (
    "The federal part is a guide to the states and binds nobody by itself: your state's inspection rules, and the "
    "maker's figures, come first."
)
_NOT_ALL = "Being within one limit makes no car safe: it is one thing that was measured."


# ---- steering ------------------------------------------------------------------------------------------------------

_PLAY = Cited("49 CFR 570.7(a), Table 1", "published")
_BETWEEN = Cited("between the table's rows, for 16 to 22 in, a straight line", "house figure")
_LINKS = Cited("49 CFR 570.7(b): 1/4 in of linkage play", "published")
_STATES = (
    "States differ. Ohio allows 2 in with power steering and 3 in without (OAC 4501:2-1-05); Maryland allows 3 in with "
    "wheels below 21 in."
)
_HOW_PLAY = (
    "Front wheels straight, engine on if the steering has power: turn the wheel lightly until the front tires move, "
    "and measure at the rim."
)
_HOW_LINKAGE = (
    "Linkage play is felt at the tire with the front end raised on stands on firm ground: that is a shop's work."
)


def steering_play_limit(diameter: Decimal) -> Decimal | None:
    """The free play allowed at the rim of a steering wheel of this diameter, both in inches.

    49 CFR 570.7(a), Table 1; a straight line between its rows. None above its last row, 22 in, and for no wheel.
    """
    if not 0 < diameter <= _STEERING[-1][0]:
        return None
    for (small, less), (large, more) in pairwise(_STEERING):
        if diameter <= small:
            return less
        if diameter <= large:
            return less + (more - less) * (diameter - small) / (large - small)
    return None


def steering_fact(diameter: Decimal, play: Decimal | None = None, linkage: Decimal | None = None) -> Fact:
    """The limit of a steering wheel's free play, and whether play and linkage play keep within; in millimeters."""
    across = _EXACT.divide(diameter, MM_PER_INCH)
    limit = steering_play_limit(across)
    if limit is None or across < 10:
        raise Unanswerable("measure the steering wheel straight across, from 10 to 22 in, where the table ends")
    _refuse_below_zero(play, linkage)
    said = [f"A steering wheel {inches(across)} across may have {inches(limit)} of free play at its rim."]
    fits = None if play is None else play <= limit * MM_PER_INCH
    if play is not None:
        said.append(f"{_length(play)} is {'within it' if fits else 'too much'}.")
    links = None if linkage is None else linkage <= _LINKAGE * MM_PER_INCH
    if linkage is not None:
        said.append(f"{_length(linkage)} of linkage play is {'within' if links else 'more than'} the 1/4 in allowed.")
    between = across > _STEERING[0][0] and across not in dict(_STEERING)
    return Fact(
        " ".join(said),
        {"limit_in": limit, "fits": fits, "linkage_limit_in": _LINKAGE, "linkage_fits": links},
        (_PLAY, *[_BETWEEN] * between, *[_LINKS] * (linkage is not None)),
        (_HOW_PLAY, _STATES, *[_HOW_LINKAGE] * (linkage is not None), _LAW, _NOT_ALL),
    )


# ---- tires and rims --------------------------------------------------------------------------------------------------

_TREAD = Cited("49 CFR 570.9(a)", "quoted")
_TREAD_UK = Cited("UK police advice on tires: 1.6 mm across the middle three quarters, all the way round", "published")
_TREAD_UK_LAW = Cited("Road Vehicles (Construction and Use) Regulations 1986, regulation 27", "from memory")
_HOW_TREAD = (
    "Measure in the main grooves at three places round the tire, the inner edge too, away from the wear bars; the "
    "shallowest counts."
)
_WET_ROAD = "Legal is not good: in rain a tire grips less long before it is down to the limit."
_TIRE_AGE = "Tread says nothing of age, cracks, bulges or cords: look at those too."
_RIM = Cited("49 CFR 570.10(b)", "published")
_HOW_RIM = "Runout is the whole swing of a gauge held against the rim while the wheel turns, on a stand."


def tread_limit(law: str) -> Decimal | None:
    """The least tread in inches: `us` 2/32 in, `uk` 1.6 mm to 34 digits, which is 1.6 mm again in millimeters."""
    return {"us": _TREAD_US, "uk": _EXACT.divide(_TREAD_UK_MM, MM_PER_INCH)}.get(law)


def tread_fact(depth: Decimal) -> Fact:
    """Whether a tread depth, in millimeters, is enough in the United States and in the United Kingdom."""
    if not 0 <= depth <= 40:
        raise Unanswerable("tread is 0 to 40 mm deep: give it as `3/32 in` or as `2.4 mm`")
    us, uk = depth >= _TREAD_US * MM_PER_INCH, depth >= _TREAD_UK_MM
    depth_in = _EXACT.divide(depth, MM_PER_INCH)
    verdict = {
        (True, True): "is legal tread by both laws",
        (True, False): "is just legal in the United States and not in the United Kingdom",
        (False, False): "is worn out by both laws",
    }[us, uk]
    shown = f"{thirty_seconds(depth_in)} ({number(depth, 2 if depth > _NEAR_MM else 4)} mm)"
    return Fact(
        f"{shown} {verdict}: the least is 2/32 in (United States) and 1.6 mm (United Kingdom).",
        {
            "us": us,
            "uk": uk,
            "depth_in": round(depth_in, 6),
            "depth_mm": depth,
            "us_limit_in": _TREAD_US,
            "uk_limit_mm": _TREAD_UK_MM,
        },
        (_TREAD, _TREAD_UK, _TREAD_UK_LAW),
        (_HOW_TREAD, _WET_ROAD, _TIRE_AGE, _LAW),
    )


def rim_fact(lateral: Decimal, radial: Decimal | None = None) -> Fact:
    """Whether a rim's runout, sideways and up and down, in millimeters, is within 1/8 in."""
    _refuse_below_zero(lateral, radial)
    limit = _RUNOUT * MM_PER_INCH
    runouts = [("sideways", lateral)] + ([("up and down", radial)] if radial is not None else [])
    said = [f"{_length(r)} {way} is {'within' if r <= limit else 'more than'} the 1/8 in allowed" for way, r in runouts]
    return Fact(
        f"{'; '.join(said)}.",
        {"fits": all(r <= limit for _, r in runouts), "limit_in": _RUNOUT},
        (_RIM,),
        (_HOW_RIM, _LAW, _NOT_ALL),
    )


# ---- brakes ----------------------------------------------------------------------------------------------------------

_LINING = Cited("49 CFR 570.5(g)", "from memory")
_LINING_HEAVY = Cited("49 CFR 570.59(c), the same words for heavier vehicles", "published")
_DUST = "Brake dust may hold asbestos: never blow or brush it dry (29 CFR 1910.1001, appendix F)."
_DISC = "For discs and drums the figure stamped on them counts, and a lining near its limit is used up soon."
_PEDAL_RULE = Cited("49 CFR 570.5(c)", "from memory")
_PEDAL_HEAVY = Cited("49 CFR 570.55(c), the same words for heavier vehicles", "published")
_HOW_PEDAL = (
    "Measure from the pedal to the floor, free and pressed with about 50 lb, engine running if the brakes have power. "
    "Standing still, in park or first gear."
)
_SINKS = "A pedal that sinks under a steady foot, or is spongy, is a fault whatever it measures."


def lining_limit(kind: str) -> Decimal | None:
    """The least brake lining in inches: `riveted` 1/32 above the rivets, `bonded` 1/16 above the shoe."""
    return _LININGS.get(kind)


def lining_fact(kind: str, thickness: Decimal | None = None) -> Fact:
    """The least lining of a kind, and whether a thickness in millimeters is enough."""
    _refuse_below_zero(thickness)
    limit = lining_limit(kind)
    if limit is None:
        raise Unanswerable("linings are `riveted` or `bonded`: say which")
    over = "the rivets" if kind == "riveted" else "the shoe or plate"
    said = f"A {kind} lining needs {inches(limit)} ({number(limit * MM_PER_INCH)} mm) above {over}."
    fits = None if thickness is None else thickness >= limit * MM_PER_INCH
    if thickness is not None:
        said += f" {_length(thickness)} {'is enough' if fits else 'is too thin: brakes are to be relined'}."
    return Fact(
        said,
        {"limit_in": limit, "limit_mm": limit * MM_PER_INCH, "fits": fits},
        (_LINING, _LINING_HEAVY),
        (_DISC, _DUST, _LAW, _NOT_ALL),
    )


def pedal_fact(free: Decimal, pressed: Decimal) -> Fact:
    """Whether a brake pedal keeps a fifth of its travel in reserve; heights above the floor, in one unit."""
    if not free > 0 or not 0 <= pressed <= free:
        raise Unanswerable("give the free pedal's height above the floor, then the lower one of the pressed pedal")
    used, fits = (free - pressed) / free, free - pressed <= _PEDAL * free
    shown = percent(used, 1) if fits else f"{number(used * 100, 2)}%"
    return Fact(
        f"The pedal uses {shown} of its travel, {'within' if fits else 'more than'} the 80% allowed.",
        {"used_percent": (used * 100).quantize(Decimal("0.01")), "fits": fits, "limit_percent": _PEDAL * 100},
        (_PEDAL_RULE, _PEDAL_HEAVY),
        (_HOW_PEDAL, _SINKS, _LAW, _NOT_ALL),
    )


# ---- toe -------------------------------------------------------------------------------------------------------------

_TOE_RULE = Cited("49 CFR 570.7(d): 1.5 times the maker's setting", "published")
_OTHER_WAY = Cited("a reading the other way, out for in, does not fit", "house figure")
_TOE_NOT = "It is no figure in feet per mile: those stand in a table for converting only."
_TOE_WHY = (
    "Toe out of line wears tires; ask what was hit, and look at bushings and tie rods before you pay for a setting."
)


def toe_fits(reading: Decimal, makers: Decimal) -> bool | None:
    """Whether toe is at most 1.5 times the maker's setting; both in one unit, toe-in above zero, toe-out below.

    A reading the other way does not fit. None where the maker's setting is zero: one and a half times it says nothing.
    """
    if makers == 0:
        return None
    if (reading < 0) != (makers < 0) and reading != 0:
        return False
    return abs(reading) * 2 <= abs(makers) * 3


def toe_fact(reading: Decimal, makers: Decimal) -> Fact:
    """Whether toe, in millimeters, fits the maker's setting; toe-in above zero, toe-out below."""
    fits = toe_fits(reading, makers)
    if fits is None:
        raise Unanswerable("the rule multiplies the maker's setting, and that is zero: use the maker's own tolerance")
    most = makers * _TOE
    other = not fits and abs(reading) <= abs(most)
    values: dict[str, Value | tuple[Value, ...]] = {
        "fits": fits,
        "limit_in": round(_EXACT.divide(most, MM_PER_INCH), 6),
    }
    why = "is the other way from" if other else "is within" if fits else "is more than"
    return Fact(
        f"{_toe(reading)} {why} the {_toe(most)} allowed, 1.5 times the maker's {_toe(makers)}.",
        values,
        (_TOE_RULE, *[_OTHER_WAY] * other),
        (_TOE_NOT, _TOE_WHY, _LAW, _NOT_ALL),
    )


def _toe(value: Decimal) -> str:
    return f"{_length(abs(value))} of toe-{'out' if value < 0 else 'in'}"


# ---- shared ----------------------------------------------------------------------------------------------------------


def _length(millimeters: Decimal) -> str:
    return f"{inches(_EXACT.divide(millimeters, MM_PER_INCH))} ({number(millimeters, 2)} mm)"


def _refuse_below_zero(*lengths: Decimal | None) -> None:
    if any(length is not None and length < 0 for length in lengths):
        raise Unanswerable("a length is not below zero: write it without its sign")

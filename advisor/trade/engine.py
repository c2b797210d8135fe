"""An engine's cylinders: compression by the published rules, the wet test, and leak-down.

In: readings of a gauge, in psi, and shares lost. Out: yes/no or a word for rules, a `Fact` for people. Makers differ,
and the same engine may pass by one rule and fail by another, so every answer names its rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Literal

from attrs import frozen

from advisor.trade.fact import Cited, Fact, Unanswerable, Value
from advisor.trade.figures import listed, number

__all__ = ["RULES", "Rule", "compression_fact", "compression_fits", "leak_down", "leak_down_fact"]


@frozen
class Rule:
    """A published rule for compression.

    A cylinder fits if it reads at least `share` of the highest, at least `floor` psi, and no more than `below` psi less
    than the highest.
    """

    told: str
    source: Cited
    share: Decimal = Decimal(0)
    floor: Decimal = Decimal(0)
    below: Decimal | None = None

    def least(self, highest: Decimal) -> Decimal:
        """What every cylinder has to read, in psi, beside this highest one."""
        return max(self.share * highest, self.floor, highest - self.below if self.below is not None else Decimal(0))


RULES = {
    "three_quarters": Rule(
        "the rule of three quarters (none below 75% of the highest)",
        Cited("several makers' service manuals, 1992 to 2012: 75% of the highest", "quoted"),
        share=Decimal("0.75"),
    ),
    "seventy_and_100_psi": Rule(
        "the rule of 70% (none below 70% of the highest or below 100 psi)",
        Cited("another maker's service manual: 70% of the highest, and 100 psi", "quoted"),
        share=Decimal("0.70"),
        floor=Decimal(100),
    ),
    "within_10_psi": Rule(
        "the rule of 10 psi (none more than 10 psi below the highest)",
        Cited("Army TM 10-3930-618-20, paragraph 2-12: no more than 10 pounds apart", "published"),
        below=Decimal(10),
    ),
}
"""By the name that rules use."""
_MOST_PSI = Decimal(500)
_TENTH = Decimal("0.1")
_WET = Cited(
    "the wet test, of the same manual as the rule of 70%: a marked rise points to rings, little to valves", "quoted"
)
_GASKET = "Cylinders {} and {} are both low without a rise: if they stand side by side, that points to the head gasket."
_MARKED, _SLIGHT = Decimal("1.10"), Decimal("1.05")
_RISE = Cited("a tenth as a marked rise, a twentieth as little", "house figure")

_MAKER = "The figure in the maker's own manual comes first; these rules are for when there is none at hand."
_EVEN = "Even readings can all be low: compare them with the maker's least figure."
_HOW = (
    "Engine warm, all plugs out, throttle wide open, battery charged, about four puffs on each cylinder, the same "
    "number for all."
)
_FIRE = (
    "Fuel and spark must be off: fuel that sprays and a spark in the open air start a fire. Keep hands and clothes off "
    "the belts and the fan."
)
_SELLER = "Not at a seller's without leave: taking plugs out can break them."


def compression_fits(readings: Sequence[Decimal], rule: str) -> bool | None:
    """Whether all cylinders fit by one of `RULES`; readings in psi. None for fewer than two: nothing to compare."""
    if len(readings) < 2:
        return None
    highest = max(readings)
    return highest > 0 and min(readings) >= RULES[rule].least(highest)


def compression_fact(
    readings: Sequence[Decimal], rule: str | None = None, wet: Sequence[Decimal] | None = None
) -> Fact:
    """What readings in psi say by one rule, or by each; `wet` are those with oil, in the same order.

    Raises `Unanswerable` for fewer than two readings, for what no gauge shows, for no rule of this name and for as many
    wet readings as do not match.
    """
    _refuse(readings, rule, wet)
    names = (rule,) if rule else tuple(RULES)
    low = _low(readings, rule or "three_quarters")
    sentence = f"{_compared(readings)} {_judged(readings, names)}"
    sources = [RULES[n].source for n in names]
    if wet:
        sentence += " " + _of_wet(readings, wet, low)
        sources += [_WET, _RISE]
    values: dict[str, Value | tuple[Value, ...]] = {n: compression_fits(readings, n) for n in names}
    return Fact(
        sentence,
        {
            **values,
            "lowest_psi": min(readings),
            "highest_psi": max(readings),
            "lowest_of_highest_percent": _percentage(readings),
            "low_cylinders": low,
            "readings_psi": tuple(readings),
            "wet_psi": tuple(wet or ()),
        },
        tuple(sources),
        (_MAKER, _EVEN, _HOW, _FIRE, _SELLER),
    )


def _refuse(readings: Sequence[Decimal], rule: str | None, wet: Sequence[Decimal] | None) -> None:
    if rule is not None and rule not in RULES:
        raise Unanswerable(f"the rules are {listed(list(RULES))}: name one of them, or none for all")
    if len(readings) < 2:
        raise Unanswerable("one reading tells nothing: give every cylinder, in order, as `150 148 152 110`")
    if not all(0 <= r <= _MOST_PSI for r in (*readings, *(wet or ()))):
        raise Unanswerable("a gauge shows 0 to 500 psi: give each cylinder by itself, with a blank between")
    if max(readings) == 0:
        raise Unanswerable("every cylinder reads 0: check the gauge and its hose, and read again")
    if wet and len(wet) != len(readings):
        raise Unanswerable(f"give {len(readings)} wet readings, one for each cylinder, in the same order")


def _percentage(readings: Sequence[Decimal]) -> Decimal:
    """The lowest as a percentage of the highest, to a tenth, and never rounded up to what a rule asks for."""
    share = min(readings) / max(readings) * 100
    shown = share.quantize(_TENTH, rounding=ROUND_HALF_EVEN)
    missed = any(share < rule.share * 100 <= shown for rule in RULES.values())
    return shown - _TENTH if missed or share < 100 <= shown else shown


def _low(readings: Sequence[Decimal], rule: str) -> tuple[int, ...]:
    """The cylinders below what the rule asks, counted from 1 as they were given."""
    least = RULES[rule].least(max(readings))
    return tuple(i for i, r in enumerate(readings, 1) if r < least)


def _compared(readings: Sequence[Decimal]) -> str:
    lowest, highest = min(readings), max(readings)
    if lowest == highest:
        return f"All {len(readings)} cylinders read {_psi(lowest)}."
    places = [str(i) for i, r in enumerate(readings, 1) if r == lowest]
    cylinders = f"cylinder{'' if len(places) == 1 else 's'} {listed(places)}"
    share = number(_percentage(readings), 1)
    return f"The lowest, {_psi(lowest)} ({cylinders}), is {share}% of the highest, {_psi(highest)}."


def _judged(readings: Sequence[Decimal], names: Sequence[str]) -> str:
    """What each rule says, and where they differ, that they do."""
    fits = [bool(compression_fits(readings, name)) for name in names]
    each = [f"{'passes' if ok else 'fails'} {RULES[name].told}" for name, ok in zip(names, fits, strict=True)]
    differ = " The rules differ: the maker's own figure decides." if len(set(fits)) > 1 else ""
    return f"It {listed(each)}.{differ}"


def _psi(value: Decimal) -> str:
    return f"{number(value, 1)} psi"


def _of_wet(readings: Sequence[Decimal], wet: Sequence[Decimal], low: tuple[int, ...]) -> str:
    """What oil in the cylinders tells about those that are low."""
    if not low:
        return "With oil: no cylinder is low, so the wet readings tell nothing."
    told, still = [], []
    for i in low:
        dry, oiled = readings[i - 1], wet[i - 1]
        rise = f"cylinder {i} goes from {number(dry, 1)} to {_psi(oiled)}"
        if oiled > dry and oiled >= _MARKED * dry:
            told.append(f"{rise}, a marked rise, which points to rings")
        elif oiled <= _SLIGHT * dry:
            told.append(f"{rise}, little or none, which points to valves")
            still.append(i)
        else:
            told.append(f"{rise}, which is not clear either way")
    beside = next((i for i in still if i + 1 in still), None)
    gasket = f" {_GASKET.format(beside, beside + 1)}" if beside else ""
    return f"With oil: {'; '.join(told)}.{gasket}"


# ---- leak-down ---------------------------------------------------------------------------------------------------

_GOOD_BELOW, _FAIR_TO = Decimal("0.10"), Decimal("0.25")
_BANDS = Cited("good under 10%, fair to 25%, bad above, and where the air comes out", "common practice")
_AIRCRAFT = Cited("FAA AC 43.13-1B, paragraph 8-14, for aircraft: below 60/80, a loss of 25%, take it apart", "quoted")
_ADVISORY = "The aircraft figure is advice even there, and one maker of aircraft engines accepts more."
_WHERE = (
    "Listen where the air goes: the intake or the tailpipe means a valve, the oil filler means rings, bubbles in the "
    "radiator mean the head gasket."
)
_SAME_GAUGE = (
    "Gauges differ: compare the cylinders on one gauge, engine warm, each piston at the top of its compression."
)
_TURNS = "The air can turn the engine with force: keep tools and hands off the crankshaft and the belts."


def leak_down(lost: Decimal) -> Literal["good", "fair", "bad"]:
    """What a cylinder's loss, a share of one, is called; common practice."""
    return "good" if lost < _GOOD_BELOW else "fair" if lost <= _FAIR_TO else "bad"


def leak_down_fact(lost: Sequence[Decimal]) -> Fact:
    """What the losses of one or more cylinders, shares of one, are called. Raises `Unanswerable` outside 0 to 1."""
    words = tuple(leak_down(share) for share in lost)
    if not words or not all(0 <= share <= 1 for share in lost):
        raise Unanswerable("give the share of air lost as a percentage from 0% to 100%, as `12%`")
    if len(lost) == 1:
        sentence = f"A loss of {_lost(lost[0])} is {words[0]}."
    else:
        each = [f"cylinder {i} loses {_lost(s)}, {w}" for i, (s, w) in enumerate(zip(lost, words, strict=True), 1)]
        sentence = f"The worst cylinder is {leak_down(max(lost))}: {'; '.join(each)}."
    return Fact(
        f"{sentence} Under 10% is called good, to 25% fair, above that bad.",
        {
            "verdict": leak_down(max(lost)),
            "verdicts": words,
            "lost_percent": tuple((s * 100).normalize() + 0 for s in lost),
        },
        (_BANDS, _AIRCRAFT),
        (_ADVISORY, _WHERE, _SAME_GAUGE, _TURNS),
    )


def _lost(share: Decimal) -> str:
    return f"{number(share * 100, 1)}%"

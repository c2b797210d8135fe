"""Curves: a setting tried over a range, and what is shown of each try.

In: a `Draft`, first with its settings, then with all its definitions. Out: first the ranges that are tried, so that
whatever is proved of the rules holds for every try; then the curves.
"""

from __future__ import annotations

from decimal import Decimal

from advisor.language import catalogue, nodes
from advisor.language.draft import Draft
from advisor.language.intervals import Interval
from advisor.language.program import CurveDef, SettingDef, ShowDef
from advisor.language.showing import shown_type
from advisor.language.types import BROKEN, Quantity
from advisor.language.units import DIMENSIONS

__all__ = ["curves", "tried"]

_MOST_STEPS = 200
"""A curve is a column of text, and at each step every quantity is computed anew."""
_TEMPERATURE = DIMENSIONS.index("temperature")


def tried(draft: Draft) -> None:
    """Read what each curve tries, and widen the ranges of the settings by it."""
    for at, block in enumerate(draft.linked.blocks):
        if not isinstance(block, nodes.Curve) or block.setting is None or block.ends is None:
            continue
        setting = _setting(draft, block.setting)
        found = _steps(draft, block.ends, setting) if setting else None
        if found is None or setting is None:
            continue
        draft.tried[at] = found
        range_ = draft.elab.ranges.names[setting.name]
        assert isinstance(range_, Interval)
        draft.elab.ranges.names[setting.name] = Interval(min(range_.low, found[0]), max(range_.high, found[1]))


def _setting(draft: Draft, name: nodes.Name) -> SettingDef | None:
    setting = draft.settings.get(name.text)
    if setting is None:
        if name.text in draft.scope.kinds and name.text not in draft.scope.broken:
            draft.say(catalogue.WRONG_KIND_OF_NAME, name.span, name=name.text, kind=draft.scope.kinds[name.text])
        elif name.text not in draft.scope.broken:
            draft.elab.miss(name.text, name.span, f"declare it: `setting {name.text} = ...`")
        return None
    type_ = setting.type
    if not isinstance(type_, Quantity) or type_.dims[_TEMPERATURE] or not isinstance(setting.value, Decimal):
        found = "an estimate" if isinstance(type_, Quantity) and not type_.dims[_TEMPERATURE] else str(type_)
        draft.say(catalogue.NOT_TRIED, name.span, name=name.text, found=found)
        return None
    return setting


def _steps(
    draft: Draft, ends: tuple[nodes.ValueText, nodes.ValueText, nodes.ValueText], setting: SettingDef
) -> tuple[Decimal, Decimal, Decimal] | None:
    """The lowest and highest value tried, and the step."""
    low, high, step = (draft.declare.value(e, setting.type, setting.name) for e in ends)
    if not (isinstance(low, Decimal) and isinstance(high, Decimal) and isinstance(step, Decimal)):
        for end, value in zip(ends, (low, high, step), strict=True):
            if value is not None and not isinstance(value, Decimal):
                draft.say(catalogue.NOT_TRIED, end.span, name=end.text, found="an estimate")
        return None
    if low >= high:
        draft.say(catalogue.RANGE_ORDER, ends[0].span.to(ends[1].span))
    elif step <= 0 or high - low > step * _MOST_STEPS:
        draft.say(catalogue.CURVE_STEPS, ends[2].span, text=ends[2].text, most=_MOST_STEPS)
    else:
        return low, high, step
    return None


def curves(draft: Draft) -> tuple[CurveDef, ...]:
    """Every curve of which all is said that has to be."""
    found = []
    for at, block in enumerate(draft.linked.blocks):
        if not isinstance(block, nodes.Curve):
            continue
        if block.setting is None or not block.shows:
            line = "an `over` line, such as `over list_at from 86% to 112% by 2%`"
            wanted = line if block.setting is None else "a `shows` line with the names of what it shows"
            draft.say(catalogue.EMPTY, block.span, what="curve", wanted=wanted)
            continue
        shows = [_shown(draft, name, text) for name, text in block.shows]
        most = _most(draft, block.most) if block.most else None
        if at in draft.tried and all(shows):
            sound = tuple(s for s in shows if s)
            found.append(CurveDef(block.title, block.setting.text, *draft.tried[at], sound, most, block.span))
    return tuple(found)


def _shown(draft: Draft, name: nodes.Name, text: str) -> ShowDef | None:
    """A column of the curve; without words of its own it has those of what it shows."""
    if shown_type(draft, name) is None:
        return None
    made = draft.lets.get(name.text) or draft.settings.get(name.text)
    own = made.text if made else ""
    return ShowDef(name.text, text or own or name.text.replace("_", " "), name.span)


def _most(draft: Draft, name: nodes.Name) -> str | None:
    type_ = shown_type(draft, name)
    if type_ is not None and type_ != BROKEN and not isinstance(type_, Quantity):
        draft.say(catalogue.NOT_A_NUMBER, name.span, text=name.text, found=type_)
        return None
    return name.text if type_ is not None else None

"""From declarations as written to definitions with types: settings, seasons and tables.

In: one block, and the elaborator for the expressions in it. Out: its definition for the `Program`; problems go to
the elaborator's list.
"""

from __future__ import annotations

from decimal import Decimal

from attrs import define, evolve

from advisor.language import catalogue, nodes
from advisor.language.elaborating import Elaborator
from advisor.language.problems import Kind, nearest
from advisor.language.program import SeasonDef, SettingDef, TableDef
from advisor.language.source import Span
from advisor.language.types import (
    DATE,
    MONTH_DAY,
    YES_NO,
    Choice,
    DateType,
    Estimate,
    Quantity,
    Type,
    Value,
    quantity,
)
from advisor.language.units import CURRENCIES
from advisor.language.values import (
    MONTHS,
    Unreadable,
    check_fits,
    outside,
    read_literal,
    read_month_day,
    read_value,
)
from advisor.language.wording import format_value

__all__ = ["CALENDAR", "LABOR", "Declarer"]

_SLIPS = (-2, -1, 2, 1, -3, 3)
"""By how many places a decimal point is lost, the likeliest first: 825% is mostly 8.25%."""

LABOR, CALENDAR = quantity(labor="h"), quantity(calendar="day")


@define
class Declarer:
    """Checks declarations one by one."""

    elab: Elaborator

    def _say(self, kind: Kind, span: Span, /, **words: object) -> None:
        self.elab.report(kind, span, **words)

    def value(self, node: nodes.ValueText, type_: Type, name: str) -> Value | None:
        """A written value of a known type, complaining if it is none."""
        try:
            found = read_value(node.text, type_, name)
            self._check_currency(node)
        except Unreadable as error:
            self._say(error.kind, node.span, **error.in_currency(self.elab.scope.currency).words)
            return None
        return found

    def _check_currency(self, node: nodes.ValueText) -> None:
        if self.elab.scope.mixed_money:
            return
        for sign in set(CURRENCIES.values()):
            if sign in node.text and sign != self.elab.scope.currency and not node.text.startswith('"'):
                raise Unreadable(catalogue.OTHER_CURRENCY, found=sign, wanted=self.elab.scope.currency)

    def free_value(self, node: nodes.ValueText) -> tuple[Type, Value] | None:
        """A written value whose type shows from its form."""
        text = node.text
        try:
            self._check_currency(node)
            if text in ("yes", "no"):
                return YES_NO, text == "yes"
            if text[:4].isdigit() and text[4:5] == "-":
                return DATE, read_value(text, DATE, "")
            if text[:3] in MONTHS:
                return MONTH_DAY, read_month_day(text)
            literal = read_literal(text.split("..")[0])
            return literal.type, read_value(text, literal.type, "this value")
        except Unreadable as error:
            self._say(error.kind, node.span, **error.words)
            return None

    # ---- settings, seasons, tables ----

    def setting(self, node: nodes.Setting) -> SettingDef | None:
        """A setting; its type shows from its value."""
        found = self.free_value(node.value)
        if found is None:
            return None
        made = SettingDef(node.name.text, *found, node.text, node.source, node.name.span)
        return self.believed(made, node.value, node.domain)

    def believed(
        self, made: SettingDef, value: nodes.ValueText, domain: tuple[nodes.ValueText, nodes.ValueText] | None
    ) -> SettingDef:
        """A setting with the range that it is given here, or had; complains about a value outside of it."""
        if domain is not None:
            made = self._ranged(made, *domain)
        if made.low is not None and made.high is not None and outside(made.value, made.low, made.high):
            low, high = (format_value(v, made.type, self.elab.scope.currency) for v in (made.low, made.high))
            guess = self._slipped(made)
            cure = f"did you mean `{guess}`? if not," if guess else "if you mean it,"
            cure += " write its range behind it, `from ... to ...`"
            self._say(
                catalogue.OUTSIDE_SETTING, value.span, text=value.text, name=made.name, low=low, high=high, cure=cure
            )
        return made

    def _ranged(self, made: SettingDef, low: nodes.ValueText, high: nodes.ValueText) -> SettingDef:
        span = low.span.to(high.span)
        if not isinstance(made.type, Quantity | DateType):
            self._say(catalogue.NO_RANGE_HERE, span, found=f"a setting that is {made.type}")
            return made
        lowest, highest = self.value(low, made.type, made.name), self.value(high, made.type, made.name)
        if lowest is None or highest is None:
            return made
        if isinstance(lowest, Estimate) or isinstance(highest, Estimate) or lowest > highest:  # type: ignore[operator]  # both are of one type
            self._say(catalogue.RANGE_ORDER, span)
            return made
        return evolve(made, low=lowest, high=highest)

    def _slipped(self, made: SettingDef) -> str:
        """The value that was meant where a point was lost, or set too early: the first that lies inside."""
        if not isinstance(made.value, Decimal) or made.value == 0:
            return ""
        for power in _SLIPS:
            meant = made.value.scaleb(power)
            if not outside(meant, made.low, made.high):
                return format_value(meant, made.type, self.elab.scope.currency)
        return ""

    def season(self, node: nodes.Season) -> SeasonDef | None:
        """A season."""
        windows = []
        for first, last in node.windows:
            for end in (first, last):
                try:
                    read_month_day(end.text)
                except Unreadable as error:
                    self._say(error.kind, end.span, **error.words)
                    return None
            windows.append((read_month_day(first.text), read_month_day(last.text)))
        if not windows:
            self._say(
                catalogue.EMPTY, node.name.span, what="season", wanted="an `open` line, such as `open Apr 1 .. Sep 30`"
            )
            return None
        return SeasonDef(node.name.text, tuple(windows), node.name.span)

    def table(self, node: nodes.Table, by: Type | None) -> TableDef | None:
        """A table by month (`by` is None) or by a choice."""
        keys = MONTHS if by is None else by.options if isinstance(by, Choice) else ()
        entries: dict[str, Decimal] = {}
        type_: Quantity | None = None
        for key, text in node.entries:
            if key.text not in keys:
                guess = nearest(key.text, keys)
                kind = catalogue.UNKNOWN_MONTH if by is None else catalogue.NOT_A_CHOICE
                cure = f"did you mean `{guess}`?" if guess else "it is one of " + ", ".join(f"`{k}`" for k in keys)
                self._say(kind, key.span, text=key.text, name=node.by.text, cure=cure)
                return None
            if key.text in entries:
                self._say(catalogue.SAID_TWICE, key.span, what=key.text)
                return None
            try:
                literal = read_literal(text.text)
                check_fits(literal, type_ or literal.type, node.name.text, text.text)
                self._check_currency(text)
            except Unreadable as error:
                self._say(error.kind, text.span, **error.words)
                return None
            type_ = type_ or literal.type
            entries[key.text] = literal.value
        missing = [k for k in keys if k not in entries]
        if missing or type_ is None:
            self._say(
                catalogue.TABLE_GAP, node.name.span, name=node.name.text, missing=", ".join(f"`{m}`" for m in missing)
            )
            return None
        name = None if by is None else node.by.text
        return TableDef(node.name.text, name, type_, tuple((k, entries[k]) for k in keys), node.name.span)

"""Conditions of the rules in plain words: on which cars a question is asked.

In: a core condition and its program; on paper also the number that each question has there. Out: words such as
`if the body is convertible (9)`. A name as the rules spell it is never shown: a question is told by what it asks, or
by its number, everything else by its text or its value. What has no better words is told as its rule writes it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from attrs import frozen

from advisor.language import core
from advisor.language.program import Program, Question
from advisor.language.types import DATE, YES_NO, Type, Value
from advisor.language.wording import format_value

__all__ = ["plain_words", "when_words"]

_NOUN = r"(?P<noun>(?:[\w'-]+ ){0,4}[\w'-]+)"
_SUBJECTS = (
    (re.compile(rf"(?:what|which) (?:kind|sort|type|make) of {_NOUN} (?:is|has) (?:it|this)\?", re.I), "is"),
    (re.compile(rf"(?:what|which) (?!is|are|does|do|has|have){_NOUN} is it\?", re.I), "is"),
    (re.compile(r"which (?P<noun>(?:[\w'-]+ )?[\w'-]+)\?", re.I), "is"),
    (re.compile(rf"(?:how|what|in what state) is the {_NOUN}\?", re.I), "is"),
    (re.compile(rf"(?:how|what|in what state) are the {_NOUN}\?", re.I), "are"),
    (re.compile(rf"state of the {_NOUN}\?", re.I), "is"),
    (re.compile(rf"what does the {_NOUN} say\?", re.I), "says"),
    (re.compile(rf"what does the {_NOUN} read\?", re.I), "reads"),
    (re.compile(rf"what does the {_NOUN} show\?", re.I), "shows"),
)
"""Questions that name what they are about, and the word between it and the answer."""
_TURNED = re.compile(
    r"(?P<verb>is|are|was|were|has|have|can|will) (?P<who>it|there|you|they) (?!two |both |and )(?P<rest>[^,;:?]+)",
    re.I,
)
_DONE = re.compile(r"do (?P<who>you|they|we) (?P<rest>[^,;:?]+)", re.I)
_SIMPLE = (core.Const, core.Ref, core.Special, core.Reduce)
_FLIPPED = {">=": "<", "<": ">=", "<=": ">", ">": "<=", "is": "is not"}
_MIRRORED = {">=": "<=", "<=": ">=", ">": "<", "<": ">", "is": "is"}
_BOUNDS = {
    ">=": "{} or more", "<=": "{} or less", ">": "more than {}", "<": "less than {}", "is": "{}", "is not": "not {}"
}  # fmt: skip
_DATES = _BOUNDS | {">=": "{} or later", "<=": "{} or earlier", ">": "after {}", "<": "before {}"}
_SPECIAL = {
    "unverified_majors": "the number of major questions without an answer",
    "cannot_tell": "the number of questions one could not tell",
    "refused_looks": "the number of questions one was not allowed to look at",
}


def when_words(program: Program, condition: core.Core, numbers: Mapping[str, int] | None = None) -> str:
    """`if` and a condition in words; `numbers` has the number of each question on the paper, if it has any."""
    return f"if {_Telling(program, numbers or {}).told(condition)}"


def plain_words(name: str) -> str:
    """A word of the rules as people write it: `two_or_more` is `two or more`."""
    return " ".join(name.replace("_", " ").split())


@frozen
class _Telling:
    program: Program
    numbers: Mapping[str, int]

    def told(self, node: core.Core, yes: bool = True, given: tuple[core.Core, ...] = ()) -> str:
        """That a condition holds, or does not; `given` is what holds beside it."""
        match node:
            case core.Not():
                return self.told(node.operand, not yes, given)
            case core.All() | core.Any():
                return self._joined(node, yes, given)
            case core.OneOf(operand=core.Ref(kind="question", name=name), options=options):
                said = self._answer(name, _either([self.program.said(plain_words(o)) for o in options], yes))
                return said + self._or_not_asked(name, node, yes, given)
            case core.Ref(kind="question", name=name):
                return self._yes_or_no(name, yes) + self._or_not_asked(name, node, yes, given)
            case core.Ref(kind="let", name=name) if not self.program.lets[name].text:
                return self.told(self.program.lets[name].value, yes, given)
            case core.Ref(kind="let", name=name):
                text = self.program.lets[name].text
                return text if yes else f"it is not so that {text}"
            case core.Ref(kind="fault", name=name):
                return f"{self._fault(name)} is {'' if yes else 'not '}found"
            case core.Compare():
                return self._compared(node, yes, given)
            case core.InSeason():
                return f"{self._operand(node.operand)} is {'' if yes else 'not '}in {plain_words(node.season)}"
        said = self._as_written(node)
        return said if yes else f"it is not so that {said}"

    def _joined(self, node: core.All | core.Any, yes: bool, given: tuple[core.Core, ...]) -> str:
        every = isinstance(node, core.All) == yes
        beside = (*given, *node.args) if every and yes else given
        word, other = ("and", "or") if every else ("or", "and")
        mixed = [self._joins(part, yes) == other for part in node.args]
        parts = [self.told(part, yes, beside) for part in node.args]
        if any(mixed):
            first = "either" if every else "both"
            return f", {word} ".join(f"{first} {p}" if m else p for p, m in zip(parts, mixed, strict=True))
        return f" {word} ".join(parts)

    def _joins(self, node: core.Core, yes: bool) -> str:
        """The word that joins the parts of a condition in words; empty if it is told as one."""
        match node:
            case core.Not():
                return self._joins(node.operand, not yes)
            case core.Ref(kind="let", name=name) if not self.program.lets[name].text:
                return self._joins(self.program.lets[name].value, yes)
            case core.All() | core.Any():
                return "and" if isinstance(node, core.All) == yes else "or"
        return ""

    # ---- questions ----

    def _answer(self, name: str, said: str) -> str:
        """That a question has an answer, told by what it is about, else by its number, else by its text."""
        question = self.program.questions[name]
        about = _about(question.text)
        if about:
            return f"{about} {said}{self._number(name)}"
        if name in self.numbers:
            return f"{said}{self._number(name)}"
        return f'the answer to "{question.text}" is {said}'

    def _yes_or_no(self, name: str, yes: bool) -> str:
        turned = _turned(self.program.questions[name].text, yes)
        if turned:
            return f"{turned}{self._number(name)}"
        return self._answer(name, "yes" if yes else "no")

    def _number(self, name: str) -> str:
        return f" ({self.numbers[name]})" if name in self.numbers else ""

    def _or_not_asked(self, name: str, node: core.Core, yes: bool, given: tuple[core.Core, ...]) -> str:
        """Where a question does not apply its `else` counts: say so if that meets the condition."""
        gate = self.program.gates.get(name)
        if gate is None or _holds(node, self.program.questions[name]) is not yes:
            return ""
        needed = gate.args if isinstance(gate, core.All) else (gate,)
        if all(part in given for part in needed):
            return ""
        return f", or {self.numbers.get(name, 'that question')} does not apply"

    # ---- comparisons ----

    def _compared(self, node: core.Compare, yes: bool, given: tuple[core.Core, ...]) -> str:
        left, right, op = node.left, node.right, str(node.op)
        if isinstance(left, core.TradeCall) and op == ">=" and isinstance(right, core.Const) and right.value == 0:
            return self._computable(left, yes)
        if not (isinstance(left, _SIMPLE) and isinstance(right, _SIMPLE)):
            said = self._as_written(node)
            return said if yes else f"it is not so that {said}"
        if isinstance(left, core.Const) and not isinstance(right, core.Const):
            left, right, op = right, left, _MIRRORED[op]
        op = op if yes else _FLIPPED[op]
        bound = (_DATES if left.type == DATE else _BOUNDS)[op].format(self._operand(right))
        if isinstance(left, core.Ref) and left.kind == "question":
            return self._answer(left.name, bound) + self._or_not_asked(left.name, node, yes, given)
        return f"{self._operand(left)} is {bound}"

    def _computable(self, call: core.TradeCall, yes: bool) -> str:
        """That a function of the trade has a result; it has none where it knows too little, and then no result is
        zero or more."""
        told = [self._operand(a) for a in call.args if not isinstance(a, core.Special)]
        several = len(told) > 1
        verb = ("tell" if several else "tells") if yes else ("do not tell" if several else "does not tell")
        return f"{' and '.join(told)} {verb} the {plain_words(call.name)}"

    def _operand(self, node: core.Core) -> str:
        match node:
            case core.Const():
                return self._value(node.value, node.type)
            case core.Ref(name=name):
                return self._named(name)
            case core.Special(name=name):
                return _SPECIAL.get(name, plain_words(name))
            case core.Reduce(how="count", operand=core.Ref(name=name)):
                return f"the number of readings in {self._named(name)}"
            case core.Reduce(how=how, operand=core.Ref(name=name)):
                return f"the {how} reading of {self._named(name)}"
        return self._as_written(node)

    def _named(self, name: str) -> str:
        """What a name stands for, in words."""
        program = self.program
        if name in program.questions:
            return f"the answer to {self.numbers.get(name) or chr(34) + program.questions[name].text + chr(34)}"
        if name in program.settings:
            return self._value(program.settings[name].value, program.settings[name].type)
        if name in program.lets and program.lets[name].text:
            return program.lets[name].text
        return self._fault(name) if name in program.faults else plain_words(name)

    def _fault(self, name: str) -> str:
        return f'"{self.program.faults[name].text or plain_words(name)}"'

    def _value(self, value: Value, type_: Type) -> str:
        text = plain_words(format_value(value, type_, self.program.currency))
        return self.program.said(text) if isinstance(value, str) else text

    def _as_written(self, node: core.Core) -> str:
        """The rule's own text, with names told in words."""
        text = self.program.as_written(node.span)
        return re.sub(r"[^\W\d]\w*", lambda found: self._named(found[0]), text)


def _about(text: str) -> str:
    """What a question is about, and the verb that its answer follows; empty where its text does not show it."""
    for pattern, verb in _SUBJECTS:
        found = pattern.fullmatch(text.strip())
        if found:
            return f"the {found['noun'].removeprefix('the ')} {verb}"
    return ""


def _turned(text: str, yes: bool) -> str:
    """A yes/no question as a statement, up to its first comma; empty where it begins otherwise."""
    if found := _TURNED.match(text):
        start, rest = f"{found['who']} {found['verb']}".lower(), found["rest"].strip()
        nothing = re.sub("^(a|an|any) ", "no ", rest) if found["who"].lower() == "there" else rest
        return f"{start} {rest if yes else nothing if nothing != rest else f'not {rest}'}"
    if found := _DONE.match(text):
        return f"{found['who'].lower()} {'' if yes else 'do not '}{found['rest'].strip()}"
    return ""


def _either(options: list[str], yes: bool) -> str:
    if len(options) == 1:
        return options[0] if yes else f"not {options[0]}"
    listed = f"{', '.join(options[:-1])} {'or' if yes else 'nor'} {options[-1]}"
    return listed if yes else f"neither {listed}"


def _holds(node: core.Core, question: Question) -> bool | None:
    """Whether a condition on a question holds for its `else` value; None where that is not plain to see."""
    value = question.otherwise
    match node:
        case core.OneOf(options=options):
            return value in options
        case core.Ref(type=type_) if type_ == YES_NO:
            return value is True
        case core.Compare(op=op, left=core.Ref(), right=core.Const(value=bound)):
            return _compares(op, value, bound)
        case core.Compare(op=op, left=core.Const(value=bound), right=core.Ref()):
            return _compares(_MIRRORED[op], value, bound)
    return None


def _compares(op: str, value: Value | None, bound: Value) -> bool | None:
    if not (isinstance(value, Decimal) and isinstance(bound, Decimal)) and not (
        isinstance(value, date) and isinstance(bound, date)
    ):
        return None
    less, same = value < bound, value == bound  # type: ignore[operator]  # both are decimals, or both dates
    return {">=": not less, "<=": less or same, ">": not less and not same, "<": less, "is": same}[op]

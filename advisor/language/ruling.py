"""Rules, the verdict ladder and the promises.

In: a `Draft` with its definitions. Out: its rules, each with the proof that it may stand where it does: a `require`
never gets easier as the offer rises, a deal-breaker does not look at the price.
"""

from __future__ import annotations

from typing import Literal

from advisor.language import catalogue, core, nodes
from advisor.language.core import Core
from advisor.language.coverage import clash
from advisor.language.draft import Draft
from advisor.language.naming import KINDS
from advisor.language.problems import nearest
from advisor.language.program import (
    VERDICTS,
    PromiseDef,
    Rule,
    RungDef,
)
from advisor.language.trends import Way
from advisor.language.types import (
    BROKEN,
)
from advisor.language.words import RESERVED

__all__ = ["ladder", "promises", "rules", "together"]


_NO_VERDICTS = RESERVED | {"unsettled"}
"""Words that mean something else: `unsettled` is what a case expects where there is no verdict."""


def rules(draft: Draft) -> None:
    draft.elab.ranges.counts = {
        "unverified_majors": sum(q.major for q in draft.questions.values()),
        "cannot_tell": len(draft.questions),
        "refused_looks": len(draft.questions),
    }
    for name in draft.lets:  # in order, so that no trend has to look further back than one definition
        draft.trends.known[name] = draft.trends.of(draft.scope.values[name])
    for name, block in draft.named.items():
        if isinstance(block, nodes.Refuse | nodes.Caution | nodes.Require):
            kind: Literal["refuse", "caution", "require"] = KINDS[type(block)]  # type: ignore[assignment]  # rules are of three kinds
            written = block.condition if isinstance(block, nodes.Require) else block.when
            if name in draft.scope.broken:
                continue
            condition = draft.elab.condition(written)
            clashes(draft, condition)
            if condition.type == BROKEN:
                continue
            if kind != "require":
                draft.no_price(condition, f"`{kind} {name}`")
            else:
                _harder(draft, name, condition, block.name)
            draft.rules[name] = Rule(
                kind,
                name,
                condition,
                block.because,
                block.lesson,
                block.source,
                block.name.span,
                safety=isinstance(block, nodes.Caution) and block.safety,
            )


def _harder(draft: Draft, name: str, condition: Core, at: nodes.Name) -> None:
    """Prove that the rule never gets easier as the offer rises."""
    trend = draft.trends.of(condition)
    if trend.way is Way.UP:
        draft.say(catalogue.GETS_EASIER, at.span, name=name)
    elif trend.way is Way.UNKNOWN:
        part = trend.culprit or condition
        draft.say(
            catalogue.NOT_PROVED_HARDER, at.span, name=name, part=part.span.text, notes=[(part.span, "this part")]
        )


def clashes(draft: Draft, condition: Core) -> None:
    for part in core.walk(condition):
        if isinstance(part, core.All):
            pair = clash(part.args, draft.elab.ranges, dict(draft.scope.types))
            if pair:
                first, second = pair
                draft.say(
                    catalogue.NEVER_HOLDS, second.span, first=first.span.text, second=second.span.text,
                    notes=[(first.span, "cannot hold beside this")],
                )  # fmt: skip


def together(draft: Draft) -> None:
    for block in draft.named.values():
        if isinstance(block, nodes.Fault):
            for name in block.together:
                if name.text in draft.faults or name.text in draft.scope.broken:
                    continue
                if name.text in draft.scope.kinds:
                    draft.say(
                        catalogue.WRONG_KIND_OF_NAME, name.span, name=name.text, kind=draft.scope.kinds[name.text]
                    )
                else:
                    draft.elab.miss(name.text, name.span)


def _verdict_word(draft: Draft, rung: nodes.Rung, rungs: tuple[nodes.Rung, ...]) -> None:
    """A verdict is one of the three about a price, or a word of the ruleset's own that says what to do."""
    word, own = rung.verdict.text, any(r.text for r in rungs)
    if own and (word in VERDICTS or not rung.text):
        draft.say(catalogue.MIXED_VERDICTS, rung.verdict.span, text=word)
    elif own and word in _NO_VERDICTS:
        draft.say(catalogue.RESERVED_WORD, rung.verdict.span, found=word)
    elif own and word in draft.named:
        notes = [(draft.named[word].span, "defined here first")]
        draft.say(catalogue.DEFINED_TWICE, rung.verdict.span, name=word, notes=notes)
    elif not own and word not in VERDICTS:
        guess = nearest(word, VERDICTS)
        cure = f"did you mean `{guess}`?" if guess else "verdicts are `buy`, `renegotiate` and `pass`"
        draft.say(catalogue.UNKNOWN_VERDICT, rung.verdict.span, text=word, cure=cure)


def ladder(draft: Draft) -> tuple[RungDef, ...]:
    if draft.ladder is None:
        return ()
    rungs = []
    for i, rung in enumerate(draft.ladder.rungs):
        _verdict_word(draft, rung, draft.ladder.rungs)
        condition = draft.elab.condition(rung.condition) if rung.condition else None
        if condition is None and i + 1 < len(draft.ladder.rungs):
            draft.say(catalogue.AFTER_OTHERWISE, draft.ladder.rungs[i + 1].span)
            break
        rungs.append(RungDef(rung.verdict.text, condition, rung.text, rung.span))
    if rungs and rungs[-1].condition is not None and len(rungs) == len(draft.ladder.rungs):
        draft.say(catalogue.NO_OTHERWISE, draft.ladder.rungs[-1].span, name="verdict", last="pass")
    return tuple(rungs)


def promises(draft: Draft) -> tuple[PromiseDef, ...]:
    made = []
    for block in draft.linked.blocks:
        if isinstance(block, nodes.Promise):
            if block.verdict.text not in VERDICTS:
                draft.say(
                    catalogue.UNKNOWN_VERDICT, block.verdict.span, text=block.verdict.text,
                    cure="verdicts are `buy`, `renegotiate` and `pass`",
                )  # fmt: skip
            condition = draft.elab.condition(block.condition)
            made.append(PromiseDef(block.word, block.verdict.text, condition, block.because, block.span))
            draft.elab.later.append(catalogue.PROMISE_LATER.at(block.span, word=block.word))
    return tuple(made)

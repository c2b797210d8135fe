"""What of the used files stays: `without` takes names out, `keep` takes out all but some and what those need.

In: a `Draft` on its way through the blocks, and such a block. Out: the draft without what goes. Where something is
kept, the used files' verdict, report and cases go too: they are about a whole.
"""

from __future__ import annotations

from attrs import evolve

from advisor.language import catalogue, nodes
from advisor.language.draft import Draft
from advisor.language.graph import Choices, choices, needs
from advisor.language.problems import nearest

__all__ = ["drop", "keep", "take_out"]

_OF_A_WHOLE = (nodes.Verdict, nodes.Comparables, nodes.Show, nodes.Section, nodes.Curve, nodes.Promise, nodes.Case)
"""What is said of a whole ruleset, and of a part of it no more."""


def keep(draft: Draft, block: nodes.Keep) -> None:
    """Take out of the used files whatever is not named and not needed by what is."""
    own = block.span.source
    used = {name: found for name, found in draft.named.items() if found.span.source != own}
    missing = [name for name in block.names if name.text not in used]
    for wanted in missing:
        _nothing_there(draft, wanted, "keep", "it stays anyway" if wanted.text in draft.named else "")
    if missing:
        return  # what the missing one needs is not known, so that nothing can be said to be needless
    kept = _needed(used, [n.text for n in block.names], choices(draft.named))
    for name, found in used.items():
        if name not in kept:
            take_out(draft, name)
        elif isinstance(found, nodes.Fault):
            draft.named[name] = evolve(found, together=tuple(n for n in found.together if n.text in kept))
    if draft.ladder and draft.ladder.span.source != own:
        draft.ladder = None
        draft.dropped.add("verdict")
    if draft.comparables and draft.comparables.span.source != own:
        draft.comparables = None
        draft.dropped.add("comparables")
        draft.taken_out["comparables"] = "comparables"
    draft.linked.blocks = [b for b in draft.linked.blocks if b.span.source == own or _stays(draft, b)]


def _needed(used: dict[str, nodes.Named], names: list[str], answers: Choices) -> set[str]:
    """The names, and whatever of the used files they need, and so on."""
    found: set[str] = set()
    while names:
        name = names.pop()
        if name in used and name not in found:
            found.add(name)
            names.extend(needs(used[name], answers))
    return found


def _stays(draft: Draft, block: nodes.Block) -> bool:
    """Whether a block of a used file still says something: nothing about a whole ruleset, nor about what is gone."""
    match block:
        case nodes.SetTo(name=name):
            return name.text not in draft.dropped
        case _ if isinstance(block, nodes.Named):
            return block.name is None or block.name.text not in draft.dropped
    return not isinstance(block, _OF_A_WHOLE)


def drop(draft: Draft, block: nodes.Without) -> None:
    """Take out of the used files what is named."""
    for name in block.names:
        single = {"verdict": draft.ladder, "comparables": draft.comparables}.get(name.text)
        found = single or draft.named.get(name.text)
        if found is None or found.span.source == name.span.source:
            replaced = found is not None and name.text in draft.dropped  # given a new meaning before this line
            if name.text not in draft.scope.broken and not replaced:
                _nothing_there(draft, name, "without", "take it out there" if found is not None else "")
        elif single is not None:
            draft.ladder = None if single is draft.ladder else draft.ladder
            draft.comparables = None if single is draft.comparables else draft.comparables
            draft.dropped.add(name.text)
            draft.taken_out[name.text] = name.text
        else:
            take_out(draft, name.text)


def take_out(draft: Draft, name: str) -> None:
    """Take a name out of the used files. What it was is remembered: a car recorded by them still answers it."""
    draft.dropped.add(name)
    draft.taken_out[name] = draft.scope.kinds[name]
    del draft.named[name]
    del draft.scope.kinds[name]


def _nothing_there(draft: Draft, name: nodes.Name, word: str, here: str) -> None:
    """Say that `without` or `keep` names nothing that a used file declares; `here` if this very file declares it."""
    if name.text in draft.linked.broken or draft.linked.incomplete:
        return
    guess = nearest(name.text, draft.named)
    cure = (
        "an earlier `keep` or `without` took it out already: name it there, or leave this line out"
        if name.text in draft.dropped
        else f"it is declared in this very file: {here}"
        if here
        else f"did you mean `{guess}`?"
        if guess
        else f"`{word}` {'takes out' if word == 'without' else 'names'} what a used file declares, after its `use`"
    )
    draft.problems.append(catalogue.NOTHING_TO_DROP.at(name.span, name=name.text, cure=cure))

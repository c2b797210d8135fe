"""How a ruleset says things: the texts of a program in the words of its `words` blocks.

In: the linked blocks and the checked program. Out: the program with every text for people reworded, and the words
themselves, for whoever shows more than the rules say; advice on entries that no text needs. Names, sources and what
somebody recorded of a car stay as they are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from attrs import evolve

from advisor.language import catalogue, nodes
from advisor.language.draft import Draft
from advisor.language.program import CurveDef, Program, Question, SectionDef, ShowDef, StationDef
from advisor.language.saying import Words, found_in, said
from advisor.language.types import Choice

__all__ = ["reworded"]

Say = Callable[[str], str]


def reworded(draft: Draft, program: Program) -> Program:
    """The program as its ruleset says it."""
    entries, own = _entries(draft)
    words: Words = tuple(entries.items())
    if not words:
        return program
    if not draft.linked.incomplete:
        _unneeded(draft, program, words, own)

    def say(text: str) -> str:
        return said(text, words)

    sections: dict[int, SectionDef] = {}
    return evolve(
        program,
        questions={n: _question(q, say) for n, q in program.questions.items()},
        settings={n: evolve(s, text=say(s.text)) for n, s in program.settings.items()},
        lets={n: evolve(d, text=say(d.text)) for n, d in program.lets.items()},
        faults={n: evolve(f, text=say(f.text)) for n, f in program.faults.items()},
        rules={n: evolve(r, because=say(r.because), lesson=say(r.lesson)) for n, r in program.rules.items()},
        stations=tuple(StationDef(say(s.title), tuple(map(say, s.dangers)), s.span) for s in program.stations),
        ladder=tuple(evolve(r, text=say(r.text)) for r in program.ladder),
        shows=tuple(_show(s, say, sections) for s in program.shows),
        promises=tuple(evolve(p, because=say(p.because)) for p in program.promises),
        curves=tuple(_curve(c, say, sections) for c in program.curves),
        words=words,
    )


def _entries(draft: Draft) -> tuple[dict[str, str], dict[str, nodes.Line]]:
    """What is said for each phrase; the file that is judged by has the last word. Also its own phrases."""
    found: dict[str, str] = {}
    own: dict[str, nodes.Line] = {}
    for block in draft.linked.blocks:
        if not isinstance(block, nodes.Words):
            continue
        if not block.entries:
            draft.say(catalogue.EMPTY, block.span, what="block", wanted='a line such as `hood = "bonnet"`')
        mine = block.span.source == draft.linked.main
        seen: dict[str, nodes.Line] = {}
        for phrase, other in block.entries:
            key = " ".join(phrase.text.split())
            if first := (own if mine else seen).get(key):
                draft.say(catalogue.SAID_TWICE, phrase.span, what=key, notes=[(first.span, "here first")])
                continue
            (own if mine else seen)[key] = phrase
            if not other.text.strip():
                draft.say(catalogue.EMPTY, other.span, what="text", wanted=f"what is said for `{key}`")
            elif mine or key not in own:
                found[key] = other.text
    return found, own


def _unneeded(draft: Draft, program: Program, words: Words, own: dict[str, nodes.Line]) -> None:
    """Advise on the entries of the main file that no text needs."""
    needed: set[str] = set()
    for text in _texts(program):
        needed |= found_in(text, words)
    for phrase, line in own.items():
        if phrase not in needed:
            draft.say(catalogue.IDLE_WORDS, line.span, phrase=phrase)


def _texts(program: Program) -> Iterator[str]:
    """Every text that is reworded, the words of choices included."""
    for question in program.questions.values():
        yield from (question.text, question.how, question.why, *(how for _, how in question.becomes))
        if isinstance(question.type, Choice):
            yield from (option.replace("_", " ") for option in question.type.options)
    for named in (program.settings, program.lets, program.faults):
        yield from (d.text for d in named.values())
    for rule in program.rules.values():
        yield from (rule.because, rule.lesson)
    for station in program.stations:
        yield from (station.title, *station.dangers)
    shows = (*program.shows, *(s for c in program.curves for s in c.shows))
    yield from (s.text for s in shows)
    yield from (s.section.title for s in shows if s.section)
    yield from (c.title for c in program.curves)
    yield from (r.text for r in program.ladder)
    yield from (p.because for p in program.promises)


def _question(question: Question, say: Say) -> Question:
    return evolve(
        question,
        text=say(question.text),
        how=say(question.how),
        why=say(question.why),
        becomes=tuple((value, say(how)) for value, how in question.becomes),
    )


def _show(show: ShowDef, say: Say, sections: dict[int, SectionDef]) -> ShowDef:
    """A line of the report; the lines of one section share it afterwards too."""
    section = show.section
    if section is not None:
        section = sections.setdefault(id(section), evolve(section, title=say(section.title)))
    return evolve(show, text=say(show.text), section=section)


def _curve(curve: CurveDef, say: Say, sections: dict[int, SectionDef]) -> CurveDef:
    return evolve(curve, title=say(curve.title), shows=tuple(_show(s, say, sections) for s in curve.shows))

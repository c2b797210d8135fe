"""Who is called what: gathering the named blocks of all files, and telling the names that nobody defined.

In: the linked blocks. Out: the names of a `Draft`, after `without` has taken out what it drops; at the end of
checking, each unknown name once.
"""

from __future__ import annotations

from typing import TypeVar

from attrs import define, evolve, field

from advisor.language import catalogue, nodes
from advisor.language.draft import Draft
from advisor.language.exchange import exchange
from advisor.language.functions import SPECIAL
from advisor.language.keeping import drop, keep, take_out
from advisor.language.problems import nearest
from advisor.language.program import VERDICTS, StationDef
from advisor.language.source import Span
from advisor.language.words import RESERVED

__all__ = ["collect", "unasked_names", "unknown_names"]

_MOST_GUESSES = 50
"""Names that are looked up among those they resemble; a file with more unknown ones has another trouble."""
KINDS = {
    nodes.Ask: "question", nodes.Setting: "setting", nodes.Let: "let", nodes.Fault: "fault", nodes.Season: "season",
    nodes.Table: "table", nodes.Refuse: "refuse", nodes.Caution: "caution", nodes.Require: "require", nodes.Car: "car",
}  # fmt: skip
"""What each named block is called."""


def collect(draft: Draft) -> None:
    """Gather named blocks; `without` and `set` change what used files declared."""
    draft.scope.everything_broken = draft.linked.incomplete
    exchange(draft)
    station: dict[str, int] = {}
    places = _Places(_replaced(draft))
    for at, block in enumerate(list(draft.linked.blocks)):
        match block:
            case nodes.Station():
                station[block.span.source.name] = _station(draft, block)
            case nodes.Without():
                drop(draft, block)
            case nodes.Keep():
                keep(draft, block)
            case nodes.Verdict():
                draft.ladder = _single(draft, "verdict", block, draft.ladder, places)
            case nodes.Comparables():
                draft.comparables = _single(draft, "comparables", block, draft.comparables, places)
            case _ if isinstance(block, nodes.Named):
                if block.name is None:
                    draft.problems.append(catalogue.CAR_NEEDS_NAME.at(block.span))
                    continue
                _define(draft, block, block.name, places)
                asked_at = station.get(block.span.source.name, -1) if isinstance(block, nodes.Ask) else -1
                places.note(draft, block, at, asked_at)
    draft.named = dict(sorted(draft.named.items(), key=lambda pair: places.of[pair[0]]))
    _together(draft)
    _empty_stations(draft)
    # What a sound block defines is sound, whatever else a spoiled block might have meant.
    draft.scope.broken.update(name for name in draft.linked.broken if name not in draft.named)


@define
class _Places:
    """Where definitions stand: what is given a new meaning takes the place of what it stands for."""

    replaced: dict[str, set[str]]
    """For each file the names that it drops by `without`."""
    of: dict[str, int] = field(factory=dict)

    def gives_way(self, name: str, this: Span, other: Span) -> bool:
        """Whether a definition goes because the file of another one of its name drops it."""
        return this.source != other.source and name in self.replaced.get(other.source.name, ())

    def note(self, draft: Draft, block: nodes.Named, at: int, station: int) -> None:
        """Note the place of a definition, in the file and on the walk. One that gives way has a place all the same."""
        assert block.name is not None
        name = block.name.text
        own = draft.named.get(name) is block
        stays = own and station >= 0  # its own file says where it is asked
        kept = draft.named.get(name)
        gone = kept is not None and self.gives_way(name, block.span, kept.span)
        if name not in self.of or stays or (gone and draft.station_of.get(name, -1) < 0):
            self.of[name] = at
        if isinstance(block, nodes.Ask) and (stays or draft.station_of.get(name, -1) < 0):
            draft.station_of[name] = station


def _replaced(draft: Draft) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for block in draft.linked.blocks:
        if isinstance(block, nodes.Without):
            found.setdefault(block.span.source.name, set()).update(n.text for n in block.names)
    return found


_Single = TypeVar("_Single", nodes.Verdict, nodes.Comparables)


def _single(draft: Draft, name: str, block: _Single, before: _Single | None, places: _Places) -> _Single:
    """A block of which a ruleset has one: the first, or the one whose file drops the other."""
    if before is None:
        return block
    if places.gives_way(name, before.span, block.span):
        draft.dropped.add(name)
        return block
    if places.gives_way(name, block.span, before.span):
        draft.dropped.add(name)
    else:
        _twice(draft, name, block.span, before.span)
    return before


def _station(draft: Draft, block: nodes.Station) -> int:
    """The place of a station. One that has the name of another goes on with it, and adds the dangers it has not."""
    dangers = tuple(d.text for d in block.dangers)
    for at, known in enumerate(draft.stations):
        if known.title == block.title:
            more = tuple(d for d in dangers if d not in known.dangers)
            draft.stations[at] = evolve(known, dangers=known.dangers + more)
            return at
    draft.stations.append(StationDef(block.title, dangers, block.span))
    return len(draft.stations) - 1


def _together(draft: Draft) -> None:
    """Put the questions of a station that is gone on with behind those it began with."""
    last: dict[int, str] = {}
    behind: dict[str, list[str]] = {}
    latest = -1
    for name in draft.named:
        at = draft.station_of.get(name, -1)
        if at < 0:
            continue
        if at in last and at != latest:
            behind.setdefault(last[at], []).append(name)
            continue
        last[at], latest = name, at
    moved = {n for names in behind.values() for n in names}
    order = [n for name in draft.named if name not in moved for n in (name, *behind.get(name, ()))]
    draft.named = {n: draft.named[n] for n in order}


def _empty_stations(draft: Draft) -> None:
    """Take out the stations of which every question was dropped."""
    asked = {at for name, at in draft.station_of.items() if name in draft.named}
    emptied = set(draft.station_of.values()) - asked
    places = [i for i in range(len(draft.stations)) if i not in emptied]
    draft.stations = [draft.stations[i] for i in places]
    draft.station_of = {n: places.index(at) for n, at in draft.station_of.items() if at in places}


def _define(draft: Draft, block: nodes.Named, name: nodes.Name, places: _Places) -> None:
    before = draft.named.get(name.text)
    if before is not None and places.gives_way(name.text, before.span, block.span):
        take_out(draft, name.text)
    elif before is not None and places.gives_way(name.text, block.span, before.span):
        draft.dropped.add(name.text)
        return
    if name.text in RESERVED or name.text in SPECIAL or name.text in VERDICTS:
        draft.problems.append(catalogue.RESERVED_WORD.at(name.span, found=name.text))
        draft.scope.broken.add(name.text)
    elif name.text in draft.named:
        first = draft.named[name.text].name
        assert first is not None
        _twice(draft, name.text, name.span, first.span)
    else:
        draft.named[name.text] = block
        draft.scope.kinds[name.text] = KINDS[type(block)]


def _twice(draft: Draft, name: str, span: Span, first: Span) -> None:
    draft.problems.append(catalogue.DEFINED_TWICE.at(span, name=name, notes=[(first, "defined here first")]))


def unknown_names(draft: Draft) -> None:
    """Each unknown name once, however often it is used."""
    if draft.scope.everything_broken:
        return
    known = [*draft.scope.types, *draft.scope.kinds, *SPECIAL]
    guesses = {name: nearest(name, known) if i < _MOST_GUESSES else None for i, name in enumerate(draft.elab.unknown)}
    # A block that lost its name defines one of these: most likely one that resembles no other name.
    excused = sorted(guesses, key=lambda name: guesses[name] is not None)[: draft.linked.nameless]
    for name, used in draft.elab.unknown.items():
        if name in excused:
            continue
        spans = list(dict.fromkeys(used))  # a car that others are like is read for each of them
        cure = (
            f"did you mean `{guess}`?"
            if (guess := guesses[name])
            else draft.elab.cures.get(name)
            or f"define it: `ask {name}: ...`, `setting {name} = ...` or `let {name} = ...`"
        )
        again = f", and is used {len(spans)} times" if len(spans) > 1 else ""
        draft.problems.append(catalogue.UNKNOWN_NAME.at(spans[0], name=name, again=again, cure=cure))


def unasked_names(draft: Draft) -> None:
    """Each name that a car answers and no rule asks, once; where rules use it too, it is an unknown name."""
    for i, (name, used) in enumerate(draft.unasked.items()):
        spans = list(dict.fromkeys(used))  # a car that others are like is read for each of them
        if name in draft.elab.unknown or (draft.linked.nameless and name not in draft.scope.kinds):
            for span in spans:
                draft.elab.miss(name, span)
            continue
        again = f", and it is answered {len(spans)} times" if len(spans) > 1 else ""
        guess = nearest(name, draft.questions) if i < _MOST_GUESSES else None
        cure = f"did you mean `{guess}`?" if guess else "answer only what the rules ask"
        if name in draft.scope.kinds:
            cure = f"it is a {draft.scope.kinds[name]}; answer only what the rules ask"
        draft.say(catalogue.NOT_ASKED, spans[0], name=name, again=again, cure=cure)

"""The report as rules ask for it: its lines, and the sections they stand in.

In: a `Draft` with its definitions. Out: the lines in the order of the files, each with its section.
"""

from __future__ import annotations

from advisor.language import catalogue, nodes
from advisor.language.draft import Draft
from advisor.language.functions import SPECIAL
from advisor.language.program import SectionDef, ShowDef
from advisor.language.types import BROKEN, DATE, MONEY, Type

__all__ = ["shows"]


def shows(draft: Draft) -> tuple[ShowDef, ...]:
    """Every `show` line, in the section that stands before it in the same file."""
    found = []
    sections: dict[str, SectionDef] = {}
    drawn: dict[str, tuple[str, Type]] = {}  # by file: the first line of a section that is drawn
    for block in draft.linked.blocks:
        file = block.span.source.name
        if isinstance(block, nodes.Section):
            sections[file] = _section(draft, block)
            drawn.pop(file, None)
        elif isinstance(block, nodes.Show) and shown_type(draft, block.name) is not None:
            section = sections.get(file)
            if section is not None and section.drawn:
                _drawn(draft, block.name, drawn, file)
            found.append(ShowDef(block.name.text, block.text, block.name.span, section))
    return tuple(found)


def shown_type(draft: Draft, name: nodes.Name) -> Type | None:
    """The type of what is shown under a name, complaining if nothing is."""
    if name.text in draft.scope.types or name.text in SPECIAL:
        return draft.scope.types.get(name.text) or SPECIAL[name.text]
    if name.text in draft.scope.kinds and name.text not in draft.scope.broken:
        draft.say(catalogue.WRONG_KIND_OF_NAME, name.span, name=name.text, kind=draft.scope.kinds[name.text])
    elif name.text not in draft.scope.broken:
        draft.elab.miss(name.text, name.span)
    return None


def _section(draft: Draft, node: nodes.Section) -> SectionDef:
    if node.leads and node.page_two:
        draft.say(catalogue.LEADS_AND_PAGE_TWO, node.page_two.span)
    return SectionDef(node.title, 2 if node.page_two else 1, node.leads, node.drawn, node.span)


def _drawn(draft: Draft, name: nodes.Name, drawn: dict[str, tuple[str, Type]], file: str) -> None:
    """Complain about a line that cannot be drawn, or not beside those before it."""
    type_ = shown_type(draft, name)
    if type_ is None or type_ == BROKEN:
        return
    if type_ not in (MONEY, DATE):
        draft.say(catalogue.NOT_DRAWN, name.span, name=name.text, found=type_, others="money or dates")
        return
    first, of = drawn.setdefault(file, (name.text, type_))
    if of != type_:
        others = "money" if of == MONEY else "dates"
        draft.say(catalogue.NOT_DRAWN, name.span, name=name.text, found=type_, others=f"{others}, as `{first}` is")

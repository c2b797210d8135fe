"""How a fact becomes a command of `advisor fact`: its example, its answer on the screen or as data, its messages.

In: a function that reads what somebody typed and gives a `Fact`. Out: a command. What cannot be read ends it with exit
code 2 and one message that says what to type.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, NoReturn

import click

from advisor.cli.printing import page_width, print_data

if TYPE_CHECKING:
    from advisor.trade.fact import Fact

__all__ = ["asked", "fact", "words"]

_LOOSE = {"ignore_unknown_options": True}
"""So that `-1/16` is a value; what looks like an option and is none is refused once the rest is known."""


class _Fact(click.Command):
    """One fact that can be asked for, with a command that asks it."""

    example = ""

    def parse_args(self, context: click.Context, args: list[str]) -> list[str]:
        left = super().parse_args(context, args)
        for argument in (p for p in self.params if isinstance(p, click.Argument)):
            given = context.params.get(argument.name or "") or ()
            for text in (given,) if isinstance(given, str) else given:
                if re.match("-+[A-Za-z]", text):
                    self._refuse(text.split("=")[0], context)
        return left

    def _refuse(self, name: str, context: click.Context) -> NoReturn:
        from advisor.language.problems import nearest

        known = [option for p in self.params if isinstance(p, click.Option) for option in p.opts]
        raise click.NoSuchOption(name, possibilities=[n for n in [nearest(name, known)] if n], ctx=context)


class _Facts(click.Group):
    """The facts; every message of a wrong use is safe for a terminal and ends with an example."""

    def parse_args(self, context: click.Context, args: list[str]) -> list[str]:
        with _clear_messages():
            return super().parse_args(context, args)

    def invoke(self, context: click.Context) -> Any:
        with _clear_messages():
            return super().invoke(context)


@contextmanager
def _clear_messages() -> Iterator[None]:
    """Wrong use is told without control characters, and with an example."""
    try:
        yield
    except click.UsageError as error:
        from advisor.report.clean import clean

        command = error.ctx.command if error.ctx else None
        cure = f"For example: {command.example}" if isinstance(command, _Fact) else "`advisor fact` alone lists them"
        told = error.format_message().rstrip(".")
        raise click.UsageError(clean(f"{told}{'' if told.endswith('?') else '.'} {cure}"), error.ctx) from None


@click.group(cls=_Facts, invoke_without_command=True)
@click.pass_context
def fact(context: click.Context) -> None:
    """Ask for one fact of the trade: a VIN, a battery, a tire's age. Alone, it lists them."""
    if context.invoked_subcommand:
        return
    from advisor.report.facts import listing_lines

    listed = [(c.help or "", c.example) for c in fact.commands.values() if isinstance(c, _Fact)]
    click.echo("\n".join(listing_lines(listed, page_width())))


def asked(name: str, example: str) -> Callable[[Callable[..., Fact]], click.Command]:
    """Make a function that gives a fact into a command of the group, which prints it."""

    def made(ask: Callable[..., Fact]) -> click.Command:
        def answer(as_json: bool, **given: Any) -> None:
            from advisor.cli.typed import Mistyped
            from advisor.report.facts import fact_data, fact_lines
            from advisor.trade.fact import Unanswerable

            try:
                found = ask(**given)
            except (Mistyped, Unanswerable) as error:
                raise click.UsageError(str(error), click.get_current_context()) from None
            if as_json:
                print_data(fact_data(found))
            else:
                click.echo("\n".join(fact_lines(found, page_width())))

        answer.__doc__ = ask.__doc__
        # click keeps parameters on the function until it makes a command of it.
        answer.__click_params__ = getattr(ask, "__click_params__", [])  # type: ignore[attr-defined]  # click's own
        shown = click.option("--json", "as_json", is_flag=True, help="Print data, not words.")(answer)
        command = fact.command(name, cls=_Fact, context_settings=_LOOSE)(shown)
        assert isinstance(command, _Fact)
        command.example = f"advisor fact {example}"
        return command

    return made


def words(name: str, required: bool = True) -> Callable[..., Any]:
    """An argument of one or more words, which need no quotes."""
    return click.argument("typed", nargs=-1, required=required, metavar=f"{name}...")

"""Which question some words mean.

In: a `Walk` and a name, a part of one, or words of a question's text. Out: the question. Raises `Mistake`.
"""

from __future__ import annotations

from advisor.language.problems import nearest
from advisor.language.program import Question
from advisor.walk.session import Walk
from advisor.walk.typed import Mistake, in_words

__all__ = ["question_named"]


def question_named(walk: Walk, words: str) -> Question:
    """The question that is meant by some words. Raises `Mistake`."""
    questions = walk.program.questions
    name = "_".join(words.lower().split())
    if name in questions:
        return questions[name]
    fits = [q for q in questions.values() if name in q.name] or [
        q for q in questions.values() if all(w in f"{in_words(q.name)} {q.text}".lower() for w in words.lower().split())
    ]
    if len(fits) == 1:
        return fits[0]
    if fits:
        some = ", ".join(f"{walk.number(q.name)} {in_words(q.name)}" for q in fits[:5])
        raise Mistake(f"`{words}` fits {len(fits)} questions: {some}{', ...' if len(fits) > 5 else ''}; say the number")
    guess = nearest(name, questions)
    hint = f"did you mean {in_words(guess)}?" if guess else "l lists this station, t the stations"
    raise Mistake(f"no question is called `{words}`; {hint}")

"""Judgments and problems as people read them: on a terminal, as lines, as JSON."""

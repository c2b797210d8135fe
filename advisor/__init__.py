"""Telltale Advisor: judges used cars for part-time buyers, by rules written in the language Telltale."""

__version__ = "0.1.0"

"""Telltale, from text to a checked program: every problem found on the way is a value, not an exception."""

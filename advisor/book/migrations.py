"""The steps from an empty file to the book as it is now. A step that was released is never changed: add another."""

from __future__ import annotations

__all__ = ["APPLICATION", "MIGRATIONS"]

APPLICATION = 0x54656C6C
"""`Tell`, in the file's header: what tells the book from another program's database."""

MIGRATIONS: tuple[tuple[str, ...], ...] = (
    (
        f"PRAGMA application_id = {APPLICATION}",
        "CREATE TABLE cars (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE COLLATE NOCASE) STRICT",
        "CREATE TABLE events (id INTEGER PRIMARY KEY AUTOINCREMENT, car INTEGER NOT NULL REFERENCES cars (id), "
        "kind TEXT NOT NULL, about TEXT NOT NULL, text TEXT NOT NULL, at TEXT NOT NULL) STRICT",
        "CREATE INDEX events_of_car ON events (car, id)",
        "CREATE TRIGGER events_stay BEFORE UPDATE ON events BEGIN SELECT raise(ABORT, 'events are only added'); END",
        "CREATE TRIGGER events_go_not BEFORE DELETE ON events BEGIN SELECT raise(ABORT, 'events are only added'); END",
    ),
)

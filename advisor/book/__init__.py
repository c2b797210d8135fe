"""The book: keeps what was inspected, judged, bought and sold."""

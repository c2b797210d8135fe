"""The report: sets out a judgment and its reasons for a person to read."""

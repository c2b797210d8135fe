"""Lets `python -m advisor` do what the installed command `advisor` does, so that a plain checkout is enough."""

import sys

from advisor.cli import main

if __name__ == "__main__":
    sys.exit(main())

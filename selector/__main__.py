"""`selector` and `python -m selector`."""

from __future__ import annotations

import sys


def main() -> None:
    """Run the command line and leave with its exit code."""
    try:
        from selector.cli.main import run

        sys.exit(run(sys.argv[1:]))
    except KeyboardInterrupt:  # while it still starts
        sys.exit(130)


if __name__ == "__main__":
    main()

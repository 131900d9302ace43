"""`selector` and `python -m selector`."""

from __future__ import annotations

import gc
import sys


def main() -> None:
    """Run the command line and leave with its exit code."""
    gc.set_threshold(50_000, 20, 50)  # what a start makes stays: a tenth of its time went into looking through it
    try:
        from selector.cli.main import run

        code = run(sys.argv[1:])
    except KeyboardInterrupt:  # while it still starts
        code = 130
    gc.freeze()  # nor is it looked through at the end
    sys.exit(code)


if __name__ == "__main__":
    main()

"""Prints the table of outside checks; a word names what its rows want.

`python -m tests.pure.outside` prints all rows, `python -m tests.pure.outside
REFERENCE_DATA` those that want station files. It ends with 1 where a row fails.
"""

import sys

from tests.pure.outside.whole import ALL, lines_of, wanting

chosen = wanting(sys.argv[1]) if len(sys.argv) > 1 else ALL
sys.stdout.write("\n".join(lines_of(chosen)) + "\n")
sys.exit(any(check.result() == "FAILS" for check in chosen))

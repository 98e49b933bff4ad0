"""`python -m gearsim` does what `gearsim` does."""

import sys

from gearsim.cli import main

if __name__ == "__main__":
    sys.exit(main())

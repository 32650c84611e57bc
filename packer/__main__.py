"""`python -m packer` does the same as `holdall`."""

import sys

from packer.cli import main

if __name__ == "__main__":
    sys.exit(main())

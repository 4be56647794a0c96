"""`python -m advisor` runs the command line."""

import sys

from advisor.cli import main

sys.exit(main())

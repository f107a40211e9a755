"""``python -m tunneltui``."""

import sys

from tunneltui.cli import main

sys.exit(main())

"""Write the pages of the rules: ``python -m diagnose.graph.rules docs/rules``."""

import sys
from pathlib import Path

from diagnose.graph.rules import write

write(Path(sys.argv[1]))

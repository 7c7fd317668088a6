"""``python -m diagnose`` is the command."""

from diagnose.cli import main

main()

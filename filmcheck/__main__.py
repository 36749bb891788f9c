"""Runs filmcheck as ``python -m filmcheck``."""

from filmcheck.cli.main import main

main()

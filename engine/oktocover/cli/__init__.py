"""The command line, one module a command."""

from oktocover.cli.main import main, run

__all__ = ["main", "run"]

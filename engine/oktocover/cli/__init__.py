"""The command line, one module a command."""

from oktocover.cli.main import main

__all__ = ["main"]

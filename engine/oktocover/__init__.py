"""An inspection pre-check: a building written down in YAML, checked against the rules of its place."""

__version__ = "0.1.0"

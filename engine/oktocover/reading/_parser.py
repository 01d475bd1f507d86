"""The YAML event parser under the reader: libyaml where it is there, else the one written in Python."""

from typing import Any, Protocol

import yaml


class EventParser(Protocol):
    """As much of a YAML parser as the reader uses."""

    def get_event(self) -> Any: ...


try:
    from yaml.cyaml import CSafeLoader as _Loader
except ImportError:  # a phone or a browser has no C library; the same answers, eight times slower
    from yaml import SafeLoader as _Loader  # type: ignore[assignment]


def new_parser(text: str) -> EventParser:
    """A parser at the start of `text`. Its marks count lines, columns and characters from 0."""
    return _Loader(text)


YamlError = yaml.MarkedYAMLError

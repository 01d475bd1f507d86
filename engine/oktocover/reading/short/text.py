"""A site written out in full, as text that reads back to the same findings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import yaml

if TYPE_CHECKING:
    from oktocover.reading.site_file import SiteFile


class _Dumper(yaml.SafeDumper):
    """Every value where it stands: what short forms share is written out, never referred to."""

    def ignore_aliases(self, data: Any) -> bool:
        return True


def expanded_text(read: SiteFile) -> str:
    """The long form of a site as YAML: every row, table, typical, statement and assumption written out, each fact
    that is not known by the tape with how it is known. It reads back to the same findings, their places apart.
    """
    return yaml.dump(
        _without_blanks(read.expanded),
        Dumper=_Dumper,
        sort_keys=False,
        allow_unicode=True,
        width=1_000_000,
        default_flow_style=None,
    )


def _without_blanks(value: Any) -> Any:
    """A blank is not recorded, and needs no line."""
    if isinstance(value, dict):
        return {key: _without_blanks(inner) for key, inner in value.items() if inner is not None}
    if isinstance(value, list):
        return [_without_blanks(inner) for inner in value if inner is not None]
    return value

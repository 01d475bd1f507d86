"""Where the package's own data stands: rulesets, schemas and examples, in a checkout or beside the installed code."""

from __future__ import annotations

from pathlib import Path


def data_dir(name: str) -> Path:
    """The folder `name` ("rulesets", "schemas", "examples") that belongs to this copy of the package.

    Raises FileNotFoundError when neither the installed package nor the checkout has it.
    """
    here = Path(__file__).resolve().parent
    for candidate in (here / name, here.parents[1] / name):
        if candidate.is_dir():
            return candidate
    raise FileNotFoundError(f"no {name}/ inside the package ({here}) or beside engine/ ({here.parents[1]})")

"""Pages for a browser: one file each, with nothing to fetch, every text of a site file escaped.

A page is a template of `templates/` under `base.html.j2`, which brings the colours, the type, what is printed how, and
the way past the head by keyboard. A policy in the head forbids the page to load anything, and to run any script but its
own, so that even a text that slipped through as markup could do nothing.
"""

from __future__ import annotations

import base64
import hashlib
from functools import cache
from importlib import resources
from typing import Any, Final

from oktocover.reports._plain import clean

BASE_CSS: Final = "base.css"
SIGN: Final = '<meta name="generator" content="oktocover">'
"""By this a file is known as one of ours, which may be written over."""


def render(template: str, css: tuple[str, ...] = (), script: str = "", **values: Any) -> str:
    """The page that a template of `templates/` gives, with a line end at its end.

    `css` names further style sheets beside `base.css`, `script` one script file; all of them are written into the page.
    `values` are what the template prints: texts are cleaned of control characters and escaped, whatever they hold.
    Needs jinja2 and markupsafe, which are imported here so that no other command waits for them.
    """
    from markupsafe import Markup

    code = _file(script) if script else ""
    page: str = (
        _environment()
        .get_template(template)
        .render(
            css=Markup("".join(_file(name) for name in (BASE_CSS, *css))),
            script=Markup(code),
            policy=_policy(code),
            **values,
        )
    )
    return page.rstrip("\n") + "\n"


def drawn(svg: str) -> Any:
    """A drawing of our own making, which a template prints as it is; its texts have been escaped where it was made."""
    from markupsafe import Markup

    return Markup(svg)


@cache
def _environment() -> Any:
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    def load(name: str) -> str:
        return _file(name)

    made = Environment(
        loader=FunctionLoader(load),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=_printed,
    )
    made.filters["kept"] = _kept
    return made


def _kept(line: str) -> Any:
    """A line to copy, with its indent, which has a meaning."""
    from markupsafe import Markup, escape

    indent = len(line) - len(line.lstrip(" "))
    return Markup(" " * indent) + escape(clean(line))


def _printed(value: Any) -> Any:
    """What a template prints of a value: a text as one clean line; markup of our own stays as it is."""
    return clean(value) if type(value) is str else "" if value is None else value


@cache
def _file(name: str) -> str:
    text = resources.files("oktocover.reports").joinpath("templates", name).read_text(encoding="utf-8")
    if name.endswith((".css", ".js")) and "</" in text:
        raise ValueError(f"{name}: '</' would end the element that it is written into")
    return text


def _policy(code: str) -> str:
    """What the page may do: its own styles, its own script, and nothing from anywhere else."""
    allowed = "'none'"
    if code:
        digest = base64.b64encode(hashlib.sha256(code.encode("utf-8")).digest()).decode("ascii")
        allowed = f"'sha256-{digest}'"
    return f"default-src 'none'; style-src 'unsafe-inline'; script-src {allowed}; img-src data:; base-uri 'none'; form-action 'none'"


__all__ = ["SIGN", "drawn", "render"]

"""Pictures of the pages made ready for the typesetter, which knows no variables and no media rules: black on white."""

from __future__ import annotations

import re

_PRINT = re.compile(r"@media print\{svg\{([^}]*)\}")
_STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)
_MEDIA = re.compile(r"@media[^{]*\{(?:[^{}]*\{[^}]*\})*[^{}]*\}")
_OTHER = re.compile(r"@page\{[^}]*\}|svg\{[^}]*\}")


def for_print(svg: str, face: str) -> str:
    """A picture with the values it has in print written where its variables stood.

    Parameters: svg, as one of the functions of `pictures` draws it; face, the type to set its words in.

    >>> for_print('<svg><style>svg{--ink:#333}@media print{svg{--ink:#000}}text{fill:var(--ink)}</style></svg>', "A")
    '<svg><style>text{fill:#000}</style></svg>'
    """
    found = _PRINT.search(svg)
    values = dict(re.findall(r"--([\w-]+):([^;]+)", found.group(1))) if found else {}
    style = _STYLE.search(svg)
    if style:
        rest = _OTHER.sub("", _MEDIA.sub("", style.group(1)))
        svg = svg.replace(style.group(1), rest.replace("system-ui,sans-serif", f"'{face}'"))
    return re.sub(r"var\(--([\w-]+)\)", lambda name: values.get(name.group(1), "#000"), svg)

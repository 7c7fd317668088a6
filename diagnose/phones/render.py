"""A page of a phone as HTML: the parts by the templates of the paper sheets, the rest by those of this room."""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from pathlib import Path

import msgspec
from jinja2 import ChoiceLoader, Environment, PackageLoader
from markupsafe import Markup

from diagnose.graph.model import Knowledge, Variant
from diagnose.pages import phone
from diagnose.pages.hazards import WHICH, urgent
from diagnose.paper.sheet import templates
from diagnose.phones.drawn import drawn

STATIC = Path(__file__).parent / "static"
SERVED = {"look.css": "text/css", "live.js": "text/javascript"}
"""The files that are served: no others, and none by a name that is asked for."""


@cache
def files() -> dict[str, bytes]:
    """Return what is served as it is, by its name."""
    return {name: (STATIC / name).read_bytes() for name in SERVED}


@cache
def environment() -> Environment:
    """Return the templates of phones, on those of paper."""
    own = PackageLoader("diagnose.phones")
    made = templates().overlay(loader=ChoiceLoader([own, PackageLoader("diagnose.paper")]), lstrip_blocks=True)
    made.globals = {
        **made.globals,
        "said": phone,
        "drawn": drawn,
        "version": _version(),
        "scrolls": Markup(' tabindex="0"'),
    }
    return made


def _version() -> str:
    return sha256(b"".join(files().values())).hexdigest()[:8]


class Emergency:
    """What to do when something goes wrong, as a part of every page: it opens without the network."""

    def __init__(self, knowledge: Knowledge) -> None:
        self._knowledge = knowledge
        self._made: dict[bytes, Markup] = {}

    def __call__(self, engine: Variant) -> Markup:
        """Return it for a kind of engine."""
        kind = msgspec.json.encode(engine)
        if kind not in self._made:
            found = urgent(self._knowledge, engine)
            names = {name: self._knowledge.cautions[name].name for name in found}
            text = (
                environment()
                .get_template("emergency.html")
                .render(found=found, names=names, which=WHICH.removeprefix("! "))
            )
            self._made[kind] = Markup(text)  # the template has escaped it
        return self._made[kind]


def page(name: str, **values: object) -> str:
    """Return a page of these values."""
    return environment().get_template(name).render(**values)

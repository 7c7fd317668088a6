"""The flow of what is only read: what to do now, the words, the cautions, and what stands behind a step."""

from __future__ import annotations

from typing import Any

from diagnose.graph.say import terms_in
from diagnose.graph.wording import capital
from diagnose.pages.beside import BESIDE, beside
from diagnose.pages.hazards import hazards_page
from diagnose.pages.route import ROUTE, in_words, route, taken
from diagnose.pages.step import picture
from diagnose.pages.what_if import HEADING, what_if_page
from diagnose.pages.why import why_page
from diagnose.screens.flow import Flow
from diagnose.screens.messages import PageDeed, PageWanted
from diagnose.screens.page import PageScreen
from diagnose.screens.to_read import ToRead
from diagnose.screens.words import Words
from diagnose.screens.wrong import Wrong


class ReadingFlow(Flow):
    """Opens pages to read; what the step on the page uses comes first."""

    def said(self, what: PageDeed, page: PageScreen[Any]) -> None:
        """Open the page, unless it is there."""
        step, walk, known = page.step, self.session.walk, self.session.knowledge
        match what:
            case PageWanted(_, "wrong") if not isinstance(page, Wrong):
                self.go.open(Wrong(self.at))
            case PageWanted(_, "words") if not isinstance(page, Words):
                self.go.open(Words(self.at, tuple(terms_in(step.text(), known.words)) if step else ()))
            case PageWanted(_, "cautions"):
                engine, first = walk.variant if walk is not None else None, step.cautions if step else ()
                self.go.open(ToRead(self.at, "Cautions", lambda: hazards_page(known, engine, first)))
            case PageWanted(_, "picture") if walk is not None and step is not None:
                shown = picture(step, known, walk.variant)
                self.go.open(ToRead(self.at, step.title.capitalize(), lambda: shown))
            case PageWanted(_, "beside") if walk is not None:
                view = walk.view(self.session.clock())
                locks = step is None or step.kind != "refer" or self.session.may_be_turned()
                self.go.open(ToRead(self.at, BESIDE, lambda: beside(view, step, locks=locks)))
            case PageWanted(_, "why") if walk is not None and step is not None:
                view = walk.view(self.session.clock())
                self.go.open(ToRead(self.at, f"Why: {step.title}", lambda: why_page(walk, view, step)))
            case PageWanted(_, "route") if walk is not None:
                drawn = route(known, walk.symptom, taken(walk))
                heading = f"{known.symptoms[walk.symptom].name}: {ROUTE}"
                self.go.open(ToRead(self.at, capital(heading), lambda: in_words(drawn)))
            case PageWanted(_, "what if") if walk is not None and step is not None:
                now = self.session.clock()
                self.go.open(ToRead(self.at, HEADING, lambda: what_if_page(walk, step, now)))

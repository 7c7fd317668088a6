"""The pages that only show something, and the keys that open them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.app import App
from textual.filter import ANSIToTruecolor, LineFilter

from diagnose.graph.say import terms_in
from diagnose.screens.bench import Bench
from diagnose.screens.theme import DAY, NIGHT

if TYPE_CHECKING:
    from rich.terminal_theme import TerminalTheme

    from diagnose.reason.view import Step
    from diagnose.workshop.session import Session


class Reading(App[int]):
    """An app with a session, whose keys open pages to read. Each page is imported when it is first opened."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.register_theme(DAY)
        self.register_theme(NIGHT)
        self.set_reactive(Reading.theme, DAY.name)  # a change that is watched would read the style sheet twice
        self.update_classes({"-dark-mode": False, "-light-mode": True}, update=False)
        self.stylesheet.set_variables(self.get_css_variables())
        self.session = session

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Leave out the filter for a terminal's own colours: the themes name none, and every drawn line passes it."""
        return [one for one in super().get_line_filters() if not isinstance(one, ANSIToTruecolor)]

    @property
    def ansi_theme(self) -> TerminalTheme:
        """The terminal's own colours, which no theme of ours names: looking for the theme's took a moment a line."""
        return self.ansi_theme_dark

    def step(self) -> Step | None:
        """Return the step at hand, once a walk was started."""
        return self.session.step() if self.session.walk is not None else None

    def action_wrong(self) -> None:
        """Show what to do now."""
        from diagnose.screens.wrong import Wrong

        if not isinstance(self.screen, Wrong):
            self.push_screen(Wrong())

    def action_words(self) -> None:
        """Show the words, those that the step at hand uses first."""
        from diagnose.screens.words import Words

        step = self.step() if isinstance(self.screen, Bench) else None
        if not isinstance(self.screen, Words):
            self.push_screen(Words(tuple(terms_in(step.text(), self.session.knowledge.words)) if step else ()))

    def action_cautions(self) -> None:
        """Show the cautions, those of the step at hand first."""
        from diagnose.pages.hazards import hazards_page
        from diagnose.screens.to_read import ToRead

        step = self.step() if isinstance(self.screen, Bench) else None
        engine = self.session.walk.variant if self.session.walk is not None else None
        first = step.cautions if step else ()
        self.push_screen(ToRead("Cautions", lambda: hazards_page(self.session.knowledge, engine, first)))

    def action_light(self) -> None:
        """Change between the day's and the evening's theme."""
        self.theme = NIGHT.name if self.theme == DAY.name else DAY.name

    def action_why(self) -> None:
        """Show the numbers behind the step at hand."""
        from diagnose.pages.why import why_page
        from diagnose.screens.to_read import ToRead

        walk, step = self.session.walk, self.step()
        if walk is not None and step is not None:
            view = walk.view(self.session.clock())
            self.push_screen(ToRead(f"Why: {step.title}", lambda: why_page(walk, view, step)))

    def action_what_if(self) -> None:
        """Show what would follow each answer; nothing is answered there."""
        from diagnose.pages.what_if import what_if_page
        from diagnose.screens.to_read import ToRead

        walk, step = self.session.walk, self.step()
        if walk is not None and step is not None:
            now = self.session.clock()
            self.push_screen(ToRead("What if I answered ...", lambda: what_if_page(walk, step, now)))

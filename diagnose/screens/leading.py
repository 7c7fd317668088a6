"""The flow of first-day mode, and of who can't go on with a step: what is in the way is asked, and leads on."""

from __future__ import annotations

from typing import Any

from diagnose.graph.model import CLOSE, Variant
from diagnose.pages import coming_back as back
from diagnose.pages import first_day as page
from diagnose.pages import rather as other
from diagnose.pages import stuck
from diagnose.pages.parts import Paragraph, choices
from diagnose.pages.step import LINES, RECIPES
from diagnose.pages.take_back import BY_HAND
from diagnose.reason import events as ev
from diagnose.reason.decide import SOMEBODY_ELSE
from diagnose.reason.easier import easier
from diagnose.reason.rather import rather
from diagnose.reason.steps import LOST, NOT_NOW
from diagnose.reason.view import Step
from diagnose.screens.asked import Asked
from diagnose.screens.bench import Bench
from diagnose.screens.first_day import FirstDay
from diagnose.screens.flow import Flow
from diagnose.screens.history import History
from diagnose.screens.messages import PageDeed, PageWanted, Picked, WalkHappened
from diagnose.screens.page import NARROW, PageScreen
from diagnose.screens.to_read import ToRead
from diagnose.workshop.newcomer import lead, tell_in_lines


class Leading(Flow):
    """Leads one thing at a time."""

    def said(self, what: PageDeed, page: PageScreen[Any]) -> None:
        """Do what follows."""
        match what:
            case PageWanted(_, "front"):
                self._front()
            case PageWanted(_, "first day"):
                self._switch(not self.at.first_day, page)
            case PageWanted(_, "density"):
                self._swap_density()
            case PageWanted(_, "offer"):
                self._offer()
            case PageWanted(_, "unclear"):
                self._explain()
            case PageWanted(_, "back"):
                self._back()
            case PageWanted(_, "stuck"):
                self._stuck()
            case PageWanted(_, "person"):
                self._person()
            case PageWanted(_, "needs"):
                self._needs()
            case PageWanted(_, "rather"):
                self._rather()
            case PageWanted(_, "coming back"):
                self._come_back()
            case PageWanted(_, "found"):
                if self.session.walk is not None and (told := back.found_before(self.session.walk)):
                    self._note(told)
            case PageWanted(_, "led on") if self.session.walk is not None:
                self._note(other.led_on(self.session.walk))
                if self.at.first_day:
                    self.go.say(PageWanted("walk", "turn"))

    def _front(self) -> None:
        """Ask what it does; where the knowledge has no door, home asks it."""
        offered = page.front(self.session.knowledge)
        if not offered:
            return

        def chosen(answer: str) -> None:
            if answer == page.WHOLE:
                self._switch(False, self.go.page)
            elif answer != page.OTHER:
                self._keep(True)
                self.go.say(Picked(answer))

        told = page.front_page(Variant() if self.at.engine is None else None)
        self.go.open(Asked(self.at, page.HEADING, told, choices(offered)), chosen)

    def _keep(self, on: bool) -> None:
        """Choose the mode, until something else is chosen."""
        self.at.first_day = on
        self.attempt(lambda: lead(self.session, on), lambda: None)

    def _switch(self, on: bool, shown: PageScreen[Any]) -> None:
        """Change the mode in the middle: the walk beneath stays as it is."""
        self._keep(on)
        if isinstance(shown, (Bench, FirstDay, History)):
            self.go.say(PageWanted("walk", "turn"))
        elif shown.stays and on:
            self._front()
        elif not on and isinstance(shown, Asked) and shown.heading == page.HEADING:
            self.go.clear()
        else:
            shown.show()
        self.go.tell(page.ON if on else page.OFF)

    def _swap_density(self) -> None:
        """Say each step in a line, or with its recipe."""
        self.at.lines = not self.at.lines
        self.attempt(lambda: tell_in_lines(self.session, self.at.lines), lambda: None)
        self.go.say(PageWanted("walk", "turn"))
        if self.go.size.width > NARROW:  # on a small screen it would lie over the answers, and the change is in sight
            self.go.tell(LINES if self.at.lines else RECIPES)

    def _note(self, text: str) -> None:
        """Say what followed from an answer: on the next page, or beside the bench."""
        if self.at.first_day:
            self.at.note = text
        else:
            self.go.tell(text)

    def _offer(self) -> None:
        """Offer first-day mode to who has only just got it."""

        def chosen(answer: str) -> None:
            if answer == page.LEAD:
                self._switch(True, self.go.page)

        self.go.open(Asked(self.at, page.HEADING, page.OFFER, choices(page.OFFERED)), chosen)

    def _explain(self) -> None:
        walk, step = self.session.walk, self.go.page.step
        if walk is not None and step is not None:
            self.go.open(ToRead(self.at, step.title, lambda: page.unclear_page(walk, step)))

    def _stuck(self) -> None:
        """Ask which kind of can't it is, and lead on."""
        walk, step = self.session.walk, self.go.page.step
        if walk is None or step is None or step.kind == "refer":
            return
        remembered = step.id in walk.scope.checks and walk.scope.checks[step.id].remembered
        if remembered and step.kind in ("ask", "recheck"):
            self._note(stuck.UNKNOWN)
            self._untold(step)  # who does not know it can't look it up
            return

        def chosen(which: str) -> None:
            match which:
                case stuck.UNREACHED:
                    self._untold(step)
                case stuck.UNCLEAR:
                    self._explain()
                case stuck.UNSURE:
                    self._nearest(step)
                case stuck.LACKING | stuck.LATER:
                    self._needs()

        self.go.open(
            Asked(self.at, stuck.HEADING, (Paragraph(step.ask, "strong"),), choices(stuck.which(step))), chosen
        )

    def _untold(self, step: Step, answer: str = ev.CANT_TELL) -> None:
        """Note that it can't be told; an easier look comes next, where there is one."""
        walk = self.session.walk
        assert walk is not None
        self.go.say(WalkHappened(walk.choose(step, answer, self.session.clock())))
        walk = self.session.walk
        assert walk is not None
        if walk.state.lost >= LOST or step.id not in walk.state.unanswered or not (look := easier(walk, step.id)):
            return
        if self.session.may_open(look):
            self.session.ask(look)
            self._note(stuck.easier(look, self.session.knowledge))
            self.go.say(PageWanted("walk", "turn"))

    def _nearest(self, step: Step) -> None:
        """Take what it looked like most as half an answer."""
        walk = self.session.walk
        assert walk is not None
        seen = [one for one in step.choices if one.id in walk.scope.checks[step.id].answers]

        def chosen(answer: str) -> None:
            if answer == stuck.NONE:
                self._untold(step)
            else:
                self.go.say(WalkHappened(walk.choose(step, answer, self.session.clock(), False)))

        told = (Paragraph(step.ask, "strong"), Paragraph(stuck.HALF))
        self.go.open(Asked(self.at, stuck.ASKED_MOST, told, [*seen, *choices([stuck.NEAREST])]), chosen)

    def _needs(self) -> None:
        """List what the step needs: the walk waits for it, or goes on without it."""
        walk, step = self.session.walk, self.go.page.step
        if walk is None or step is None:
            return

        def chosen(answer: str) -> None:
            if answer == stuck.PARK:
                self._park(step)
            elif answer == stuck.ON_WITHOUT:
                self._without(step)

        page = Asked(self.at, stuck.PARKED, stuck.needs_page(step), choices(stuck.AFTER_NEEDS))
        self.go.open(page, chosen)

    def _park(self, step: Step) -> None:
        """Leave the walk at this step, and go home."""
        event = ev.Parked(self.session.clock(), step.id, stuck.needs(step))
        self.attempt(lambda: self.session.record(event), self.go.clear)

    def _without(self, step: Step) -> None:
        """Go on without a step that can't be done now."""
        walk = self.session.walk
        assert walk is not None
        offered = {one.id for one in step.choices}
        put_off = next((one for one in (ev.NO_TOOL, NOT_NOW, "won't run") if one in offered), "")
        if put_off == ev.NO_TOOL:
            self._untold(step, put_off)
        elif put_off:
            self.go.say(WalkHappened(walk.choose(step, put_off, self.session.clock())))

    def _come_back(self) -> None:
        """Say where it was left, and ask whether the car is still so."""
        walk = self.session.walk
        if walk is None or walk.verdict() is not None or not walk.state.steps:
            return
        view, step = walk.view(self.session.clock()), self.session.step()

        def chosen(answer: str) -> None:
            if answer == back.CLOSED:
                self.go.say(WalkHappened(ev.Prepared(self.session.clock(), CLOSE, "ready")))

        told = back.coming_back_page(walk, view, step)
        self.go.open(Asked(self.at, back.HEADING, told, choices(back.answers(view))), chosen)

    def _rather(self) -> None:
        """Offer the symptoms that the answer fits better."""
        walk = self.session.walk
        if walk is None:
            return
        names = rather(walk.scope, walk.state, walk.symptom, just_now=True)

        def chosen(answer: str) -> None:
            if answer != other.STAY:
                self.go.say(WalkHappened(ev.Redirected(self.session.clock(), answer)))

        offered = choices(other.answers(self.session.knowledge, names))
        self.go.open(Asked(self.at, other.HEADING, other.rather_page(walk), offered), chosen)

    def _person(self) -> None:
        """Name a person after three looks that could not be told."""
        walk, step = self.session.walk, self.session.step()
        if walk is None or step is None:
            return

        def chosen(answer: str) -> None:
            if answer == stuck.END:
                self.go.say(WalkHappened(ev.HandedOver(self.session.clock(), SOMEBODY_ELSE)))
            elif answer == stuck.PARK:
                self._park(step)

        view = walk.view(self.session.clock())
        self.go.open(Asked(self.at, stuck.SOMEBODY, stuck.person_page(view), choices(stuck.PERSON)), chosen)

    def _back(self) -> None:
        """Take the newest answer back; say why where that can't be done."""
        walk = self.session.walk
        taken = walk.take_back(self.session.clock()) if walk is not None else None
        if taken is not None:
            self.go.say(WalkHappened(taken))
        elif walk is not None and walk.state.steps:
            self.go.page.show()
            self.go.tell(BY_HAND)
        else:
            self.go.clear()

"""What a plain walk does besides its question: it records, and answers the letters that ask for more."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.commands import common
from diagnose.commands.plain_keys import by_number
from diagnose.commands.plain_led import SWITCH, PlainLed, leads_on
from diagnose.commands.printed import show
from diagnose.commands.prompt import Left, drop_typed_ahead, typed_line
from diagnose.commands.trouble import which_is_wrong
from diagnose.errors import DiagnoseError
from diagnose.graph.wording import capital
from diagnose.pages import rather, seen, unsaved
from diagnose.pages.first_day import OFF, ON
from diagnose.pages.hazards import hazards_page
from diagnose.pages.history import MAY_SKIP
from diagnose.pages.parts import choices
from diagnose.pages.step import LINES, RECIPES
from diagnose.pages.take_back import NOTHING
from diagnose.pages.time import time_page
from diagnose.pages.what_if import what_if_page
from diagnose.pages.why import why_page
from diagnose.pages.words import step_words
from diagnose.reason import events as ev
from diagnose.reason.explain import ALSO, compared, others
from diagnose.reason.view import Choice, Step, View
from diagnose.reason.walk import Walk
from diagnose.record.journal import Conflict, JournalError
from diagnose.record.manner import first_day, lines
from diagnose.tune.quantity import read
from diagnose.workshop.newcomer import lead, tell_in_lines
from diagnose.workshop.session import Away, Session

ASIDES = "u take back, a what you saw, t 8 for eight minutes to go, f9 one by one, ! something is wrong, q leave"
ASIDE_KEYS = ("q", "u", "t", "!", "f9")
"""What does the same wherever words may be typed as well."""


class PlainAsides:
    """The walk at hand, and what can be typed beside an answer."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.led: PlainLed | None = PlainLed() if first_day(session.journal) else None
        """Tells one thing at a time; None when everything is told at once."""
        self.lines = lines(session.journal)

    @property
    def walk(self) -> Walk:
        """The walk as far as it has come."""
        assert self.session.walk is not None
        return self.session.walk

    @property
    def view(self) -> View:
        """The same, as it is shown now."""
        return self.walk.view(self.session.clock())

    def other(self, typed: str, step: Step | None) -> bool:
        """Do what a letter asks for; True when the question must be asked afresh. Raises `Left`."""
        match typed.lower().split():
            case ["q"]:
                raise Left
            case ["w"] if step is not None:
                show(why_page(self.walk, self.view, step))
            case ["i"] if step is not None:
                show(what_if_page(self.walk, step, self.session.clock()))
            case ["?"] if step is not None:
                show(step_words(self.walk.knowledge, step, "diagnose list words", self.walk.variant))
            case ["c"] if step is not None:
                show(hazards_page(self.walk.knowledge, self.walk.variant, step.cautions))
            case ["w" | "i" | "?" | "c"]:
                common.say(MAY_SKIP)
            case ["a", *_]:
                return self._another(typed.split()[1:])
            case ["note", _, *_]:
                return self._take(f"{seen.NOTE}{' '.join(typed.split()[1:])}")
            case ["t", *minutes]:
                return self._time(minutes)
            case ["!"]:
                which_is_wrong(self.walk.knowledge, self.walk.variant)
            case ["u"]:
                return self._take_back()
            case ["v"]:
                self.lines = not self.lines
                tell_in_lines(self.session, self.lines)
                common.say(LINES if self.lines else RECIPES)
                return True
            case [typed_key] if typed_key == SWITCH:
                self.led = None if self.led is not None else PlainLed()
                lead(self.session, self.led is not None)
                common.say(ON if self.led is not None else OFF)
                return True
            case _:
                common.say(f"'{typed[:40]}' is none of these.")
        return False

    def _take_back(self) -> bool:
        if self.session.asked:
            self.session.asked, self.session.before = "", False
            return True
        if (taken := self.walk.take_back(self.session.clock())) is not None:
            return self.record(taken)
        common.say(NOTHING)
        return False

    def _another(self, words: Sequence[str]) -> bool:
        """List what else can be answered, or what words find, and take one; True when there is something new to ask."""
        keys = self._found(" ".join(words)) if words else by_number(others(self.walk))
        common.say(seen.BY_WORDS)
        while (typed := typed_line()) != "":
            if (choice := keys.get(typed)) is not None:
                return self._take(choice.id)
            match typed.split():
                case ["note", *said] if said:
                    return self._take(f"{seen.NOTE}{' '.join(said)}")
                case [one] if one.lower() in ASIDE_KEYS:
                    self.other(one, None)
                case _:
                    keys = self._found(typed)
        return True

    def _found(self, typed: str) -> dict[str, Choice]:
        """Print what words find, to choose from."""
        from diagnose.graph.seek import seeker  # with what compares words, wanted here alone

        find = seeker(self.walk.knowledge, "looks").find
        page = seen.found(self.walk, typed, lambda words: [one.id for one in find(words, most=40)])
        return by_number(choices(page))

    def _take(self, chosen: str) -> bool:
        """Take what was chosen of what can be said unasked."""
        if chosen.startswith(ALSO):
            return self.record(ev.Told(self.session.clock(), ev.ALSO, chosen.removeprefix(ALSO)))
        if chosen.startswith(seen.NOTE):
            noted = self.record(ev.Noted(self.session.clock(), chosen.removeprefix(seen.NOTE)))
            common.say(seen.NOTED)
            return noted
        self.session.saw(chosen)
        return True

    def _time(self, typed: Sequence[str]) -> bool:
        """Set the minutes to go, or take them away with ``t no``; True when the list has to be planned anew."""
        now = self.session.clock()
        if typed == ["no"]:
            return self.record(ev.Deadline(now))
        if typed:
            try:
                minutes = read(" ".join(typed), "min")
            except DiagnoseError as error:
                common.say(str(error))
                return False
            if not self.record(ev.Deadline(now, minutes)):
                return False
        page = time_page(self.walk.view(now), now)
        show((*page.told, *page.looks, *page.word))
        return bool(typed)

    def record(self, event: ev.Event) -> bool:
        """Save an event; True when the walk has moved on."""
        before = self.walk.symptom
        try:
            self.session.record(event)
            self._lead_on(event, before)
            if isinstance(event, ev.Measured) and (beside := compared(self.walk, event)):
                common.say(f"{capital(beside)}.")
        except (Conflict, Away) as told:
            common.say(str(told))
            return True
        except JournalError as error:
            if not agrees_not_to_save(error):
                raise
            self.session.save_nowhere()
            self.session.record(event)
        except DiagnoseError as error:
            common.say(str(error))
            return False
        return True

    def _lead_on(self, event: ev.Event, before: str) -> None:
        """Say what follows right after an answer; go on with another symptom where it is one."""
        if not (names := leads_on(self.walk, self.view, event, before)):
            return
        keys = by_number(choices(rather.answers(self.walk.knowledge, names)))
        common.say("Type a number, or Enter to go on here.")
        drop_typed_ahead()
        while (typed := typed_line()) not in ("", *keys):
            self.other(typed, None)
        if typed and keys[typed].id != rather.STAY:
            self.session.record(ev.Redirected(self.session.clock(), keys[typed].id))


def agrees_not_to_save(error: JournalError) -> bool:
    """Say what went wrong, and whether the person goes on without saving."""
    show(unsaved.trouble(str(error)))
    for key, answer in zip("1q", unsaved.ANSWERS, strict=True):
        common.say(f"{key}  {answer.text}")
    drop_typed_ahead()
    try:
        return typed_line() == "1"
    except Left:
        return False

"""``diagnose practice start --plain``: a practice as numbered lines, for screen readers and pipes."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

from diagnose.commands import common
from diagnose.commands.printed import show
from diagnose.commands.prompt import Left, drop_typed_ahead, typed_line
from diagnose.commands.trouble import which_is_wrong
from diagnose.errors import DiagnoseError
from diagnose.graph.model import Knowledge
from diagnose.graph.wording import capital
from diagnose.pages import class_table, way
from diagnose.pages import debrief as after
from diagnose.pages import practice as pages
from diagnose.pages.home import GO_ON
from diagnose.pages.unsaved import left_practice
from diagnose.practice import happenings as hp
from diagnose.practice import offers, worked
from diagnose.practice import way as learner_way
from diagnose.practice.debrief import debrief
from diagnose.practice.feedback import screws
from diagnose.practice.lesson import Practice
from diagnose.practice.new_case import new_case
from diagnose.practice.way import NextEngine
from diagnose.record.journal import Journal
from diagnose.workshop import classes, learners
from diagnose.workshop.classes import PracticeClass
from diagnose.workshop.progress import next_for

BACK = "0"
KEYS = "l what you did so far, ! something is wrong, q leave"


def practise(known: Knowledge, begun: hp.Begun, nickname: str, journal: Journal | None) -> None:
    """Practise on stdin and stdout until it is cured or given up; what this learner has left is offered first.

    Raises `DiagnoseError`.
    """
    plain = _Plain(known, worked.begin(known, begun), nickname, journal)
    try:
        plain.offer()
        plain.to_the_end()
    except Left:
        show(left_practice(nickname, ended=bool(plain.practice.ended)))


def practise_seat(known: Knowledge, of: PracticeClass, nickname: str, journal: Journal) -> None:
    """Let one of a class work at its engine, from where this nickname has come to. Raises `DiagnoseError`."""
    practice = classes.sit(journal, known, of, nickname, time.time())
    if practice.ended:
        raise DiagnoseError(f"{nickname} has had a turn; the debrief: diagnose practice debrief '{nickname}'")
    plain = _Plain(known, practice, nickname, journal)
    plain.kept = len(practice.events)
    try:
        plain.to_the_end()
    except Left:
        show(left_practice(nickname, ended=bool(plain.practice.ended)))


def go_the_way(known: Knowledge, made: NextEngine, seed: str, nickname: str, journal: Journal) -> None:
    """Let a learner work at the engine that comes next, behind a worked example where one is due."""
    shown = learner_way.example(known, made, seed) if made.example else None
    if shown is not None:
        common.say()
        show(after.worked_example(shown))
        common.say()
    plain = _Plain(known, learner_way.begin(known, made, seed), nickname, journal)
    try:
        plain.offer()
        plain.to_the_end()
    except Left:
        show(left_practice(nickname, ended=bool(plain.practice.ended)))


class _Plain:
    def __init__(self, known: Knowledge, practice: Practice, nickname: str, journal: Journal | None) -> None:
        self.known, self.practice = known, practice
        self.nickname, self.journal = nickname, journal
        self.kept = 0

    def offer(self) -> None:
        """Offer what was left unfinished, the newest first; raises `Left`."""
        if self.journal is not None:
            found = learners.unfinished(self.journal, self.nickname, self.known)
            if found.told:
                common.say(found.told)
            if found.left:
                common.say(pages.unfinished_by(self.nickname))
                show(pages.unfinished(0))
                goes_on = [f"{GO_ON}{pages.left_at(self.known, one)}" for one in found.left]
                chosen = self._pick([*goes_on, pages.BEGIN_NEW], back=False)
                if chosen is not None and chosen < len(found.left):
                    self.practice = learners.resumed(self.known, found.left[chosen])
                    self.kept = len(self.practice.events)
        self._keep()

    def to_the_end(self) -> None:
        """Ask until it ends; raises `Left`."""
        kept = self.known.lessons.get(self.practice.begun.lesson)
        if kept is not None:
            common.say(f"Lesson: {kept.name}")
        common.say(self.practice.variant.says())
        show(pages.bench(self.practice))
        while not self.practice.ended:
            self._turn()
        found = debrief(self.practice)
        if self.journal is not None:  # before the questions: who leaves at them has the result all the same
            learners.keep_result(self.journal, self.nickname, self.practice, found, time.time())
        self._reflect()
        common.say()
        show(after.own_way(self.practice, found))
        if kept is not None and not self.practice.reply:
            self._question()
        self._rule()
        self._new_case()
        common.say()
        show(after.at_last(self.practice, found, self._next()))
        if self.journal is not None:
            common.say(f"Kept for {self.nickname}: diagnose practice results")

    def _turn(self) -> None:
        """Ask what is done, and do it."""
        does: dict[str, Callable[[], hp.PracticeEvent | None]] = {
            "look": self._look,
            "mend": self._mend,
            "turn": self._screw,
            "run": hp.Ran,
            "laps": lambda: hp.Ran(laps=True),
            "try": hp.Tried,
            "back": hp.SetBack,
            "hint": self._hint,
            "stop": hp.GaveUp,
        }
        common.say(f"\n{pages.what_to_do(self.practice)} {KEYS}")
        offered = pages.to_do(self.known)
        chosen = self._pick([one.text for one in offered], back=False)
        event = does[offered[chosen].id]() if chosen is not None else None
        if event is not None:
            self._do(event)

    def _do(self, event: hp.PracticeEvent) -> None:
        try:
            self.practice = self.practice.plus(event)
        except DiagnoseError as error:
            common.say(f"{error}.")
            return
        self._keep()
        show(pages.came_of(self.practice.lines[-1]))
        if self.practice.begun.group and isinstance(event, hp.Looked):
            self._explain()

    def _explain(self) -> None:
        """Ask what the look tells."""
        common.say(class_table.WHAT_TELLS)
        offered = class_table.explanations(self.practice)
        chosen = self._pick([one.say for one in offered])
        if chosen is not None:
            self._note(hp.MadeOfIt(offered[chosen].id))

    def _note(self, event: hp.PracticeEvent) -> None:
        """Keep what was said: nothing comes of it."""
        self.practice = self.practice.plus(event)
        self._keep()

    def _reflect(self) -> None:
        """Let the learner speak first."""
        if len(after.to_skip(self.practice)) == 1 or self.practice.said(hp.Reflected) is not None:
            return
        named = []
        for asked, offered in ((after.BEST, after.best_looks), (after.SKIP, after.to_skip)):
            choices = offered(self.practice)
            if len(choices) == 1:  # nothing to choose from
                named.append(0)
                continue
            common.say(f"\n{asked}")
            chosen = self._pick([one.say for one in choices], back=False)
            named.append(int(choices[chosen or 0].id))
        self._note(hp.Reflected(*named))

    def _next(self) -> str:
        if self.journal is None:
            return ""
        made = next_for(self.journal, self.known, self.nickname, self.practice.begun.seed)
        return way.next_line(self.known, made)

    def _rule(self) -> None:
        """Ask for one rule in own words; an empty line leaves it out."""
        if self.practice.said(hp.Ruled) is not None:
            return
        common.say(f"\n{after.RULE_TOLD}")
        drop_typed_ahead()
        typed = typed_line()
        if typed:
            try:
                self._note(hp.Ruled(typed))
            except DiagnoseError as error:
                common.say(f"{error}.")

    def _new_case(self) -> None:
        """Ask what is wrong in a case that nobody has worked at."""
        case = new_case(self.practice) if self.practice.said(hp.NamedInCase) is None else None
        if case is None:
            return
        common.say(f"\n{after.NEW_CASE}")
        show(after.new_case(case))
        choices = after.case_choices(case)
        chosen = self._pick([one.say for one in choices])
        if chosen is not None:
            named = hp.NamedInCase(choices[chosen].id, case.right)
            self._note(named)
            show(after.case_named(self.known, named))

    def _keep(self) -> None:
        if self.journal is not None and self.kept < len(self.practice.events):
            keep = classes.keep_seat if self.practice.begun.group and self.kept else learners.keep
            keep(self.journal, self.nickname, self.practice, self.kept, time.time())
            self.kept = len(self.practice.events)

    def _look(self) -> hp.PracticeEvent | None:
        scope = self.practice.scope
        area = self._of(list(looks := offers.looks(scope)))
        if area is None:
            return None
        names = looks[area]
        chosen = self._pick([pages.look_name(self.practice, n) for n in names])
        if chosen is None:
            return None
        name = names[chosen]
        show(pages.look(self.practice, name))
        common.say(f"{capital(pages.EXPECT)} {BACK} leaves it open.")
        answers = pages.expected(self.practice, name)
        answer = self._pick([one.say for one in answers])
        return hp.Looked(name, "" if answer is None else answers[answer].id)

    def _mend(self) -> hp.PracticeEvent | None:
        scope = self.practice.scope
        mends = offers.mends(scope)
        area = self._of(list(mends))
        if area is None:
            return None
        names = [pages.mend_name(self.practice, n) for n in mends[area]]
        chosen = self._pick(names)
        if chosen is None:
            return None
        show(pages.beware(self.practice, mends[area][chosen]))
        return hp.MendedPart(mends[area][chosen])

    def _screw(self) -> hp.PracticeEvent | None:
        every = screws(self.practice.variant)
        screw = self._pick(list(every))
        if screw is None:
            return None
        turns = offers.turns(every[screw])
        chosen = self._pick([said for said, _ in turns])
        return None if chosen is None else turns[chosen][1]

    def _hint(self) -> hp.PracticeEvent | None:
        guesses = pages.guesses(self.practice)
        common.say(pages.WHERE_FIRST)
        guess = self._pick([one.say for one in guesses])
        common.say(pages.WHICH_HINT)
        chosen = self._pick([one.say for one in pages.hints()])
        if chosen is None:
            return None
        return hp.Hinted(chosen + 1, "" if guess is None else guesses[guess].id)

    def _question(self) -> None:
        found = self.known.lessons[self.practice.begun.lesson]
        common.say()
        show(after.lesson(self.known, found))
        choices = after.replies(self.practice)
        chosen = self._pick([one.say for one in choices])
        if chosen is None:
            return
        show(after.replied(self.known, found, choices[chosen].id))
        self._note(hp.Replied(choices[chosen].id))

    def _of(self, said: Sequence[str]) -> str | None:
        chosen = self._pick(said)
        return None if chosen is None else said[chosen]

    def _pick(self, said: Sequence[str], *, back: bool = True) -> int | None:
        """Ask for one of a numbered list; None for none of them. Raises `Left`."""
        for number, one in enumerate(said, 1):
            common.say(f"{number}  {one}")
        if back:
            common.say(f"{BACK}  none of these")
        drop_typed_ahead()
        while True:
            typed = typed_line()
            if typed.isascii() and typed.isdecimal() and 1 <= int(typed) <= len(said):
                return int(typed) - 1
            if typed == BACK and back:
                return None
            if typed == "q":
                raise Left
            if typed == "!":
                which_is_wrong(self.known, self.practice.variant)
            elif typed == "l":
                show(pages.so_far(self.practice))
            else:
                common.say(f"Type a number from 1 to {len(said)}. {KEYS}")

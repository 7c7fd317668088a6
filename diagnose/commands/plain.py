"""``diagnose walk --plain``: the walk as numbered lines, one question at a time, for screen readers and pipes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from diagnose.commands import asides, common
from diagnose.commands.printed import show
from diagnose.commands.prompt import Left, drop_typed_ahead, typed_line
from diagnose.errors import DiagnoseError
from diagnose.graph.model import Question
from diagnose.graph.say import say
from diagnose.pages.step import step_page
from diagnose.reason import events as ev
from diagnose.reason.events import STEPPED
from diagnose.reason.explain import ALSO, compared, others
from diagnose.reason.hand_over import groups, please
from diagnose.reason.view import Choice, Step, View
from diagnose.reason.walk import Walk
from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.session import OWED_AGAIN, Away, Session, reading_unit
from diagnose.tune.quantity import read
from diagnose.tune.typed import on_the_bench

RESERVED = {ev.CANT_TELL: "0", ev.NO_TOOL: "9"}
ASIDES = "u take back, a answer another, t 8 for eight minutes to go, ! something is wrong, q leave"
KEYS = f"w why, i what if, ? words, {ASIDES}"
LETTERS = "bcdefghjklmnoprsvxyz"
"""What answers where a number is asked for: there each number is what was read. Those of `KEYS` are left out."""
NUMBER = ("=", "-", ".", ",")
"""What a reading can begin with besides a figure."""
SINCE: dict[ev.Incident, str] = {
    "started": "it was started",
    "refuelled": "it was refuelled",
    "opened": "something was opened",
    "crashed": "it crashed",
}
"""What may have happened since the answers that still count, each including the ones before it."""


def walk_plain(symptom: str, engine: str | None, *, resume: bool = False) -> None:
    """Walk on stdin and stdout until a verdict, or until the person leaves. Raises `DiagnoseError`."""
    known = common.knowledge()
    try:
        journal = _journal()
        with journal:
            session = Session(known, journal)
            if resume:
                _resume(session, symptom)
            else:
                session.start(symptom, session.engine(engine) if engine else None)
            _Plain(session).to_the_end()
            session.journal.close()
    except Left:
        pass


def _journal() -> Journal:
    """Open the journal; when it can't be used, go on without saving if the person agrees."""
    try:
        return common.journal()
    except JournalError as error:
        if not _agrees_not_to_save(error):
            raise
        return Journal.in_memory()


def _agrees_not_to_save(error: JournalError) -> bool:
    common.say(str(error))
    common.say("1  go on without saving")
    common.say("q  leave")
    drop_typed_ahead()
    try:
        return typed_line() == "1"
    except Left:
        return False


def _resume(session: Session, symptom: str) -> None:
    for outing in session.open_outings():
        if symptom in (outing.walk.started.symptom, outing.walk.symptom):
            session.resume(outing.id)
            common.say(f"going on with the walk of {outing.id}")
            if session.new_day:
                common.say(OWED_AGAIN)
            return
    raise DiagnoseError(f"there is no open walk about '{symptom}' to go on with")


class _Plain:
    """One plain walk: asks, reads, records."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.told_cautions: set[str] = set()
        self.asked = ""
        """A check that the person chose to answer out of turn."""

    @property
    def walk(self) -> Walk:
        assert self.session.walk is not None
        return self.session.walk

    def to_the_end(self) -> None:
        """Ask until there is a verdict; raises `Left`."""
        view = self.walk.view(self.session.clock())
        self._greet(view)
        try:
            while view.verdict is None:
                untold = self._untold()
                if self._left_alone(view):
                    self._since()
                elif untold is not None and not self.asked:
                    self._question(*untold)
                else:
                    step = self.walk.ask(self.asked) if self.asked else view.step
                    assert step is not None
                    self._step(view, step)
                view = self.walk.view(self.session.clock())
        except Left:
            saved = "everything is saved" if self.session.journal.saved else "nothing was saved, as you agreed"
            again = f"; go on with: diagnose walk {view.symptom} --plain --resume"
            common.say(f"You left; {saved}{again if self.session.journal.saved else ''}")
            raise
        self._verdict(view)

    def _greet(self, view: View) -> None:
        symptom = self.walk.knowledge.symptoms[view.symptom]
        common.say(f"{view.symptom_name} · {view.engine}")
        common.say(self._filled(symptom.does))
        if symptom.runs_away:
            common.say("Is it running now? Stop it first. Type ! for how.")
        self._cautions(symptom.cautions)

    def _left_alone(self, view: View) -> bool:
        step = self.walk.ask(self.asked) if self.asked else view.step
        return self.walk.left_alone(self.session.clock(), step.minutes if step is not None else 0.0)

    def _since(self) -> None:
        """Ask whether something has made the answers that still count stale."""
        count = sum(self.walk.state.healthy(self.walk.scope, check) for check in self.walk.state.answers)
        still = (
            "1 answer of earlier today still counts" if count == 1 else f"{count} answers of earlier today still count"
        )
        common.say(f"{still}, unless since then")
        for number, said in enumerate(SINCE.values(), 1):
            common.say(f"{number}  {said}")
        common.say("Type a number, or Enter if none of this happened.")
        drop_typed_ahead()
        while (typed := typed_line()) != "":
            if typed.isdecimal() and 1 <= int(typed) <= len(SINCE):
                what = list(SINCE)[int(typed) - 1]
                self._record(ev.Happened(self.session.clock(), what))
                return
            self._other(typed, None)
        self._record(ev.Happened(self.session.clock(), "nothing"))

    def _untold(self) -> tuple[str, Question] | None:
        """Return a history question, until the first step is made."""
        if any(isinstance(event, STEPPED) for event in self.walk.events):
            return None
        return next(iter(self.walk.history()), None)

    def _question(self, name: str, question: Question) -> None:
        common.say()
        common.say(self._filled(question.ask))
        choices = [Choice(key, self._filled(answer.say)) for key, answer in question.answers.items()]
        keys = _numbered(choices)
        common.say(f"Type a number, or Enter to skip. {ASIDES}")
        drop_typed_ahead()
        while True:
            typed = typed_line()
            if typed == "" or typed in keys:
                self._record(ev.Told(self.session.clock(), name, keys[typed].id if typed else ev.SKIPPED))
                return
            if self._other(typed, None):
                return

    def _step(self, view: View, step: Step) -> None:
        common.say()
        page = step_page(view, step, self.walk.knowledge, self.walk.variant)
        self._cautions(name for name in step.cautions if name not in self.told_cautions)
        show(page.asked)
        show(page.text)
        unit = reading_unit(step)
        keys = _lettered(step.choices) if unit else _numbered(step.choices)
        doubt = ", with ? when not quite sure" if _may_doubt(step) else ""
        then = f" ({step.well})" if step.well else ""
        what = f"the number that you read, in {unit}{then}, or a letter{doubt}" if unit else f"a number{doubt}"
        common.say(f"Type {what}. {KEYS}")
        drop_typed_ahead()
        while True:
            typed = typed_line()
            try:
                event = self._event(step, keys, typed)
            except DiagnoseError as error:
                common.say(str(error))
                continue
            if event is not None and self._record(event):
                return
            if event is None and self._other(typed, step):
                return

    def _event(self, step: Step, keys: dict[str, Choice], typed: str) -> ev.Event | None:
        """Return the event that was typed, or None when it was something else."""
        now = self.session.clock()
        unit = reading_unit(step)
        if unit and (typed[:1] in NUMBER or typed[:1].isnumeric()):
            return self.walk.measure(step, on_the_bench(typed.removeprefix("="), unit), now)
        sure = not (typed.endswith("?") and _may_doubt(step))
        choice = keys.get((typed if sure else typed[:-1].strip()).lower())
        return None if choice is None else self.walk.choose(step, choice.id, now, sure)

    def _other(self, typed: str, step: Step | None) -> bool:
        """Do what a letter asks for; True when the question must be asked afresh. Raises `Left`."""
        now = self.session.clock()
        match typed.lower().split():
            case ["q"]:
                raise Left
            case ["w"] if step is not None:
                asides.why(self.walk, step)
            case ["i"] if step is not None:
                asides.what_if(self.walk, step, now)
            case ["?"] if step is not None:
                asides.words(self.walk, step)
            case ["w" | "i" | "?"]:
                common.say("This question is about what you know already. It may be skipped.")
            case ["a"]:
                return self._another()
            case ["t", *minutes]:
                return self._time(minutes)
            case ["!"]:
                asides.wrong(self.walk)
            case ["u"]:
                return self._take_back()
            case _:
                common.say(f"'{typed[:40]}' is none of these.")
        return False

    def _take_back(self) -> bool:
        if self.asked:
            self.asked = ""
            return True
        if (taken := self.walk.take_back(self.session.clock())) is not None:
            return self._record(taken)
        done = "What was done to the engine can't be taken back by a key: undo it by hand."
        common.say("There is nothing to take back yet." if len(self.walk.events) == 1 else done)
        return False

    def _another(self) -> bool:
        """List what else can be answered, and take one; True when there is something new to ask."""
        keys = _numbered(others(self.walk))
        common.say("Type a number, or Enter for none of these.")
        while (typed := typed_line()) != "":
            if (choice := keys.get(typed)) is None:
                self._other(typed, None)
            elif choice.id.startswith(ALSO):
                also = choice.id.removeprefix(ALSO)
                return self._record(ev.Told(self.session.clock(), ev.ALSO, also))
            elif self.session.may_open(choice.id):
                self.asked = choice.id
                return True
            else:
                common.say("The engine runs for that one: the guards come first.")
        return True

    def _time(self, typed: Sequence[str]) -> bool:
        """Set the minutes to go, or take them away with ``t no``; True when the list has to be planned anew."""
        now = self.session.clock()
        if typed == ["no"]:
            return self._record(ev.Deadline(now))
        if typed:
            try:
                minutes = read(" ".join(typed), "min")
            except DiagnoseError as error:
                common.say(str(error))
                return False
            if not self._record(ev.Deadline(now, minutes)):
                return False
        view = self.walk.view(now)
        if view.deadline is None:
            common.say("Say how many minutes there are, like t 8.")
            return False
        asides.time(view)
        return bool(typed)

    def _record(self, event: ev.Event) -> bool:
        """Save an event; True when the walk has moved on."""
        try:
            self.session.record(event)
            self._still_asked(keep=isinstance(event, ev.Happened))
            if isinstance(event, ev.Measured) and (beside := compared(self.walk, event)):
                common.say(f"{beside[:1].upper()}{beside[1:]}.")
        except (Conflict, Away) as told:
            common.say(str(told))
            self._still_asked(keep=True)
            return True
        except JournalError as error:
            if not _agrees_not_to_save(error):
                raise
            self.session.save_nowhere()
            self.session.record(event)
        except DiagnoseError as error:
            common.say(str(error))
            return False
        return True

    def _still_asked(self, *, keep: bool) -> None:
        """Drop a check that was chosen, or keep it while it may be made."""
        if self.asked and not (keep and self.session.may_open(self.asked)):
            self.asked = ""

    def _cautions(self, names: Iterable[str]) -> None:
        """Say each caution in full once, and by its name after that."""
        for name in names:
            caution = self.walk.knowledge.cautions[name]
            full = "" if name in self.told_cautions else f": {self._filled(caution.say)}"
            common.say(f"Beware, {caution.name}{full}")
            self.told_cautions.add(name)

    def _verdict(self, view: View) -> None:
        assert view.verdict is not None
        common.say()
        common.say(f"{view.verdict.outcome}: {view.verdict.because}")
        for fault in view.verdict.mended:
            common.say(f"mended: {self.walk.knowledge.faults[fault].name}")
        if view.verdict.outcome == "cured":
            for opening in view.open:
                common.say(f"still open: {opening}")
            return
        for group in groups(view):
            common.say(f"{group.heading}: {', '.join(group.lines)}")
        owed = self.session.owed_at_end()
        if owed:
            common.say(f"Still owed: {', '.join(line.name for line in owed)}")
        common.say(please(owed))

    def _filled(self, text: str) -> str:
        return say(text, self.walk.knowledge, self.walk.variant)


def _numbered(choices: Sequence[Choice]) -> dict[str, Choice]:
    """Print the choices with their numbers, and return them by what is typed; 0 and 9 keep their meaning, if any."""
    keys: dict[str, Choice] = {}
    taken = {RESERVED[choice.id] for choice in choices if choice.id in RESERVED}
    for choice in choices:
        free = (str(number) for number in range(1, 100) if str(number) not in taken | keys.keys())
        key = RESERVED.get(choice.id) or next(free)
        keys[key] = choice
        common.say(f"{key}  {choice.say}{f' ({choice.means})' if choice.means else ''}")
    return keys


def _lettered(choices: Sequence[Choice]) -> dict[str, Choice]:
    """Print the choices with letters, and return them by those: digits are typed as what was read."""
    keys = dict(zip(LETTERS, choices, strict=False))
    for letter, choice in keys.items():
        common.say(f"{letter}  {choice.say}{f' ({choice.means})' if choice.means else ''}")
    return keys


def _may_doubt(step: Step) -> bool:
    return step.kind in ("ask", "recheck")

"""``diagnose walk --plain``: the walk as numbered lines, one question at a time, for screen readers and pipes."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.commands import common
from diagnose.commands.plain_led import SWITCH, PlainLed, leads_on
from diagnose.commands.printed import show
from diagnose.commands.prompt import Left, drop_typed_ahead, typed_line
from diagnose.commands.trouble import which_is_wrong
from diagnose.errors import DiagnoseError
from diagnose.graph.say import say
from diagnose.graph.wording import capital
from diagnose.pages import head_after, rather, seen, since, unsaved
from diagnose.pages.end import HEADINGS, end_page
from diagnose.pages.first_day import OFF, ON
from diagnose.pages.hazards import before_page, hazards_page, heading
from diagnose.pages.history import HEADING as HISTORY
from diagnose.pages.history import MAY_SKIP, SEVERAL, history_page
from diagnose.pages.parts import Gap, Heading, choices
from diagnose.pages.ready import FIRST, HEADING, YES, ready_page
from diagnose.pages.round import PLAIN_KEY, in_one_go, round_page
from diagnose.pages.step import LINES, RECIPES, step_page
from diagnose.pages.take_back import NOTHING
from diagnose.pages.time import time_page
from diagnose.pages.what_if import what_if_page
from diagnose.pages.why import why_page
from diagnose.pages.words import step_words
from diagnose.reason import events as ev
from diagnose.reason.explain import ALSO, compared, others
from diagnose.reason.view import Choice, Step, View
from diagnose.reason.walk import Walk
from diagnose.record.journal import Conflict, Journal, JournalError
from diagnose.record.manner import first_day, lines
from diagnose.tune.quantity import read
from diagnose.tune.typed import on_the_bench
from diagnose.workshop.newcomer import lead, tell_in_lines
from diagnose.workshop.session import OWED_AGAIN, Away, Session, reading_unit

RESERVED = {ev.CANT_TELL: "0", ev.SKIPPED: "0", ev.NO_TOOL: "9"}
ASIDES = "u take back, a what you saw, t 8 for eight minutes to go, f9 one by one, ! something is wrong, q leave"
KEYS = f"w why, i what if, c hazards, ? words, {ASIDES}"
DENSITY = "v line or recipe"
ASIDE_KEYS = ("q", "u", "t", "!", "f9")
"""What does the same wherever words may be typed as well."""
LETTERS = "bdefghjklmnoprsxyz"
"""What answers where a number is asked for: there each number is what was read. Those of `KEYS` are left out."""
NUMBER = ("=", "-", ".", ",")
"""What a reading can begin with besides a figure."""


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
    show(unsaved.trouble(str(error)))
    for key, answer in zip("1q", unsaved.ANSWERS, strict=True):
        common.say(f"{key}  {answer.text}")
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
    """One plain walk: asks, reads, records. What is due now, the session says."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.led: PlainLed | None = PlainLed() if first_day(session.journal) else None
        """Tells one thing at a time; None when everything is told at once."""
        self.lines = lines(session.journal)

    @property
    def walk(self) -> Walk:
        assert self.session.walk is not None
        return self.session.walk

    @property
    def view(self) -> View:
        return self.walk.view(self.session.clock())

    def to_the_end(self) -> None:
        """Ask until there is a verdict; raises `Left`."""
        session, known, symptom = self.session, self.walk.knowledge, self.walk.symptom
        common.say(f"{known.symptoms[symptom].name} · {self.view.engine}")
        common.say(say(known.symptoms[symptom].does, known, self.walk.variant))
        try:
            while (due := session.due(step := session.step(), led=self.led is not None)) != "end":
                if due == "cautions":
                    self._before(step)
                elif due == "head":
                    self._head()
                elif due == "since":
                    self._since()
                elif due == "history":
                    self._question()
                elif due == "ready":
                    self._ready(session.unready)
                elif step is not None:
                    self._step(step)
        except Left:
            again = f"go on with: diagnose walk {self.walk.symptom} --plain --resume"
            show(unsaved.left(again, saved=session.journal.saved))
            raise
        view = self.view
        assert view.verdict is not None
        show((Gap(), Heading(HEADINGS[view.verdict.outcome])))
        show(end_page(view, view.verdict, known, session.owed_at_end()))

    def _before(self, step: Step | None) -> None:
        """Tell the cautions that come now in full; by their names they stand in each step that they belong to."""
        names, stop = self.session.new_cautions(step), self.session.stop_first
        page = before_page(names, self.walk.knowledge, self.walk.variant, stop_first=stop)
        show((Gap(), Heading(heading(stop_first=stop)), *page.text))
        self.session.has_read(names)

    def _since(self) -> None:
        """Ask whether something has made the answers that still count stale."""
        show((Gap(), Heading(since.HEADING), *since.since_page(self.walk)))
        keys = _numbered([Choice(what, said) for what, said in since.SAID.items() if what != "nothing"])
        common.say("Type a number, or Enter if none of this happened.")
        drop_typed_ahead()
        while (typed := typed_line()) not in ("", *keys):
            self._other(typed, None)
        what = next(one for one in since.SAID if not typed or one == keys[typed].id)
        self._record(ev.Happened(self.session.clock(), what))

    def _head(self) -> None:
        """Ask for the head after a turn that cured it; nothing at all skips it."""
        show((Gap(), Heading(head_after.HEADING), *head_after.ASKED))
        common.say(f"Type the number that you read, in {head_after.UNIT}, or Enter to skip.")
        drop_typed_ahead()
        while True:
            typed = typed_line()
            try:
                if typed and not (typed[:1] in NUMBER or typed[:1].isnumeric()):
                    self._other(typed, None)
                    continue
                head = on_the_bench(typed.removeprefix("="), head_after.UNIT) if typed else None
            except DiagnoseError as error:
                common.say(str(error))
                continue
            self._record(ev.HeadRead(self.session.clock(), head))
            return

    def _ready(self, name: str) -> None:
        """Ask one of the things that are answered before the engine runs."""
        page = ready_page(name)
        show((Gap(), Heading(HEADING), *page.text))
        keys = _numbered(choices(page.answers))
        common.say(f"Type a number. {ASIDES}")
        drop_typed_ahead()
        while (typed := typed_line()) not in keys:
            if self._other(typed, None):
                return
        if keys[typed].id == YES:
            self.session.has_readied(name)
        else:
            common.say(FIRST[name])

    def _question(self) -> None:
        names = self.session.untold()
        page = history_page(self.walk, names)
        show((Gap(), Heading(HISTORY), page.which, page.asked))
        keys = _numbered(choices(page.answers))
        several = SEVERAL if page.alone else ""
        common.say(f"Type a number{several}, or Enter to skip. {ASIDES}")
        drop_typed_ahead()
        while True:
            typed = typed_line()
            if (said := _said(keys, typed, several=bool(page.alone))) is not None:
                if self._record(self.walk.tell(names[0], said, self.session.clock())):
                    return
            elif self._other(typed, None):
                return

    def _step(self, step: Step) -> None:
        if self.led is not None:
            if not self.led.tell(self.walk, self.view, step, lambda typed: self._other(typed, step)):
                return
        else:
            page = step_page(self.view, step, self.walk.knowledge, self.walk.variant, lines=self.lines)
            show((Gap(), *page.asked, *page.text))
        unit = reading_unit(step)
        keys = _lettered(step.choices) if unit else _numbered(step.choices)
        doubt = ", with ? when not quite sure" if _may_doubt(step) else ""
        then = f" ({step.well})" if step.well else ""
        what = f"the number that you read, in {unit}{then}, or a letter{doubt}" if unit else f"a number{doubt}"
        common.say(f"Type {what}{in_one_go(self.walk, self.view, step)}. {KEYS}, {DENSITY}")
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
        if typed == PLAIN_KEY and (page := round_page(self.walk, self.view, step)):
            return ev.Answered(now, page.check, page.healthy)
        sure = not (typed.endswith("?") and _may_doubt(step))
        choice = keys.get((typed if sure else typed[:-1].strip()).lower())
        return None if choice is None else self.walk.choose(step, choice.id, now, sure)

    def _other(self, typed: str, step: Step | None) -> bool:
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
            return self._record(taken)
        common.say(NOTHING)
        return False

    def _another(self, words: Sequence[str]) -> bool:
        """List what else can be answered, or what words find, and take one; True when there is something new to ask."""
        keys = self._found(" ".join(words)) if words else _numbered(others(self.walk))
        common.say(seen.BY_WORDS)
        while (typed := typed_line()) != "":
            if (choice := keys.get(typed)) is not None:
                return self._take(choice.id)
            match typed.split():
                case ["note", *said] if said:
                    return self._take(f"{seen.NOTE}{' '.join(said)}")
                case [one] if one.lower() in ASIDE_KEYS:
                    self._other(one, None)
                case _:
                    keys = self._found(typed)
        return True

    def _found(self, typed: str) -> dict[str, Choice]:
        """Print what words find, to choose from."""
        from diagnose.graph.seek import seeker  # with what compares words, wanted here alone

        find = seeker(self.walk.knowledge, "looks").find
        page = seen.found(self.walk, typed, lambda words: [one.id for one in find(words, most=40)])
        return _numbered(choices(page))

    def _take(self, chosen: str) -> bool:
        """Take what was chosen of what can be said unasked."""
        if chosen.startswith(ALSO):
            return self._record(ev.Told(self.session.clock(), ev.ALSO, chosen.removeprefix(ALSO)))
        if chosen.startswith(seen.NOTE):
            noted = self._record(ev.Noted(self.session.clock(), chosen.removeprefix(seen.NOTE)))
            common.say(seen.NOTED)
            return noted
        self.session.saw(chosen)
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
        page = time_page(self.walk.view(now), now)
        show((*page.told, *page.looks, *page.word))
        return bool(typed)

    def _record(self, event: ev.Event) -> bool:
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
            if not _agrees_not_to_save(error):
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
        keys = _numbered(choices(rather.answers(self.walk.knowledge, names)))
        common.say("Type a number, or Enter to go on here.")
        drop_typed_ahead()
        while (typed := typed_line()) not in ("", *keys):
            self._other(typed, None)
        if typed and keys[typed].id != rather.STAY:
            self.session.record(ev.Redirected(self.session.clock(), keys[typed].id))


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


def _said(keys: dict[str, Choice], typed: str, *, several: bool) -> list[str] | None:
    """Return the answers that were typed, none where Enter skips; None when it was something else."""
    numbers = typed.replace(",", " ").split() if several else [typed] if typed else []
    if any(number not in keys for number in numbers):
        return None
    return [keys[number].id for number in numbers]


def _lettered(choices: Sequence[Choice]) -> dict[str, Choice]:
    """Print the choices with letters, and return them by those: digits are typed as what was read."""
    keys = dict(zip(LETTERS, choices, strict=False))
    for letter, choice in keys.items():
        common.say(f"{letter}  {choice.say}{f' ({choice.means})' if choice.means else ''}")
    return keys


def _may_doubt(step: Step) -> bool:
    return step.kind in ("ask", "recheck")

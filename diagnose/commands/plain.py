"""``diagnose walk --plain``: the walk as numbered lines, one question at a time, for screen readers and pipes."""

from __future__ import annotations

from diagnose.commands import common
from diagnose.commands.plain_asides import ASIDES, PlainAsides, agrees_not_to_save
from diagnose.commands.plain_keys import by_letter, by_number, chosen, is_reading
from diagnose.commands.printed import show
from diagnose.commands.prompt import Left, drop_typed_ahead, typed_line
from diagnose.errors import DiagnoseError
from diagnose.graph.say import say
from diagnose.pages import head_after, since, unsaved
from diagnose.pages.end import HEADINGS, end_page
from diagnose.pages.hazards import before_page, heading
from diagnose.pages.history import HEADING as HISTORY
from diagnose.pages.history import SEVERAL, history_page
from diagnose.pages.parts import Gap, Heading, choices
from diagnose.pages.ready import FIRST, HEADING, YES, ready_page
from diagnose.pages.round import PLAIN_KEY, in_one_go, round_page
from diagnose.pages.step import step_page
from diagnose.reason import events as ev
from diagnose.reason.view import Choice, Step
from diagnose.record.journal import Journal, JournalError
from diagnose.tune.typed import on_the_bench
from diagnose.workshop.session import OWED_AGAIN, Session, reading_unit

KEYS = f"w why, i what if, c hazards, ? words, {ASIDES}"
DENSITY = "v line or recipe"


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
        if not agrees_not_to_save(error):
            raise
        return Journal.in_memory()


def _resume(session: Session, symptom: str) -> None:
    for outing in session.open_outings():
        if symptom in (outing.walk.started.symptom, outing.walk.symptom):
            session.resume(outing.id)
            common.say(f"going on with the walk of {outing.id}")
            if session.new_day:
                common.say(OWED_AGAIN)
            return
    raise DiagnoseError(f"there is no open walk about '{symptom}' to go on with")


class _Plain(PlainAsides):
    """One plain walk: asks, reads. What is due now, the session says."""

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
        keys = by_number([Choice(what, told) for what, told in since.SAID.items() if what != "nothing"])
        common.say("Type a number, or Enter if none of this happened.")
        drop_typed_ahead()
        while (typed := typed_line()) not in ("", *keys):
            self.other(typed, None)
        what = next(one for one in since.SAID if not typed or one == keys[typed].id)
        self.record(ev.Happened(self.session.clock(), what))

    def _head(self) -> None:
        """Ask for the head after a turn that cured it; nothing at all skips it."""
        show((Gap(), Heading(head_after.HEADING), *head_after.ASKED))
        common.say(f"Type the number that you read, in {head_after.UNIT}, or Enter to skip.")
        drop_typed_ahead()
        while True:
            typed = typed_line()
            try:
                if typed and not is_reading(typed):
                    self.other(typed, None)
                    continue
                head = on_the_bench(typed.removeprefix("="), head_after.UNIT) if typed else None
            except DiagnoseError as error:
                common.say(str(error))
                continue
            self.record(ev.HeadRead(self.session.clock(), head))
            return

    def _ready(self, name: str) -> None:
        """Ask one of the things that are answered before the engine runs."""
        page = ready_page(name)
        show((Gap(), Heading(HEADING), *page.text))
        keys = by_number(choices(page.answers))
        common.say(f"Type a number. {ASIDES}")
        drop_typed_ahead()
        while (typed := typed_line()) not in keys:
            if self.other(typed, None):
                return
        if keys[typed].id == YES:
            self.session.has_readied(name)
        else:
            common.say(FIRST[name])

    def _question(self) -> None:
        names = self.session.untold()
        page = history_page(self.walk, names)
        show((Gap(), Heading(HISTORY), page.which, page.asked))
        keys = by_number(choices(page.answers))
        several = SEVERAL if page.alone else ""
        common.say(f"Type a number{several}, or Enter to skip. {ASIDES}")
        drop_typed_ahead()
        while True:
            typed = typed_line()
            if (told := chosen(keys, typed, several=bool(page.alone))) is not None:
                if self.record(self.walk.tell(names[0], told, self.session.clock())):
                    return
            elif self.other(typed, None):
                return

    def _step(self, step: Step) -> None:
        if self.led is not None:
            if not self.led.tell(self.walk, self.view, step, lambda typed: self.other(typed, step)):
                return
        else:
            page = step_page(self.view, step, self.walk.knowledge, self.walk.variant, lines=self.lines)
            show((Gap(), *page.asked, *page.text))
        unit = reading_unit(step)
        keys = by_letter(step.choices) if unit else by_number(step.choices)
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
            if event is not None and self.record(event):
                return
            if event is None and self.other(typed, step):
                return

    def _event(self, step: Step, keys: dict[str, Choice], typed: str) -> ev.Event | None:
        """Return the event that was typed, or None when it was something else."""
        now = self.session.clock()
        unit = reading_unit(step)
        if unit and is_reading(typed):
            return self.walk.measure(step, on_the_bench(typed.removeprefix("="), unit), now)
        if typed == PLAIN_KEY and (page := round_page(self.walk, self.view, step)):
            return ev.Answered(now, page.check, page.healthy)
        sure = not (typed.endswith("?") and _may_doubt(step))
        choice = keys.get((typed if sure else typed[:-1].strip()).lower())
        return None if choice is None else self.walk.choose(step, choice.id, now, sure)


def _may_doubt(step: Step) -> bool:
    return step.kind in ("ask", "recheck")

"""The bench: one question at a time, with what was done, what it could be and what is owed beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal
from textual.content import Content, Span
from textual.widgets import Input, Static

from diagnose.errors import DiagnoseError
from diagnose.graph.wording import clean, minutes
from diagnose.pages import beside, parts
from diagnose.pages.engine import NONE_RECORDED
from diagnose.pages.parts import grouped
from diagnose.pages.round import round_page
from diagnose.pages.step import EXAMPLES, count, step_page
from diagnose.pages.unsaved import kept
from diagnose.reason.view import Step, View
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import PageWanted, WalkHappened
from diagnose.screens.page import PageScreen
from diagnose.screens.widgets.choices import NO_DIGIT, Choices, rows
from diagnose.screens.widgets.column import Column
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.rendered import rendered
from diagnose.screens.widgets.text import hung, lines, plain, tap
from diagnose.tune.typed import on_the_bench
from diagnose.workshop.session import reading_unit

LEFT, RIGHT = 27, 33
"""Columns of the two side parts, with their rule and padding."""

WIDE, MEDIUM = 104, 70
ANSWERS_SHARE = 0.45
"""Each answer says below it what it means, if all of them then take no more than this share of the height."""

NUMBER = ("in {}: ", " or ↓ and enter"), ("type it, in {}: ", " or choose: ↓ and enter")
"""What stands before the field for a number and behind it, where there is little room and where there is more."""
ROOM_FOR_WORDS = 56
"""Columns."""


class Bench(PageScreen[None]):
    """Shows the step of the walk that is given to `put`; says what happens."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "home"),
        Binding("escape", "to_table", "table"),
        Binding("w", "want('read', 'why')", "why"),
        Binding("u", "want('walk', 'take back')", "take back"),
        Binding("i", "want('read', 'what if')", "what if"),
        Binding("t", "want('walk', 'time')", "time"),
        Binding("a", "want('walk', 'another')", "answer another"),
        Binding("r", "want('walk', 'list')", "line by line"),
        Binding("h", "needles", "needles"),
        Binding("d", "day", "day"),
        Binding("s", "doubt", "not quite sure", show=False),
        Binding("c", "want('read', 'cautions')", "cautions", show=False),
        Binding("n", "number", "type a number", show=False),
        Binding("l", "app.light", "light or dark", show=False),
    ]

    if_room = frozenset({"h", "d", "r", "question_mark", "q"})
    in_short = {"a": "others"}

    def __init__(self, at: AtHand, *, at_table: bool = False) -> None:
        super().__init__(at)
        self.at_table = at_table
        """It was opened from the table, and goes back there."""
        self.view: View | None = None
        self.sure = True
        self._shown: dict[str, tuple[str, Sequence[Span]]] = {}
        """What stands in each part: its text and its spans."""

    def body(self) -> ComposeResult:
        """Lay out the three parts."""
        with Container(id="parts"):
            yield Column(id="past")
            yield Column(id="could")
            with Container(id="top"):
                yield Column(id="aside")
                yield Static(id="asked")
                yield Column(id="text")
            with Horizontal(id="measure"):
                yield Static(id="unit")
                yield NumberField("number")
                yield Static(id="or")
            yield Choices(id="choices")
            yield Static(id="doubt")

    def on_resize(self) -> None:
        """Lay out anew for the width."""
        self._paint()

    def put(self, view: View, step: Step) -> None:
        """Put this step of this view; it may be another than the one that the walk would take."""
        if self.step is None or (step.kind, step.id) != (self.step.kind, self.step.id):
            self.sure = True
        self.view, self.step = view, step
        if self.is_mounted:
            self.query_one("#text").scroll_home(animate=False)
            self.query_one("#number", Input).clear()
            self.query_one(Choices).highlighted = None
            self.query_one(Choices).focus()
            self._paint()
            self.turned()

    def on_mount(self) -> None:
        """Let the answers have the keys, and show the step before the first layout."""
        self.query_one(Choices).focus()
        self._paint()

    def _paint(self) -> None:
        walk = self.session.walk
        if walk is None or self.view is None or self.step is None:
            return
        view, step = self.view, self.step
        wide, medium = self.size.width >= WIDE, self.size.width >= MEDIUM
        room = self.size.width - (LEFT + RIGHT if wide else RIGHT if medium else 0) - 6
        answers = self.size.width - (LEFT + RIGHT if wide else 0) - 4
        means = rows(step.choices, answers) > self.size.height * ANSWERS_SHARE
        page = step_page(view, step, walk.knowledge, walk.variant, brief=self.tight, means=means)
        self._put("heading", self._heading(view, count(view, step)))
        self._put("asked", self._asked(page.asked, room))
        locks = step.kind != "refer" or self.session.may_be_turned()
        ahead, past = grouped(beside.could_be(view), beside.owed(view, locks=locks)), beside.so_far(view, step)
        if wide:
            done = self._column("past", past, LEFT - 3)
            done.scroll_to(y=done.max_scroll_y, animate=False, force=True)  # the step at hand stands last
            self._column("could", ahead, RIGHT - 4)
        elif medium:
            self._column("aside", grouped(ahead, past), RIGHT - 4)
        text = grouped(page.text, page.hazards)
        self._column("text", text if medium else grouped(text, ahead, past), room)
        self._answers(step, answers, roomy=not means)

    def _put(self, part: str, content: Content) -> None:
        """Put content into a part, unless it stands there: an update lays out and draws the part anew."""
        if self._shown.get(part) != (content.plain, content.spans):
            self._shown[part] = content.plain, content.spans
            self.query_one(f"#{part}", Static).update(content)

    def _column(self, part: str, page: parts.Page, width: int) -> Column:
        column = self.query_one(f"#{part}", Column)
        column.show(rendered(page, width))
        return column

    def _answers(self, step: Step, width: int, *, roomy: bool) -> None:
        unit = reading_unit(step)
        self.query_one("#measure").display = bool(unit)
        if unit:
            asks, otherwise = NUMBER[width >= ROOM_FOR_WORDS]
            self._put("unit", tap(plain(asks.format(unit)), "screen.number"))
            self._put("or", plain(otherwise, "$secondary"))
            self.query_one("#number", NumberField).placeholder = EXAMPLES.get(unit, EXAMPLES[""])
        self.query_one(Choices).show(step.choices, roomy=roomy, width=width, sign=NO_DIGIT if unit else "")
        self.query_one("#doubt").display = step.kind in ("ask", "recheck")
        told = f"s  [{' ' if self.sure else '✓'}] not quite sure"
        self._put("doubt", tap(plain(told, "" if self.sure else "bold $warning"), "screen.doubt"))
        self.refresh_bindings()

    def _heading(self, view: View, at: str) -> Content:
        walk = self.session.walk
        assert walk is not None
        names = [view.engine] if view.engine == walk.variant.says() else [view.engine, walk.variant.says()]
        saved = kept(walk.events[-1].at, saved=self.session.journal.saved)
        now = [f"head {view.head:.0f} °C"] if view.head is not None else []
        if view.deadline is not None:
            now.append(f"{minutes(view.deadline)} to go: {view.last_word}")
        right = " · ".join([*now, saved])
        room = self.size.width - len(right) - 6
        left = clean(f"{at} · {view.engine}" if self.tight else " · ".join(names))
        if len(left) > room:
            left = left if self.tight else clean(view.engine)
            left = left[: max(room - 1, 0)] + ("…" if len(left) >= room else "")
        return Content.assemble((left.ljust(room), "bold"), "  ", (right, "$secondary"))

    @staticmethod
    def _asked(asked: parts.Page, room: int) -> Content:
        """Return what is asked; the names of the hazards share a line, which opens them in full."""
        hazards = [part for part in asked if isinstance(part, parts.CautionPart)]
        told = rendered((part for part in asked if part not in hazards), room)
        names = hung("c  ! ", " · ".join(hazard.name for hazard in hazards), room, "bold $warning")
        return lines([told, tap(names, "screen.want('read', 'cautions')")]) if hazards else told

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        step = self.step
        if parameters == ("walk", "list"):
            walk = self.session.walk
            return walk is not None and self.view is not None and round_page(walk, self.view, step) is not None
        if action == "doubt":
            return step is not None and step.kind in ("ask", "recheck")
        if action == "number":
            return step is not None and bool(reading_unit(step))
        if action == "needles":
            walk = self.session.walk
            return walk is not None and bool(walk.started.engine)
        if action in ("leave", "to_table"):
            return self.at_table == (action == "to_table")
        return True

    def action_leave(self) -> None:
        """Go back to the answers, to the walk's own step, or to where it was opened: the walk stays open."""
        if isinstance(self.focused, Input):
            self.query_one(Choices).focus()
        elif self.session.asked:
            self.say(PageWanted("walk", "own step"))
        else:
            self.dismiss(None)

    def action_to_table(self) -> None:
        """Go back in the same way, to the table."""
        self.action_leave()

    @property
    def _engine(self) -> Engine | None:
        """The engine of the walk; None when it is in no record."""
        walk = self.session.walk
        return self.session.engines().get(walk.started.engine) if walk is not None else None

    def action_needles(self) -> None:
        """Open the needles of the engine of the walk."""
        if (engine := self._engine) is not None:
            self.say(PageWanted("tune", "needles", engine))
        else:
            self.notify(NONE_RECORDED, markup=False)

    def action_day(self) -> None:
        """Open the day, for the engine of the walk."""
        self.say(PageWanted("tune", "day", self._engine))

    def action_doubt(self) -> None:
        """Say that the next answer is not quite sure, or that it is."""
        self.sure = not self.sure
        self._paint()

    def number_field(self) -> Input | None:
        """Return the field for a reading, where one is asked for."""
        return self.query_one("#number", Input) if self.step is not None and reading_unit(self.step) else None

    def action_number(self) -> None:
        """Type a reading."""
        self.query_one("#number", Input).focus()

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Answer the step."""
        walk = self.session.walk
        if walk is not None and self.step is not None:
            self.say(WalkHappened(walk.choose(self.step, event.choice, self.session.clock(), self.sure)))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take a reading."""
        walk = self.session.walk
        if walk is None or self.step is None:
            return
        try:
            value = on_the_bench(event.value, reading_unit(self.step))
        except DiagnoseError as error:
            self.notify(str(error), markup=False)
            return
        self.say(WalkHappened(walk.measure(self.step, value, self.session.clock())))

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
from diagnose.graph.wording import clean
from diagnose.pages import beside, parts
from diagnose.pages.engine import NONE_RECORDED
from diagnose.pages.mate import from_mate
from diagnose.pages.parts import grouped
from diagnose.pages.phone import to_go
from diagnose.pages.round import round_page
from diagnose.pages.step import EXAMPLES, count, picture, step_page
from diagnose.pages.unsaved import kept
from diagnose.reason.events import CANT_TELL, NO_TOOL
from diagnose.reason.steps import NOT_NOW
from diagnose.reason.view import Step, View
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import PageWanted, WalkHappened
from diagnose.screens.page import SHORT, PageScreen
from diagnose.screens.widgets.answer_room import ALWAYS, AnswerRoom, answer_room
from diagnose.screens.widgets.choices import NO_DIGIT, Choices
from diagnose.screens.widgets.column import Column
from diagnose.screens.widgets.field import NumberField
from diagnose.screens.widgets.keys import Keys
from diagnose.screens.widgets.picked_by import numbered
from diagnose.screens.widgets.rendered import LEFT, RIGHT, WIDE, rendered, room_for_text
from diagnose.screens.widgets.text import hints, hung, lines, plain, tap
from diagnose.tune.typed import on_the_bench
from diagnose.workshop.session import reading_unit

BESIDES = 3
"""Rows of the heading, of the last line of the question, and of what stands below the answers."""
FOOT = 2
"""Rows of the foot before it has been laid out."""
ALWAYS_SHORT = {CANT_TELL: "can't tell", NO_TOOL: "no tool"}

NUMBER = ("in {}: ", " or ↓ and enter"), ("type it, in {}: ", " or choose: ↓ and enter")
"""What stands before the field for a number and behind it, where there is little room and where there is more."""
ROOM_FOR_WORDS = 56
"""Columns."""


class Bench(PageScreen[None]):
    """Shows the step of the walk that is given to `put`; says what happens."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "home"),
        Binding("escape", "to_table", "table"),
        Binding("b", "want('read', 'beside')", "suspects"),
        Binding("u", "want('walk', 'take back')", "take back"),
        Binding("p", "want('read', 'picture')", "picture"),
        Binding("w", "want('read', 'why')", "why"),
        Binding("t", "want('walk', 'time')", "time"),
        Binding("a", "want('walk', 'another')", "answer another"),
        Binding("r", "want('walk', 'list')", "line by line"),
        Binding("i", "want('read', 'what if')", "what if"),
        Binding("m", "want('walk', 'mate')", "mate's phone"),
        Binding("k", "want('walk', 'cars')", "cars"),
        Binding("h", "needles", "needles"),
        Binding("d", "day", "day"),
        Binding("v", "want('lead', 'density')", "line or recipe"),
        Binding("f9", "want('lead', 'first day')", "one by one"),
        Binding("e", "car_page", "car's page"),
        Binding("g", "want('read', 'route')", "route"),
        Binding("s", "doubt", "not quite sure", show=False),
        Binding("c", "want('read', 'cautions')", "cautions", show=False),
        Binding("n", "number", "type a number", show=False),
        Binding("l", "app.light", "light or dark", show=False),
    ]

    in_short = {"a": "others", "r": "list", "e": "car"}

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
                yield Static(id="asked")
                yield Column(id="text", says_more=True)
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
        if not self.is_at(step):
            self.sure = True
        self.view, self.step = view, step
        if self.is_mounted:
            self.query_one("#text").scroll_home(animate=False)
            self.query_one("#number", Input).clear()
            self.query_one(Choices).highlighted = None
            self.query_one(Choices).focus()
            self._paint()
            self.turned()

    def look_again(self, view: View, step: Step) -> None:
        """Show what has changed around the step that is put."""
        self.view, self.step = view, step
        if self.is_mounted:  # a mate may be quicker than the page is laid out: then it is painted as it comes
            self._paint()

    def on_mount(self) -> None:
        """Let the answers have the keys, and show the step before the first layout."""
        self.query_one(Choices).focus()
        self._paint()

    def _paint(self) -> None:
        walk = self.session.walk
        if walk is None or self.view is None or self.step is None:
            return
        view, step = self.view, self.step
        wide, room = self.size.width >= WIDE, room_for_text(self.size.width)
        in_lines = self.at.lines
        page = step_page(view, step, walk.knowledge, walk.variant, brief=self.tight, lines=in_lines)
        asked = self._asked((*from_mate(self.at.mate_said, walk.knowledge), *page.asked), room)
        fit = self._fit(step, asked, page.text, room)
        if not fit.roomy:
            page = step_page(view, step, walk.knowledge, walk.variant, brief=self.tight, means=True, lines=in_lines)
        self._put("heading", self._heading(view, count(view, step)))
        self._put("asked", asked)
        if wide:
            locks = step.kind != "refer" or self.session.may_be_turned()
            done = self._column("past", beside.so_far(view, step), LEFT - 3)
            done.scroll_to(y=done.max_scroll_y, animate=False, force=True)  # the step at hand stands last
            self._column("could", grouped(beside.could_be(view), beside.owed(view, locks=locks)), RIGHT - 4)
        self._column("text", grouped(page.text, page.hazards), room)
        self._answers(step, room + 2, fit)

    def _fit(self, step: Step, asked: Content, text: parts.Page, room: int) -> AnswerRoom:
        """Share the rows that the heading, the question and the foot leave."""
        unit, rule = bool(reading_unit(step)), not self.tight
        foot = max(self.query_one(Keys).size.height, FOOT)
        padding = self.size.height >= SHORT
        free = self.size.height - foot - asked.plain.count("\n") - BESIDES - unit - rule - padding
        fit = answer_room(step.choices, text, room, free, self.size.height, together=unit)
        return fit._replace(height=fit.height + rule)

    def _beside(self, step: Step, *, scrolls: bool) -> Content:
        """Return the answers that each check has in one line, with what else stands below the list."""
        more = [("↓", "more answers", "screen.answers_on")] if scrolls else []
        always = [
            (digit, ALWAYS_SHORT[one.id] if self.tight else one.say, f"screen.digit('{digit}')")
            for digit, one in numbered(step.choices)
            if one.id in ALWAYS
        ]
        doubt = [("s", f"[{' ' if self.sure else '✓'}] not sure", "screen.doubt")] if self._may_doubt else []
        return hints([*more, *always, *doubt], room_for_text(self.size.width) + 2)

    def _put(self, part: str, content: Content) -> None:
        """Put content into a part, unless it stands there: an update lays out and draws the part anew."""
        if self._shown.get(part) != (content.plain, content.spans):
            self._shown[part] = content.plain, content.spans
            self.query_one(f"#{part}", Static).update(content)

    def _column(self, part: str, page: parts.Page, width: int) -> Column:
        column = self.query_one(f"#{part}", Column)
        column.show(rendered(page, width))
        return column

    def _answers(self, step: Step, width: int, fit: AnswerRoom) -> None:
        unit = reading_unit(step)
        self.query_one("#measure").display = bool(unit)
        if unit:
            asks, otherwise = NUMBER[width >= ROOM_FOR_WORDS]
            self._put("unit", tap(plain(asks.format(unit)), "screen.number"))
            self._put("or", plain(otherwise, "$secondary"))
            self.query_one("#number", NumberField).placeholder = EXAMPLES.get(unit, EXAMPLES[""])
        choices = self.query_one(Choices)
        choices.show(
            step.choices,
            roomy=fit.roomy,
            width=width,
            sign=NO_DIGIT if unit else "",
            beside=ALWAYS if fit.apart else (),
        )
        if (choices.styles.height and choices.styles.height.value) != fit.height:
            choices.styles.height = fit.height
        self.query_one("#doubt").display = self._may_doubt or fit.apart
        told = f"s  [{' ' if self.sure else '✓'}] not quite sure"
        self._put(
            "doubt",
            self._beside(step, scrolls=fit.scrolls)
            if fit.apart
            else tap(plain(told, "" if self.sure else "bold $warning"), "screen.doubt"),
        )
        self.refresh_bindings()

    @property
    def _may_doubt(self) -> bool:
        return self.step is not None and self.step.kind in ("ask", "recheck")

    def _heading(self, view: View, at: str) -> Content:
        walk = self.session.walk
        assert walk is not None
        names = [view.engine] if view.engine == walk.variant.says() else [view.engine, walk.variant.says()]
        saved = kept(walk.events[-1].at, saved=self.session.journal.saved)
        now = [f"head {view.head:.0f} °C"] if view.head is not None else []
        if view.deadline is not None:
            now.append(to_go(view.deadline, view.last_word))
        right = " · ".join([*now, saved])
        room = self.size.width - len(right) - 6
        left = clean(f"{at} · {view.engine}" if self.tight else " · ".join(names))
        if len(left) > room:
            left = left if self.tight else clean(view.engine)
            left = left[: max(room - 1, 0)] + ("…" if len(left) >= room else "")
        return Content.assemble((left.ljust(room), "bold"), "  ", (right, "$secondary"))

    @staticmethod
    def _asked(asked: parts.Page, room: int) -> Content:
        """Return what is asked; the line of the worst hazard opens all of them in full."""
        hazards = [part for part in asked if isinstance(part, parts.CautionPart)]
        told = rendered((part for part in asked if part not in hazards), room)
        names = hung("c  ! ", " · ".join(one.head for one in hazards), room, "bold $warning")
        return lines([told, tap(names, "screen.want('read', 'cautions')")]) if hazards else told

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer a key only where it does something."""
        step = self.step
        if parameters == ("walk", "list"):
            walk = self.session.walk
            return walk is not None and self.view is not None and round_page(walk, self.view, step) is not None
        if parameters == ("walk", "mate"):
            return self.at.invite is not None
        if action == "doubt":
            return self._may_doubt
        if action == "want" and parameters[1] == "beside":
            return self.app.size.width < WIDE  # else all of it stands beside the step
        if action == "want" and parameters[1] == "picture":
            return step is not None and self.session.walk is not None and bool(picture(step, self.session.knowledge))
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

    def action_car_page(self) -> None:
        """Open the page of the engine of the walk."""
        if (engine := self._engine) is not None:
            self.say(PageWanted("car", "page", engine))
        else:
            self.notify(NONE_RECORDED, markup=False)

    def action_day(self) -> None:
        """Open the day, for the engine of the walk."""
        self.say(PageWanted("tune", "day", self._engine))

    def action_doubt(self) -> None:
        """Say that the next answer is not quite sure, or that it is."""
        self.sure = not self.sure
        self._paint()

    def action_answers_on(self) -> None:
        """Mark the next of the answers, which brings it into sight."""
        self.query_one(Choices).focus()
        self.query_one(Choices).action_cursor_down()

    def number_field(self) -> Input | None:
        """Return the field for a reading, where one is asked for."""
        return self.query_one("#number", Input) if self.step is not None and reading_unit(self.step) else None

    def action_number(self) -> None:
        """Type a reading."""
        self.query_one("#number", Input).focus()

    def on_choices_chosen(self, event: Choices.Chosen) -> None:
        """Answer the step."""
        walk, step = self.session.walk, self.step
        if walk is None or step is None:
            return
        hurried = self.view is not None and self.view.deadline is not None
        if event.choice == CANT_TELL and not hurried:
            self.say(PageWanted("lead", "stuck"))
        elif event.choice == NOT_NOW and step.kind == "mend" and not hurried:
            self.say(PageWanted("lead", "needs"))
        else:
            self.say(WalkHappened(walk.choose(step, event.choice, self.session.clock(), self.sure)))

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

"""What every screen shares: a title line, its keys along the foot, and a clear line when the window is too small."""

from __future__ import annotations

from collections.abc import Callable
from math import inf
from typing import Any, ClassVar, TypeVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Input, Static

from diagnose.errors import DiagnoseError
from diagnose.pages import parts
from diagnose.reason.view import Step
from diagnose.record.engines import Engine
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import Of, PageDeed, PageWanted
from diagnose.screens.widgets.choices import Choices
from diagnose.screens.widgets.keys import MORE, Keys
from diagnose.screens.widgets.more import More
from diagnose.screens.widgets.rendered import rendered
from diagnose.screens.widgets.text import plain
from diagnose.tune.mixture import Conditions

T = TypeVar("T")
ReadT = TypeVar("ReadT")

NARROW = 70
"""Columns below which there is one column."""
SHORT = 30
"""Rows below which each one counts."""
WIDTHS = [(0, "-tiny"), (30, "-narrow"), (70, "-medium"), (104, "-wide")]
HEIGHTS = [(0, "-flat"), (9, "-short"), (30, "-tall")]
"""From how many columns and rows a page has which class."""
HELD = 0.8
"""Seconds without keys after somebody else has turned the page: a finger may be on its way to the line before. From
memory: a person takes some 0.2 to 0.5 s from seeing to pressing."""
NUMBER = "0123456789.,"
"""What a number can begin with."""


def now() -> float:
    """Return the time, in seconds by the clock that keys are stamped with."""
    return Message().time


class Said(Message):
    """A person did something on a page, and the page says what."""

    def __init__(self, page: PageScreen[Any], what: PageDeed) -> None:
        super().__init__()
        self.page, self.what = page, what


class PageScreen(Screen[T]):
    """A screen with a heading, a body and its keys."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "back"),
        MORE,
        Binding("space", "read_on(1)", show=False),
        *(Binding(digit, f"digit('{digit}')", show=False) for digit in "0123456789"),
    ]
    AUTO_FOCUS = ""
    """Each page says itself what has the keys first."""

    heading = ""
    more_key: ClassVar[str] = "space"
    """What reads on where a text is longer than its room."""
    in_short: ClassVar[dict[str, str]] = {}
    """What the foot says for a key where there is little room.

    What is needed most comes first in `BINDINGS`: where there is less still, the last of them stand behind `MORE`.
    """
    seen_at = inf
    """When it was painted, by the clock of the keys; until then it takes none."""
    fresh = False
    """What it shows was brought up by the key or the tap that was taken last."""
    held_until = -inf
    """Until then it takes no key either."""
    stays: ClassVar[bool] = False
    """It stays below the pages of a walk."""
    step: Step | None = None
    """The step of the walk that it puts."""

    def __init__(self, at: AtHand, about: Engine | None = None, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.at = at
        self.session = at.session
        self.about = about
        """The engine that what is wanted here is about."""

    @property
    def engine(self) -> Engine:
        """The same, on a page that is always about one."""
        assert self.about is not None
        return self.about

    def compose(self) -> ComposeResult:
        """Lay out the heading, the body that `body` makes, and the keys."""
        wide, tall = self.app.size  # known already: with the classes in place the first layout is the last
        for size, points in ((wide, WIDTHS), (tall, HEIGHTS)):
            self.add_class(max(point for point in points if point[0] <= size)[1])
        yield Static(Content("Make the window larger.  ! something is wrong  esc back  ^q leave"), id="small")
        yield Static(plain(self.heading), id="heading")
        yield from self.body()
        yield Keys()

    def on_mount(self) -> None:
        """Say where a text goes on below its last row. Textual calls this after what a page does itself."""
        for text in self.query("VerticalScroll#text"):
            text.mount(More(self.more_key))

    def body(self) -> ComposeResult:
        """Make the widgets between the heading and the keys."""
        yield from ()

    def tell(self, page: parts.Page, where: str = "told") -> None:
        """Show the parts of a page, broken for the width that there is."""
        self.query_one(f"#{where}", Static).update(rendered(page, self.size.width - 6))

    @property
    def tight(self) -> bool:
        """Say whether there is little room both ways."""
        return self.size.width < NARROW and self.size.height < SHORT

    def say(self, what: PageDeed) -> None:
        """Say what a person did: the flow that it is for answers."""
        self.post_message(Said(self, what))

    def show(self) -> None:
        """Show what has changed: each page that can has its own way."""

    def stored(self) -> None:
        """Go on: what this page said has been stored."""
        self.show()

    def read_or(self, read: Callable[[], ReadT], otherwise: ReadT) -> ReadT:
        """Return what was read; something else, and why, when it can't be."""
        try:
            return read()
        except DiagnoseError as error:
            self.notify(str(error), severity="warning", markup=False)
            return otherwise

    def noted(self) -> Conditions:
        """Return the day and the fuel of the engine, as they were noted."""
        return self.read_or(lambda: self.session.conditions(self.engine.name), Conditions())

    @property
    def hidden(self) -> bool:
        """Say whether the window is too small to show anything: then nothing is answered unseen."""
        return self.has_class("-tiny") or self.has_class("-flat")

    def on_screen_resume(self) -> None:
        """Take no key that was meant for the page before."""
        self.turned()

    def on_screen_suspend(self) -> None:
        """Take no key while another page is on top."""
        self.seen_at = inf

    def turned(self) -> None:
        """Take no key until what is shown now has been painted: it is another question than before."""
        self.seen_at, self.fresh = inf, True
        self.call_after_refresh(self._seen)

    def _seen(self) -> None:
        self.seen_at = max(now(), self.held_until)

    def is_at(self, step: Step) -> bool:
        """Say whether this step is put already."""
        return self.step is not None and (step.kind, step.id) == (self.step.kind, self.step.id)

    def hold(self, seconds: float) -> None:
        """Take no key for a while: somebody else is turning this page."""
        self.held_until = now() + seconds

    def number_field(self) -> Input | None:
        """Return the field of a page that asks for a number: digits are typed into it, whatever has the keys."""
        return None

    def field_for(self, sign: str) -> Input | None:
        """Return the field into which this sign is typed, whatever has the keys."""
        return self.number_field() if sign in NUMBER else None

    def begin_typing(self, sign: str) -> None:
        """Let the field that a sign belongs into have the keys before it is typed."""
        field = self.field_for(sign) if not isinstance(self.focused, Input) else None
        if field is not None:
            self.set_focus(field)

    @property
    def takes_letters(self) -> bool:
        """Say whether a letter is typed into a field, whatever has the keys."""
        return self.is_mounted and self.field_for("q") is not None

    @property
    def filled(self) -> bool:
        """Say whether something was typed here that leaving would lose."""
        return False

    def action_more_keys(self) -> None:
        """Name all keys in the foot, or fewer."""
        self.query_one(Keys).fold()

    def action_want(self, of: Of, what: str) -> None:
        """Say that a key was pressed which a flow answers."""
        self.say(PageWanted(of, what, self.about))

    def action_leave(self) -> None:
        """Go back without a result."""
        self.dismiss(None)

    def action_digit(self, digit: str) -> None:
        """Answer by number."""
        self.turned()
        for choices in self.query(Choices):
            choices.pick(digit)

    def action_read_on(self, pages: int) -> None:
        """Scroll the text by a page, wherever the focus is."""
        for text in self.query("#text"):
            text.scroll_relative(y=pages * max(text.size.height - 1, 1), animate=False)

"""The needles of an engine: its screws as faces, what was done to them, and how far they have drifted."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from diagnose.errors import DiagnoseError
from diagnose.graph.model import Screw
from diagnose.graph.wording import capital
from diagnose.record.engines import Engine
from diagnose.screens.messages import Entered
from diagnose.screens.page import NARROW, Page
from diagnose.screens.widgets import plot
from diagnose.screens.widgets.face import WIDTH, Mark, dial, side_by_side
from diagnose.screens.widgets.text import clock, day, hung, lines, plain
from diagnose.tune import told
from diagnose.tune.needles import Entry, Ledger

AT_ONCE = 30
"""Entries of the ledger that are shown at first, and that are added by one key."""

GAP = "  "
FACES = 4
"""The most faces that stand in a row."""

GOOD, BASELINE = "g", "b"
LEGEND = (
    "The hour in brackets is where the slot points now. g is the last good tune, b the baseline. At 12 a screw is "
    "gently closed, or flush with the body. As it goes out, its slot goes to the left."
)
NOTHING = "No setting is recorded yet. Press r, and write down where the screws stand."
PLOT = "high needle: hours from the baseline, richer upwards (g is a good tune)"
HEADING = "bold $primary"


class Needles(Page[None]):
    """Shows the ledger of an engine; what is recorded goes to the app, which stores it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("r", "record", "record a setting"),
        Binding("t", "turned", "turned one"),
        Binding("g", "good", "mark it good"),
        Binding("b", "back", "go back"),
        Binding("d", "day", "day"),
        Binding("w", "card", "well card"),
        Binding("s", "slope", "own slope"),
        Binding("i", "heat", "infrared reading"),
        Binding("o", "window", "own window"),
        Binding("m", "more", "more of the ledger"),
        Binding("l", "app.light", "light or dark", show=False),
    ]

    def __init__(self, engine: Engine) -> None:
        super().__init__()
        self.engine = engine
        self.heading = f"Needles: {engine.name}, {engine.variant.says()}"
        self.ledger = Ledger()
        self.points: tuple[told.Point, ...] = ()
        self.window = ""
        self.rows = AT_ONCE
        self.trouble = ""
        self._times = 0
        """How often the ledger was read."""
        self._painted: tuple[int, ...] = ()
        """The width, the rows and the reading that the text was made for: opening a page resizes it and resumes it."""

    def body(self) -> ComposeResult:
        """Lay out the text."""
        with VerticalScroll(id="text"):
            yield Static(id="told", classes="block")

    def on_mount(self) -> None:
        """Let the arrows scroll."""
        self.query_one("#text").focus()

    def on_screen_resume(self) -> None:
        """Show what has changed while another page was open."""
        self.show()

    def on_resize(self) -> None:
        """Lay out anew for the width."""
        self._paint()

    def show(self) -> None:
        """Read the ledger again, and paint."""
        self.trouble = ""
        self._times += 1
        try:
            self.ledger = self.session.ledger(self.engine.name)
            self.points = told.points(self.ledger)
            heads = self.session.offered_window(self.engine.name).ranges()
            self.window = f"{heads}Window: {self.session.window(self.engine.name).says()}."
        except DiagnoseError as error:
            self.trouble = str(error)
        self._paint()
        self.refresh_bindings()

    def _paint(self) -> None:
        made_of = (self.size.width, self.rows, self._times)
        if made_of == self._painted or not self.size.width:
            return
        self._painted = made_of
        width = self.size.width - 6
        narrow = self.size.width < NARROW
        shown = [hung("! ", self.trouble, width, "bold $error"), Content("")] if self.trouble else []
        if not self.ledger.now:
            shown += [hung("", NOTHING, width), Content("")]
        else:
            shown += self._words(width) if narrow else []
            shown += [plain(row, "$primary") for row in self._faces(width, words=not narrow)]
            shown += [Content(""), hung("", LEGEND, width, "$secondary"), Content("")]
        shown += [hung("· ", one, width) for one in told.stands(self.ledger, self.engine.variant.needles)]
        shown += [hung("· ", self.window, width)] if self.window else []
        shown += self._drift(width)
        shown += self._entries(width)
        self.query_one("#told", Static).update(lines(shown))

    @property
    def _screws(self) -> tuple[Screw, ...]:
        return told.screws(self.engine.variant.needles)

    def _words(self, width: int) -> list[Content]:
        said = [hung(f"{capital(s)}: ", told.standing(self.ledger, s), width) for s in self._screws]
        return [*said, Content("")]

    def _faces(self, width: int, *, words: bool) -> list[str]:
        block = max((width + len(GAP)) // FACES - len(GAP), WIDTH) if words else WIDTH
        return side_by_side([self._block(screw, block, words=words) for screw in self._screws], width, GAP)

    def _block(self, screw: Screw, width: int, *, words: bool) -> list[str]:
        """Return the lines of one screw: its name, its face, and below it in words where it stands and stood."""
        now, good, baseline = told.stand(self.ledger, screw)
        marks = [Mark(one.hours, sign) for one, sign in ((good, GOOD), (baseline, BASELINE)) if one]
        face = dial(now.hours if now else None, marks if now else ())
        block = [capital(screw).center(WIDTH), *face]
        if words:
            below = [told.now(self.ledger, screw)]
            below += [f"{sign} {told.short(one)}" for one, sign in ((good, GOOD), (baseline, BASELINE)) if one]
            block += [line for said in below for line in hung("", said, width).plain.split("\n")]
        return [line.ljust(width) for line in block]

    def _drift(self, width: int) -> list[Content]:
        drawn = plot.drift(self.points, width, day)
        if not drawn:
            return []
        return [Content(""), hung("", PLOT, width, HEADING), *(plain(row) for row in drawn)]

    def _entries(self, width: int) -> list[Content]:
        shown = [Content(""), plain("what was done, newest first", HEADING)]
        for entry in reversed(self.ledger.entries[-self.rows :]):
            said = " · ".join(filter(None, told.line(entry)))
            shown.append(hung(f"{day(entry.at)} {clock(entry.at)}  ", said, width))
        if not self.ledger.entries:
            shown.append(plain("nothing yet", "$secondary"))
        if older := max(len(self.ledger.entries) - self.rows, 0):
            shown.append(plain(f"and {older} older", "$secondary"))
        return shown

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002 - Textual's
        """Offer a key only where it does something."""
        if action == "more":
            return len(self.ledger.entries) > self.rows
        if action == "back":
            return self.ledger.record is not None
        return action not in ("good", "turned", "slope") or bool(self.ledger.entries)

    # keys

    def action_more(self) -> None:
        """Show more of the ledger."""
        self.rows += AT_ONCE
        self._paint()
        self.refresh_bindings()

    def action_record(self) -> None:
        """Record where the screws stand."""
        from diagnose.screens.setting import SettingForm

        self._ask(SettingForm(self.engine, self.ledger))

    def action_turned(self) -> None:
        """Record an adjustment that was made by hand."""
        from diagnose.screens.turned import TurnedForm

        self._ask(TurnedForm(self.engine))

    def action_good(self) -> None:
        """Mark the tune as good."""
        from diagnose.screens.good import GoodTune

        self._ask(GoodTune(self.engine, self.ledger))

    def action_back(self) -> None:
        """Go back to the record."""
        from diagnose.screens.go_back import GoBack

        self._ask(GoBack(self.engine, self.ledger))

    def _ask(self, page: Screen[Entry]) -> None:
        """Open a page that comes to an entry of the ledger, and have that stored."""
        self.main.push_screen(page, self._write)

    def _write(self, entry: Entry | None) -> None:
        if entry is not None:
            self.post_message(Entered(self.engine.name, entry, self.show))

    def action_day(self) -> None:
        """Open the day and the fuel."""
        self.main.open_day(self.engine)

    def action_card(self) -> None:
        """Open the well card."""
        self.main.open_card(self.engine)

    def action_heat(self) -> None:
        """Say what is behind a reading of the head."""
        from diagnose.screens.heat import HeadReading

        self.main.push_screen(HeadReading(self.engine))

    def action_window(self) -> None:
        """Open the window of head temperatures in which a screw is turned."""
        from diagnose.screens.own_window import OwnWindow

        self.main.push_screen(OwnWindow(self.engine))

    def action_slope(self) -> None:
        """Open the engine's own slope."""
        from diagnose.screens.slope import OwnSlope

        self.main.push_screen(OwnSlope(self.engine))

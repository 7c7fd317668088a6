"""Home: what is it doing? Symptoms by when it happens, a search, and the open outing first."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from diagnose.graph.model import Symptom
from diagnose.graph.say import say
from diagnose.graph.wording import clean
from diagnose.pages import home as page
from diagnose.pages.home import PAGE_OF
from diagnose.pages.seen import SEEN, SEEN_OPTION
from diagnose.pages.stuck import waits
from diagnose.reason.carry import Outing
from diagnose.reason.events import Parked
from diagnose.reason.seen import findings
from diagnose.record.unread import Unread
from diagnose.screens.at_hand import AtHand
from diagnose.screens.messages import Closed, Picked, Resumed, Saw
from diagnose.screens.searching import SearchScreen
from diagnose.screens.widgets.field import SearchField
from diagnose.screens.widgets.text import FAINT, hung, lines, plain

if TYPE_CHECKING:
    from diagnose.graph.seek import Seeker

OFFERED = 3
"""How many open outings are offered."""

MOST_LOOKS = 4
"""How many looks are offered that show what is sought."""

NAME_WIDTH = 36
ROOM = 9
"""Columns of the window that a line of the list can't have."""


class Home(SearchScreen[None]):
    """Lists what can be chosen; says what was."""

    heading = page.HEADING
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "leave", "back", show=False),
        Binding("f9", "want('lead', 'first day')", "first day"),
        Binding("f3", "want('tune', 'needles')", "needles"),
        Binding("f6", "want('practise', 'table')", "practice"),
        Binding("f10", "want('walk', 'cars')", "cars"),
        Binding("f2", "want('tune', 'engines')", "engines"),
        Binding("f4", "want('tune', 'day')", "day"),
        Binding("f5", "want('read', 'cautions')", "cautions"),
        Binding("f7", "close", "close an open walk"),
        Binding("f8", "app.light", "light or dark"),
    ]
    in_short = {"f7": "close a walk", "f8": "light"}

    stays = True

    def __init__(self, at: AtHand) -> None:
        super().__init__(at, id="_default")
        self.unfinished: list[Outing] = []
        self.unread: list[Unread] = []
        self.walked = False
        """There are walks to look back at: an open one may be noted of, or deleted."""
        self._painted_for = 0

    def body(self) -> ComposeResult:
        """Lay out the search, the list, and what the marked symptom is like."""
        yield Static(id="engine")
        yield SearchField(page.SEARCH)
        yield OptionList(id="list", markup=False)
        yield Static(id="about")

    def on_mount(self) -> None:
        """Let the list have the keys."""
        self.query_one(OptionList).focus()

    def on_screen_resume(self) -> None:
        """Show what has changed while another screen was open."""
        self.show()

    def on_resize(self) -> None:
        """Lay out anew for another width."""
        if self.app.size.width != self._painted_for:
            self._paint()

    def show(self) -> None:
        """Look for open walks again, and paint."""
        left, unread = self.session.left()
        self.unfinished, self.unread = left[:OFFERED], unread[:OFFERED]
        self.walked = bool(self.session.rows())
        self._paint()
        listed = self.query_one(OptionList)
        if listed.highlighted is None:
            listed.action_first()  # so that Enter does something from the start

    def _paint(self) -> None:
        self._painted_for = width = self.app.size.width  # the screen's own is not known when it is first painted
        self.about = engine = self.at.engine
        told = [plain("engine: " + (f"{engine.name}, {engine.variant.says()}" if engine else "none yet"), "$secondary")]
        if fewer := self.session.knowledge.fewer:
            told.append(hung("! ", page.fewer(fewer), width - 4))
        self.query_one("#engine", Static).update(lines(told))
        listed = self.query_one(OptionList)
        marked = listed.highlighted
        listed.set_options(self._options(self.query_one(Input).value))
        if marked is not None and marked < listed.option_count:
            listed.highlighted = marked
        self.refresh_bindings()

    @cached_property
    def _seeker(self) -> Seeker:
        from diagnose.graph.seek import seeker  # with what compares words: no first page waits for it

        return seeker(self.session.knowledge, "symptoms")

    def _options(self, sought: str) -> list[Option]:
        groups = page.by_when(self.session.knowledge)
        if len(sought.strip()) > 1:  # one letter says nothing yet
            known = self.session.knowledge.symptoms
            found = [self._option(one.id, known[one.id]) for one in self._seeker.find(sought)]
            looks = self._looks(sought)
            return [*found, *looks] or [Option(Content(page.NOTHING), disabled=True)]
        options = self._open()
        for when, symptoms in groups:
            options.append(Option(Content.styled(when, "bold $primary"), disabled=True))
            options.extend(self._option(key, one) for key, one in symptoms)
        options.append(Option(Content.styled(SEEN, "bold $primary"), disabled=True))
        options.append(Option(Content(f"  {SEEN_OPTION}"), id="saw/"))
        if self.about is not None:
            options.append(Option(Content.styled(clean(self.about.name), "bold $primary"), disabled=True))
            options.append(Option(hung("  ", PAGE_OF, self._painted_for - ROOM), id="car/"))
        if self.walked:
            options.append(Option(Content.styled(page.WALKS, "bold $primary"), disabled=True))
            options.append(Option(Content(f"  {page.LOOK_BACK}"), id="walks/"))
        return options

    @cached_property
    def _look_seeker(self) -> Seeker:
        from diagnose.graph.seek import seeker

        return seeker(self.session.knowledge, "looks")

    def _looks(self, sought: str) -> list[Option]:
        """Return the looks that show what is sought, below a heading."""
        known = self.session.knowledge.checks
        found = [one.id for one in self._look_seeker.find(sought) if findings(known[one.id])][:MOST_LOOKS]
        heading = [Option(Content.styled(SEEN, "bold $primary"), disabled=True)] if found else []
        width = self._painted_for - ROOM
        return [*heading, *(Option(hung("  ", clean(known[one].name), width), id=f"saw/{one}") for one in found)]

    def _option(self, key: str, symptom: Symptom) -> Option:
        return Option(self._line(symptom), id=f"new/{key}")

    def _open(self) -> list[Option]:
        shown = []
        for outing in self.unfinished:
            view, narrow = outing.walk.view(self.session.clock()), self._painted_for < NAME_WIDTH * 2
            last = outing.walk.events[-1]
            waiting = waits(last.needs) if isinstance(last, Parked) else ""
            told = clean(page.open_walk(view, outing.last_at, narrow=narrow, waiting=waiting))
            if narrow:
                shown.append(Option(hung("→ ", told, self._painted_for - ROOM), id=f"open/{outing.id}"))
            else:
                shown.append(Option(Content.assemble((f"→ {page.GO_ON}", "bold"), told), id=f"open/{outing.id}"))
        shown += [Option(plain(f"! {page.unread(one)}", "bold"), id=f"kept/{one.id}") for one in self.unread]
        return [Option(Content.styled(page.NOT_FINISHED, "bold $primary"), disabled=True), *shown] if shown else []

    def _line(self, symptom: Symptom) -> Content:
        name = clean(symptom.name)
        if self._painted_for < NAME_WIDTH * 2:
            return hung("  ", name, self._painted_for - ROOM)
        does = clean(say(symptom.does, self.session.knowledge))
        return Content.assemble(f"  {name.ljust(NAME_WIDTH)} ", (does, FAINT))

    def on_input_changed(self) -> None:
        """Search as it is typed."""
        self.query_one(OptionList).highlighted = None
        self._paint()
        self.query_one(OptionList).action_first()  # so that Enter does something, whatever was sought

    def action_list(self) -> None:
        """Go on to the first of the list."""
        listed = self.query_one(OptionList)
        listed.focus()
        listed.action_first()

    def action_leave(self) -> None:
        """Drop the search: this is the first screen."""
        self.query_one(Input).clear()
        self.query_one(OptionList).focus()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Say what the marked symptom is like."""
        kind, _, name = (event.option.id or "").partition("/")
        told = Content("")
        if kind == "new":
            symptom, known = self.session.knowledge.symptoms[name], self.session.knowledge
            told = hung(
                "", " ".join(say(one, known) for one in (symptom.does, symptom.sounds) if one), self._painted_for - 4
            )
        elif kind == "kept":
            told = hung("", f"{self._kept(name)} Press F7 to take it off this list.", self._painted_for - 4)
        self.query_one("#about", Static).update(told)
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:  # noqa: ARG002 - Textual's
        """Offer to close only an open walk that is marked, or one that can't be shown."""
        return action != "close" or self._marked_open() is not None

    def _marked_open(self) -> Closed | None:
        if not self.is_mounted:
            return None
        marked = self.query_one(OptionList).highlighted_option
        kind, _, name = ((marked.id if marked else None) or "").partition("/")
        return Closed(name, unread=kind == "kept") if kind in ("open", "kept") else None

    def _kept(self, name: str) -> str:
        return next(kept.told for kept in self.unread if kept.id == name)

    def stored(self) -> None:
        """Show that a walk was closed: another line is marked now."""
        self.show()
        self.turned()

    def action_close(self) -> None:
        """Stop the open walk that is marked."""
        if (closed := self._marked_open()) is not None:
            self.say(closed)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Begin a walk, or go on with one."""
        kind, _, name = (event.option.id or "").partition("/")
        if kind == "kept":
            self.notify(self._kept(name), markup=False)
            return
        if kind == "car":
            self.action_want("car", "page")
            return
        if kind == "walks":
            self.action_want("outings", "list")
            return
        if kind == "saw":
            self.say(Saw(name))
            return
        if self.query_one(Input).value:
            self.action_leave()  # what was sought is found: the list is whole again when one comes back
        self.say(Resumed(name) if kind == "open" else Picked(name))

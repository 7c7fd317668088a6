"""The answers to one question: by number, by arrow and Enter, or by tap. It knows nothing of walks.

Where a number is asked for, digits are typed, and choose no answer.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from textual.binding import Binding
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from diagnose.reason.view import Choice
from diagnose.screens.widgets.picked_by import numbered
from diagnose.screens.widgets.text import FAINT, hung, lines, tall

NO_DIGIT = "→"
"""Stands before each choice where digits are typed into a field."""
PAD = 4
"""Cells that the padding and the scrollbar take."""


class Rows(NamedTuple):
    """How many rows choices take in a list."""

    said: int
    """Without what they mean."""
    told: int
    """With what each means."""
    marked: int
    """With what one of them means."""
    one: int
    """The longest of them, with what it means."""


def rows(choices: Collection[Choice], width: int) -> Rows:
    """Return how many rows the choices take in a list of `width` columns."""
    width -= PAD
    says = [tall(one.say, width, "1  ") for one in choices]
    means = [tall(one.means, width, "   ") if one.means else 0 for one in choices]
    one = max(map(sum, zip(says, means, strict=True)), default=0)
    return Rows(sum(says), sum(says + means), sum(says) + max(means, default=0), one)


def _line(digit: str, choice: Choice, width: int, *, roomy: bool) -> Content:
    said = hung(f"{digit}  ", choice.say, width).stylize("bold", 0, len(digit))
    if not (roomy and choice.means):
        return said
    return lines([said, hung("   ", choice.means, width, FAINT)])


class Choices(OptionList):
    """Shows choices, and posts `Chosen`. Nothing is marked at first, so that a stray Enter answers nothing.

    The one that is marked always says what it means.
    """

    BINDINGS = [
        Binding("pagedown,space", "screen.read_on(1)", "read on", show=False),
        Binding("pageup", "screen.read_on(-1)", "read back", show=False),
    ]

    class Chosen(Message):
        """A choice was made."""

        def __init__(self, choice: str) -> None:
            super().__init__()
            self.choice = choice

    def __init__(
        self,
        choices: Sequence[Choice] = (),
        *,
        sign: str = "",
        id: str | None = None,  # noqa: A002 - Textual's name
    ) -> None:
        super().__init__(id=id, markup=False)
        self.set_reactive(Choices.auto_links, False)  # a tap on a line chooses it
        self._keys = numbered(choices)
        self._shown = self._keys
        """Those that the list shows."""
        self._sign = sign
        """Stands before each choice in the place of a digit; then no digit chooses."""
        self._typing = False
        """A field has the keys: digits are typed into it, and choose nothing."""
        self._roomy = True
        self._told: int | None = None
        """The number of the choice that is marked."""
        self._broken_for = 0
        """The width that the lines were broken for."""

    def show(
        self,
        choices: Iterable[Choice],
        *,
        roomy: bool = True,
        width: int = 0,
        sign: str = "",
        beside: Collection[str] = (),
    ) -> None:
        """Show these choices; `roomy` says what each means below it. `width` in columns, where it is known already.

        With a `sign`, that stands before each of them, and no digit chooses. Those `beside` it are shown elsewhere.
        """
        self._keys, width = numbered(choices), width or self.size.width
        shown = [(digit, one) for digit, one in self._keys if one.id not in beside]
        now = (shown, roomy, width, sign)
        if now != (self._shown, self._roomy, self._broken_for, self._sign) or not self.option_count:
            self._shown, self._roomy, self._broken_for, self._sign = now
            self._paint()

    def on_mount(self) -> None:
        """Show the choices that it was made with, and follow who has the keys."""
        self._paint()
        self.watch(self.screen, "focused", self._follow)

    def _follow(self) -> None:
        """Show digits only while they choose."""
        typing = isinstance(self.screen.focused, Input)
        if typing != self._typing:
            self._typing = typing
            self._paint()

    def on_resize(self) -> None:
        """Break the lines anew, once the width has settled; a new height alone breaks none."""
        if self.size.width != self._broken_for:
            self._broken_for = self.size.width
            self.call_after_refresh(self._paint)

    def _paint(self) -> None:
        marked = self.highlighted
        self._told = None
        self.set_options(Option(self._prompt(number)) for number in range(len(self._shown)))
        if marked is not None and marked < len(self._shown):
            self.highlighted = marked

    def _prompt(self, number: int) -> Content:
        """Return a choice as it is shown now."""
        (digit, one), width = self._shown[number], max(self._broken_for - PAD, 16)
        sign = self._sign or (NO_DIGIT if self._typing else digit)
        return _line(sign, one, width, roomy=self._roomy or number == self._told)

    def watch_highlighted(self, highlighted: int | None) -> None:
        """Say what the marked one means, before it is scrolled into sight."""
        before, self._told = self._told, highlighted
        for number in {before, highlighted}:
            if number is not None and number < self.option_count and self._shown[number][1].means and not self._roomy:
                self.replace_option_prompt_at_index(number, self._prompt(number))
                self.refresh(layout=self.styles.height is None or self.styles.height.is_auto)
        super().watch_highlighted(highlighted)

    def pick(self, digit: str) -> None:
        """Choose by number; a digit that stands for nothing does nothing."""
        for known, choice in self._keys:
            if known == digit and not self._sign:
                self.post_message(self.Chosen(choice.id))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Say what was chosen."""
        event.stop()
        self.post_message(self.Chosen(self._shown[event.option_index][1].id))

"""The keys of a screen, along its foot. Each can be tapped; none is ever cut off: the line breaks instead."""

from __future__ import annotations

from textual.binding import Binding
from textual.widgets import Static

from diagnose.screens.widgets.text import hints

TROUBLE = Binding("exclamation_mark", "screen.want('read', 'wrong')", "something is wrong", priority=True)
"""On every screen."""

LEAVE = Binding("ctrl+q", "app.quit", "leave")
"""What leaves while letters are being typed."""

MORE = Binding("plus", "screen.more_keys", "more keys", show=False)
FEWER = "fewer"
IN_SHORT = {MORE.key: "more"}
"""What is said for a key where there is little room; each page has its own words beside these."""
FOLDED = 2
"""Rows of the foot on a short screen; the keys for which there is no room then stand behind a key of their own."""


class Keys(Static):
    """Shows the bindings of the screen that it is on."""

    def __init__(self) -> None:
        super().__init__(id="keys")
        self._hints: list[tuple[str, str, str]] = []
        self._unfocused: list[Binding] = []
        """Those of a page in which nothing is typed. The foot is never lower than they are: a tap that takes the focus
        from a field would move what is tapped away from under the finger."""
        self._painted: tuple[list[tuple[str, str, str]], int] = ([], 0)
        self.unfolded = False
        """All keys are named, on a short screen too."""

    def on_mount(self) -> None:
        """Follow what can be done now. The page has not given the focus to a field yet."""
        self._unfocused = self._found()
        self.screen.bindings_updated_signal.subscribe(self, lambda _: self.paint())
        self.call_after_refresh(self.paint)

    def paint(self) -> None:
        """Show the keys: what to do in trouble first, leaving last."""
        if self.is_attached:
            self._hints = self._told(*self._fit(self._found()))
            self._show()

    def _found(self) -> list[Binding]:
        shown = [
            found.binding for found in self.screen.active_bindings.values() if found.binding.show and found.enabled
        ]
        if getattr(self.screen, "takes_letters", False):
            shown = [one for one in shown if one.key != "q"]
        if all(binding.key != "q" for binding in shown):
            shown.append(LEAVE)  # a field takes the letters
        return sorted(shown, key=lambda one: (one.key != TROUBLE.key, one.description == LEAVE.description))

    def _fit(self, shown: list[Binding]) -> tuple[list[Binding], bool]:
        """Return the keys that are named, and whether in short.

        On a short screen they are said in short where they take too many rows; where that is not enough, the last of
        them are left out.
        """
        tight = getattr(self.screen, "tight", False)
        if not self.screen.has_class("-short") or self._rows(shown, tight) <= FOLDED:
            return shown, tight
        if self.unfolded:
            return [*shown, MORE], tight
        if self._rows(shown, True) <= FOLDED:
            return shown, True
        kept: list[Binding] = []
        leave = shown[-1]
        for one in shown[:-1]:
            if self._rows([*kept, one, leave, MORE], True) > FOLDED:
                break
            kept.append(one)
        return [*kept, leave, MORE], True

    def _told(self, shown: list[Binding], short: bool) -> list[tuple[str, str, str]]:
        words = IN_SHORT | getattr(self.screen, "in_short", {}) if short else {}
        if self.unfolded:
            words = words | {MORE.key: FEWER}
        return [
            (self.app.get_key_display(one), words.get(one.key, one.description), f"app.simulate_key('{one.key}')")
            for one in shown
        ]

    def _rows(self, shown: list[Binding], short: bool) -> int:
        return hints(self._told(shown, short), self._wide).plain.count("\n") + 1

    @property
    def _wide(self) -> int:
        """The columns of the foot: before the first layout, those that it will have."""
        return self.size.width or self.app.size.width - self.styles.gutter.width

    def fold(self) -> None:
        """Name all keys, or only those for which there is room."""
        self.unfolded = not self.unfolded
        self.paint()

    def on_resize(self) -> None:
        """Break the lines anew, once another width has settled: an update in between would keep the old height."""
        if self._wide != self._painted[1]:
            self.call_after_refresh(self.paint)

    def _show(self) -> None:
        """Put the hints up if anything changed: an update lays out the whole screen."""
        if (self._hints, self._wide) != self._painted:
            self._painted = self._hints, self._wide
            self.styles.min_height = self._rows(*self._fit(self._unfocused)) if self._unfocused else 0
            self.update(hints(*self._painted), layout=False)
            self.call_later(self.refresh, layout=True)  # asked for within a layout, it would be lost

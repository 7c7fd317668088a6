"""A column of text that scrolls, and draws only those of its lines that have changed."""

from __future__ import annotations

from itertools import zip_longest

from textual.content import Content
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.selection import Selection
from textual.strip import Strip
from textual.style import Style
from textual.visual import Visual

from diagnose.screens.widgets.text import plain, tap

MORE = "▼ more: space"
"""Stands in the last row in sight while there is more below it."""


class Column(ScrollView):
    """Shows lines that are broken for its width already."""

    def __init__(self, *, id: str | None = None, says_more: bool = False) -> None:  # noqa: A002 - Textual's name
        super().__init__(id=id)
        self.set_reactive(Column.auto_links, False)  # to find their style for each line takes longer than to draw it
        self._lines: list[Content] = []
        self.says_more = says_more

    def show(self, content: Content) -> None:
        """Show the lines of `content`."""
        before, self._lines = self._lines, content.split("\n", allow_blank=True)
        changed = [
            y
            for y, (old, new) in enumerate(zip_longest(before, self._lines))
            if old is None or new is None or (old.plain, old.spans) != (new.plain, new.spans)
        ]
        if changed:
            self.refresh_lines(changed[0], changed[-1] + 1 - changed[0])
        if len(before) != len(self._lines):
            if self.says_more:
                self.refresh_lines(self.scroll_offset.y + self.size.height - 1)  # there may be more below, or no more
            self.set_reactive(Column.virtual_size, Size(0, len(self._lines)))  # set as usual, it draws every line anew
            self.refresh(layout=True, repaint=False)

    def render_line(self, y: int) -> Strip:
        """Draw the line in row `y` of what is in sight."""
        at = y + self.scroll_offset.y
        width = self.size.width
        if at >= len(self._lines) or not width:  # on the way to a smaller window there may be no room for a column
            return Strip.blank(width, self.visual_style.rich_style)
        more = self.says_more and y == self.size.height - 1 and at < len(self._lines) - 1
        line = tap(plain(MORE, "bold $primary"), "screen.read_on(1)") if more else self._marked(self._lines[at], at)
        strips = Visual.to_strips(self, line, width, 1, self.visual_style, apply_selection=False, pad=True)
        return strips[0].apply_offsets(0, at)

    def _marked(self, line: Content, at: int) -> Content:
        """Mark what is selected with the mouse."""
        selection = self.text_selection
        span = None if selection is None else selection.get_span(at)
        if span is None:
            return line
        start, end = span
        marked = Style.from_styles(self.screen.get_component_styles("screen--selection"))
        return line.stylize(marked, start, None if end == -1 else end)

    def get_selection(self, selection: Selection) -> tuple[str, str]:
        """Return the selected text, and what ends it."""
        return selection.extract("\n".join(line.plain for line in self._lines)), "\n"

"""A column of text: it draws what changed, scrolls, and what is marked in it can be copied."""

from __future__ import annotations

from textual.app import App, ComposeResult
from textual.content import Content
from textual.geometry import Offset
from textual.selection import Selection
from textual.strip import Strip

from diagnose.screens.widgets.column import Column


class Drawn(Column):
    """Notes which rows it is asked to draw."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[int] = []

    def render_line(self, y: int) -> Strip:
        self.rows.append(y)
        return super().render_line(y)


class Paper(App[None]):
    CSS = "Column { width: 20; height: 6; overflow: hidden auto; scrollbar-size-vertical: 1; }"

    def compose(self) -> ComposeResult:
        yield Drawn()


def lines(*said: str) -> Content:
    return Content("\n".join(said))


async def test_only_the_lines_that_changed_are_drawn() -> None:
    async with Paper().run_test() as pilot:
        column = pilot.app.query_one(Drawn)
        column.show(lines("one", "two", "three"))
        await pilot.pause()
        column.rows.clear()
        column.show(lines("one", "other", "three", "four"))
        await pilot.pause()
        assert sorted(set(column.rows)) == [1, 2, 3]
        assert [column.render_line(y).text.rstrip() for y in range(5)] == ["one", "other", "three", "four", ""]


async def test_the_same_words_in_another_style_are_a_change() -> None:
    async with Paper().run_test() as pilot:
        column = pilot.app.query_one(Drawn)
        column.show(lines("one", "two"))
        await pilot.pause()
        column.rows.clear()
        column.show(Content.assemble("one\n", ("two", "bold")))
        await pilot.pause()
        assert set(column.rows) == {1}


async def test_what_does_not_fit_scrolls() -> None:
    async with Paper().run_test() as pilot:
        column = pilot.app.query_one(Drawn)
        column.show(lines(*map(str, range(6))))
        await pilot.pause()
        assert not column.show_vertical_scrollbar
        column.show(lines(*map(str, range(20))))
        await pilot.pause()
        assert column.show_vertical_scrollbar
        column.scroll_to(y=14, animate=False)
        await pilot.pause()
        assert [column.render_line(y).text.rstrip() for y in range(6)] == ["14", "15", "16", "17", "18", "19"]
        column.show(lines("short again"))
        await pilot.pause()
        assert (column.scroll_offset.y, column.show_vertical_scrollbar) == (0, False)


async def test_what_is_marked_with_the_mouse_is_seen_and_can_be_copied() -> None:
    async with Paper().run_test() as pilot:
        column = pilot.app.query_one(Drawn)
        column.show(lines("leave the needles", "look at the filter", "then the line"))
        await pilot.pause()
        plain = column.render_line(1)
        pilot.app.screen.selections = {column: Selection(Offset(6, 0), Offset(4, 1))}
        await pilot.pause()
        assert pilot.app.screen.get_selected_text() == "the needles\nlook"
        assert column.render_line(1).text == plain.text
        assert [one.style for one in column.render_line(1)] != [one.style for one in plain]
        assert [one.text for one in column.render_line(0)][:2] == ["leave ", "the needles"]

"""The foot: on a small screen it says its keys in short, and names those first that are needed most."""

from __future__ import annotations

import pytest
from screens.hands import MEDIUM, NARROW, Hand, Make, begun, page, press
from screens.tuned import tuned

from diagnose.screens.widgets.keys import Keys

LOW_AND_TALL = (100, 30)
"""Too narrow for the columns beside a step, and tall enough that the foot names everything in full."""


def foot(pilot: Hand) -> list[str]:
    """Return the keys that the foot names."""
    told = str(pilot.app.screen.query_one(Keys).render()).replace("\n", "  ")
    return [one.split()[0] for one in told.split("  ") if one]


def offered(pilot: Hand) -> set[str]:
    """Return all keys that do something here, and are not kept to themselves."""
    bound = pilot.app.screen.active_bindings.values()
    return {pilot.app.get_key_display(one.binding) for one in bound if one.binding.show and one.enabled}


@pytest.mark.parametrize(("keys", "name"), [(("f3",), "Needles"), (("f3", "e"), "CarPage"), (("f2",), "Engines")])
async def test_the_pages_of_a_car_name_all_their_keys(make: Make, keys: tuple[str, ...], name: str) -> None:
    async with tuned(make()).run_test(size=MEDIUM) as pilot:
        await press(pilot, *keys)
        assert page(pilot) == name
        assert set(foot(pilot)) == offered(pilot)
        assert pilot.app.screen.query_one(Keys).size.height == 2


async def test_where_there_is_no_room_the_first_ones_are_named_and_the_rest_by_one_key(make: Make) -> None:
    async with make("revs-hang").run_test(size=NARROW) as pilot:
        await begun(pilot)
        assert foot(pilot) == ["!", "esc", "b", "u", "w", "q", "+"]
        await press(pilot, "plus")
        assert set(foot(pilot)) == offered(pilot) | {"+"}
        await press(pilot, "plus")
        assert foot(pilot)[-1] == "+"
        assert len(foot(pilot)) == 7


async def test_the_foot_knows_its_rows_before_it_is_laid_out(make: Make) -> None:
    """A page shares its rows out by them: a foot of a key a row, as at no width, would leave the answers one."""
    async with make("revs-hang").run_test(size=LOW_AND_TALL) as pilot:
        await begun(pilot)
        keys = pilot.app.screen.query_one(Keys)
        rows = keys.size.height
        keys.styles.display = "none"
        await pilot.pause()
        assert keys.size.width == 0
        keys.paint()
        assert rows == keys.styles.min_height.value == 3  # type: ignore[union-attr]

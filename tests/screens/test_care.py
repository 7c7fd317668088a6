"""What must hold on every page: trouble comes first, cautions come before answers, and nothing breaks it."""

from __future__ import annotations

import msgspec
import pytest
from graph.knowledge_files import FILES
from screens.conftest import FACTS
from screens.hands import MEDIUM, NARROW, SIZES, Make, app, begun, colours, go_on, page, press, seen, step, until, walk
from screens.test_looks import HOME, WALK

from diagnose.folders import home
from diagnose.graph.model import Knowledge
from diagnose.graph.read import read
from diagnose.record.engines import Engine
from diagnose.record.journal import JournalError
from diagnose.screens.app import NeedlesLast

HOSTILE = "[/x] [b]bold[/b] \x1b[31mred\x07 \u202egnirts\u2066 日本 'it's' $primary @click"


@pytest.mark.parametrize("name", [*HOME, *WALK])
async def test_the_key_for_trouble_works_on_every_page(make: Make, name: str) -> None:
    async with make("revs-hang" if name in WALK else "").run_test(size=NARROW) as pilot:
        await (HOME | WALK)[name](pilot)
        await pilot.pause()
        assert "! something is wrong" in seen(pilot)
        before = page(pilot)
        await press(pilot, "exclamation_mark")
        assert "which is it?" in seen(pilot)
        assert "Hold the burn under cool running" not in seen(pilot)
        await press(pilot, "1")
        assert "do this now" in seen(pilot)
        assert "Hold the burn under cool running" in seen(pilot)
        await press(pilot, "1")
        assert "which is it?" in seen(pilot)
        await press(pilot, "escape")
        assert before == "Wrong" or page(pilot) == before


@pytest.mark.parametrize("size", SIZES)
async def test_the_worst_that_is_new_is_read_in_full_before_its_step_and_one_hazard_stands_in_it(
    make: Make, shipped: Knowledge, size: tuple[int, int]
) -> None:
    async with make("revs-hang", knowledge=shipped).run_test(size=size) as pilot:
        read, asked = 0, False
        for _ in range(30):
            if page(pilot) == "End":
                break
            read += page(pilot) == "Beware"
            if page(pilot) == "Bench":
                assert read <= (1 if asked else 2)  # before the first step the complaint's comes too
                asked = True
                read = 0
                for name in shipped.worst_first(step(pilot).cautions)[:1]:
                    assert shipped.cautions[name].name.split()[0] in seen(pilot)
            await go_on(pilot)
        assert len(app(pilot).session.told) > 3


async def test_what_can_run_away_opens_with_stopping_it_every_time(make: Make) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await press(pilot, "enter", "escape", "enter")
        assert "Is it running now? Stop it." in seen(pilot)
        await press(pilot, "0")
        assert page(pilot) == "Beware"


@pytest.mark.parametrize("size", [(20, 5), (29, 24), (80, 6), (1, 1)])
async def test_a_window_that_is_too_small_says_so_and_does_not_crash(make: Make, size: tuple[int, int]) -> None:
    async with make("revs-hang").run_test(size=size) as pilot:
        await press(pilot, "enter", "n", "1", "w", "exclamation_mark", "escape", "t")
        if size[0] >= 20:
            assert "Make the window" in seen(pilot)
        await pilot.resize_terminal(*MEDIUM)
        await pilot.pause()
        assert page(pilot) == "Beware"  # nothing was answered unseen
        await begun(pilot)
        await press(pilot, "b")
        assert "what it could be" in seen(pilot)


async def test_a_page_below_another_follows_the_size_of_the_window(make: Make) -> None:
    async with make("revs-hang").run_test(size=(120, 36)) as pilot:
        await begun(pilot)
        await press(pilot, "w")
        await pilot.resize_terminal(*NARROW)
        await press(pilot, "escape")
        narrow = seen(pilot)
        assert "so far" not in narrow
        await press(pilot, "w")
        await pilot.resize_terminal(120, 36)
        await press(pilot, "escape")
        assert "so far" in seen(pilot)
        assert "what it could be" in seen(pilot)


async def test_without_colour_everything_is_still_said(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        await until(pilot, "prepare")
        await press(pilot, "b", "end")
        assert "├ ✓ tank pressure" in seen(pilot)
        await press(pilot, "escape")
        drawn = colours(pilot)
        assert drawn
        assert all(max(colour) - min(colour) < 3 for colour in drawn)


async def test_both_themes_use_no_terminal_colours(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        assert app(pilot).theme == "day"
        await press(pilot, "f8")
        assert app(pilot).theme == "night"
        assert not app(pilot).current_theme.ansi


def hostile(text: str) -> Knowledge:
    """Return the small knowledge with a text put into every name and text of it."""
    small = read({**FILES, "facts.yaml": FILES["facts.yaml"] + FACTS}).knowledge
    replace = msgspec.structs.replace
    cautions = {key: replace(one, name=text, say=text, now=(text,)) for key, one in small.cautions.items()}
    checks = {
        key: replace(
            one,
            name=text,
            ask=text,
            how=(text,),
            why=text,
            misleads=text,
            tools=(text,),
            answers={name: replace(answer, say=text, means=text) for name, answer in one.answers.items()},
        )
        for key, one in small.checks.items()
    }
    return replace(
        small,
        symptoms={key: replace(one, name=text, does=text, sounds=text) for key, one in small.symptoms.items()},
        checks=checks,
        faults={key: replace(one, name=text, what=text) for key, one in small.faults.items()},
        cautions=cautions,
        words={text[:40]: replace(one, say=text, also=(text,)) for one in small.words.values()},
        history={key: replace(one, ask=text) for key, one in small.history.items()},
        drawings={key: replace(one, picture=text, words=text) for key, one in small.drawings.items()},
        fewer=(text,),
    )


@pytest.mark.parametrize("text", [HOSTILE, "x" * 10_000, "a b " * 2_500, "\n\n\t", "\u200f\u200d"], ids=str.__len__)
@pytest.mark.parametrize("size", SIZES)
async def test_no_text_of_the_knowledge_breaks_a_page(make: Make, text: str, size: tuple[int, int]) -> None:
    async with make("revs-hang", knowledge=hostile(text)).run_test(size=size, notifications=True) as pilot:
        await begun(pilot)
        for key in ("w", "i", "t", "a", "u", "c", "exclamation_mark", "question_mark"):
            await press(pilot, key)
            assert not {"\x1b", "\x07", "\u202e", "\u2066", "\u200f"} & set(seen(pilot))
            await press(pilot, "escape")
        assert page(pilot) == "Bench"
        for _ in range(6):
            if page(pilot) in ("Bench", "Beware"):
                await go_on(pilot)
        await press(pilot, "escape", "escape")


async def test_every_page_says_a_number_in_the_place_of_its_fact(make: Make) -> None:
    quoting, replace = hostile("wait <hold-seconds> here"), msgspec.structs.replace
    names: dict[str, dict[str, object]] = {
        kind: {name: replace(one, name=name) for name, one in getattr(quoting, kind).items()}
        for kind in ("symptoms", "faults", "cautions")
    }
    names["checks"] = {name: replace(one, name=name, tools=()) for name, one in quoting.checks.items()}
    names["words"] = {"lean": replace(next(iter(quoting.words.values())), also=())}
    names["drawings"] = {name: replace(one, picture="-" * 100) for name, one in quoting.drawings.items()}
    known = replace(quoting, **names, fewer=())
    async with make("revs-hang", knowledge=known).run_test(size=NARROW) as pilot:
        shown = [seen(pilot)]
        await begun(pilot)
        while page(pilot) != "Bench" or step(pilot).where != "tank":
            await go_on(pilot)  # past the guards, to the check that has a drawing
        shown.append(seen(pilot))
        await press(pilot, "pagedown")
        shown.append(seen(pilot))
        for key in ("w", "i", "t", "a", "u", "c", "exclamation_mark", "question_mark"):
            await press(pilot, key)
            shown.append(seen(pilot))
            await press(pilot, "escape")
        assert not [text for text in shown if "<hold-seconds>" in text]
        assert sum("10 to 15 s" in text for text in shown) > 5


async def test_markup_in_data_is_shown_as_it_is(make: Make) -> None:
    async with make("revs-hang", knowledge=hostile(HOSTILE)).run_test(size=(160, 40)) as pilot:
        await begun(pilot)
        assert "[/x] [b]bold[/b] [31mred gnirts 日本 'it's' $primary @click" in seen(pilot)


@pytest.mark.parametrize("notes", [HOSTILE, "n" * 10_000])
async def test_an_engine_may_have_any_notes_and_a_name_with_brackets(make: Make, notes: str) -> None:
    made = make()
    made.session.add_engine(Engine("[/x] [b]日本[/b]", notes=notes))
    async with made.run_test(size=MEDIUM) as pilot:
        await press(pilot, "f2", "down")
        assert "[/x] [b]日本[/b]" in seen(pilot)
        await press(pilot, "enter")
        assert "engine: [/x] [b]日本[/b]" in seen(pilot)


async def test_a_name_that_can_not_be_shown_is_refused(make: Make) -> None:
    async with make().run_test(size=MEDIUM) as pilot:
        await press(pilot, "f2", "n")
        app(pilot).screen.query_one("#name").value = "\u202eevil"
        await press(pilot, "ctrl+s")
        assert "characters that can't be shown" in seen(pilot)


async def test_a_journal_that_can_not_be_opened_offers_to_go_on_without_saving(make: Make) -> None:
    made = make()
    made.trouble = "journal.sqlite3: the disk is full; make room and try again"
    async with made.run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        assert "the disk is full" in seen(pilot)
        await press(pilot, "1")
        assert page(pilot) == "Home"
        assert not made.session.journal.saved


async def test_leaving_is_offered_too(make: Make) -> None:
    made = make()
    made.trouble = "journal.sqlite3: this is not a journal"
    async with made.run_test(size=MEDIUM) as pilot:
        await press(pilot, "2")
    assert made.return_code == 1


async def test_when_saving_fails_half_way_nothing_that_was_answered_is_lost(
    make: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with make("revs-hang").run_test(size=MEDIUM) as pilot:
        await begun(pilot)
        before = walk(pilot).events

        def full(*_: object) -> int:
            raise JournalError("the disk is full; make room and try again")

        monkeypatch.setattr(app(pilot).session.journal, "append", full)
        await press(pilot, "1")
        assert "the disk is full" in seen(pilot)
        assert walk(pilot).events == before
        await press(pilot, "1")
        assert walk(pilot).events[:-1] == before
        if page(pilot) == "Beware":
            await press(pilot, "enter")
        assert "not saved" in seen(pilot)


def test_a_crash_shows_no_traceback_and_is_handed_on_for_the_log(
    make: Make, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    from diagnose.screens import app as module

    def broken(_: NeedlesLast) -> None:
        raise RuntimeError("a wheel came off")

    headless = NeedlesLast.run
    monkeypatch.setattr("diagnose.graph.load.load", lambda *_, **__: make().session.knowledge)
    monkeypatch.setattr(NeedlesLast, "on_ready", broken, raising=False)
    monkeypatch.setattr(NeedlesLast, "run", lambda self: headless(self, headless=True))
    with pytest.raises(RuntimeError, match="a wheel came off"):
        module.run()
    assert "Traceback" not in "".join(capfd.readouterr())


def test_a_journal_that_is_none_is_left_alone_and_said(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    from diagnose.screens import app as module

    home().mkdir(parents=True)
    (home() / "journal.sqlite3").write_text("my diary, quite another file")
    told: list[str] = []
    monkeypatch.setattr("diagnose.graph.load.load", lambda *_, **__: Knowledge())
    monkeypatch.setattr(NeedlesLast, "run", lambda self: told.append(self.trouble) or 0)
    assert module.run() == 0
    assert "this is not a journal" in told[0]
    assert (home() / "journal.sqlite3").read_text() == "my diary, quite another file"


async def test_home_says_when_added_files_look_for_less(make: Make, small: Knowledge) -> None:
    fewer = msgspec.structs.replace(small, fewer=("front seal leaks",))
    async with make(knowledge=fewer).run_test(size=MEDIUM) as pilot:
        await pilot.pause()
        assert "no longer looked for: front seal leaks" in seen(pilot)


async def test_memory_is_collected_while_the_person_reads(make: Make, monkeypatch: pytest.MonkeyPatch) -> None:
    collected: list[bool] = []
    monkeypatch.setattr("diagnose.screens.walking.PAUSE", 0.05)
    monkeypatch.setattr("gc.collect", lambda: collected.append(True))
    async with make("revs-hang").run_test() as pilot:
        await pilot.press("enter", "1", "1")
        await pilot.pause(0.3)
        assert collected

from __future__ import annotations

import pytest

from diagnose.graph.model import Fact, Knowledge, Variant, Word
from diagnose.graph.say import say, terms_in


def fact(unit, value=None, span=None):
    return Fact(unit=unit, provenance="from memory", value=value, range=span)


@pytest.mark.parametrize(
    ("known", "words"),
    [
        (fact("°C", 121.1), "121 °C (250 °F)"),
        (fact("°F", 250), "121 °C (250 °F)"),
        (fact("°F", span=(180, 220)), "82 to 104 °C (180 to 220 °F)"),
        (fact("°C", -0.2), "0 °C (32 °F)"),
        (fact("s", span=(2, 5)), "2 to 5 s"),
        (fact("min", 3), "3 minutes"),
        (fact("min", 1), "1 minute"),
        (fact("min", 0.5), "half a minute"),
        (fact("min", span=(0.5, 2)), "0.5 to 2 minutes"),
        (fact("hours", 1), "1 hour"),
        (fact("hours", 2), "2 hours"),
        (fact("turns", 2.5), "2.5 turns"),
        (fact("months", 6), "6 months"),
        (fact("times", 5), "5 times"),
        (fact("%", 25), "25%"),
        (fact("bar", span=(0.3, 0.5)), "0.3 to 0.5 bar (4.4 to 7.3 psi)"),  # NIST SP 811, appendix B, from memory
        (fact("psi", 5), "5 psi (0.34 bar)"),
        (fact("m", 1400), "1400 m (4600 ft)"),
        (fact("cm", 20), "20 cm (7.9 in)"),
        (fact("g", 100), "100 g (3.5 oz)"),
        (fact("ml", 75), "75 ml"),
        (fact("rpm", 9000), "9000 rpm"),
        (fact("V", 1.45), "1.45 V"),
        (fact("mm", 1 / 3), "0.333 mm"),
        (fact("", 1520.4), "1520"),
    ],
)
def test_a_number_is_said_with_its_unit(known, words):
    assert say("about <it>.", Knowledge(facts={"it": known})) == f"about {words}."


def test_an_engine_has_its_own_number():
    knowledge = Knowledge(facts={"come-in": fact("°C", 121)})
    assert say("<come-in>", knowledge, Variant(own={"come-in": 110})) == "110 °C (230 °F)"
    assert say("<come-in>", knowledge, Variant()) == "121 °C (250 °F)"


@pytest.mark.parametrize("text", ["<nothing-known>", "a < b > c", "<-->", "[/x] <b", "<Not An Id>"])
def test_what_is_no_fact_stays_as_it_is(text):
    assert say(text, Knowledge(facts={"it": fact("s", 1)})) == text


def test_the_words_that_a_text_uses_are_found_whole_in_any_case_and_the_longest_wins() -> None:
    words = {
        "low needle": Word(say="..."),
        "needle": Word(say="...", also=("screw",)),
        "hub": Word(say="..."),
        "rich": Word(say="..."),
    }
    assert terms_in("Turn the low needle; count other Screws. It is enriched.", words) == ["low needle", "needle"]
    assert terms_in("The needles stand still.", words) == ["needle"]
    assert terms_in("Nothing here.", words) == []


def test_a_thing_whose_name_is_a_verb_as_well_is_found_behind_an_article_alone() -> None:
    words = {"clip": Word(say="...", thing=True), "igniter": Word(say="...")}
    assert terms_in("Clip the igniter on, and it clips.", words) == ["igniter"]
    assert terms_in("The clip holds the pin.", words) == ["clip"]
    assert terms_in("Two igniters.", words) == ["igniter"]

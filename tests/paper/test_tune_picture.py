"""A car's tune over time as a picture: another library reads from it what the ledger holds."""

from __future__ import annotations

from io import StringIO
from xml.etree import ElementTree as ET

import pytest
from svgelements import SVG, Circle, Path, Polyline, Rect, Shape, Text

from diagnose.graph.model import Variant
from diagnose.pages.over_time import in_words, moments, strips
from diagnose.pages.parts import Paragraph, Table
from diagnose.paper.tune_picture import svg
from diagnose.record.engines import Engine
from diagnose.tune.mixture import Conditions
from diagnose.tune.needles import Baseline, Corrected, Good, LedgerEntry, Turned, closed, flush, fold
from diagnose.workshop.car import KnownCar

DAY = 86_400.0
BEGIN = 1_800_000_000.0
ENTRIES: tuple[LedgerEntry, ...] = (
    Baseline(BEGIN, {"low needle": closed(30), "high needle": closed(38)}),
    Turned(BEGIN + DAY, "high needle", "leaner", 1),
    Good(BEGIN + 2 * DAY, Conditions(head=104)),
    Turned(BEGIN + 4 * DAY, "high needle", "leaner", 0.5),
    Good(BEGIN + 8 * DAY, Conditions(head=110)),
)


def car(*entries: LedgerEntry, heads: tuple[tuple[float, float], ...] = ()) -> KnownCar:
    return KnownCar(Engine("<b>blue</b> & co", Variant(needles=2)), fold(entries), None, (), (), (), heads)


def drawn(found: KnownCar) -> SVG:
    return SVG.parse(StringIO(svg(found.engine.name, strips(found))))


def of(picture: SVG, kind: type[Shape], name: str) -> list[Shape]:
    return [one for one in picture.elements() if isinstance(one, kind) and one.values.get("class") == name]


def test_each_good_tune_and_baseline_is_marked_in_every_strip() -> None:
    picture = drawn(car(*ENTRIES))
    assert len(of(picture, Circle, "mark value")) == 2 * 3  # two good tunes: two screws, and the head
    assert len(of(picture, Rect, "mark value")) == 2
    assert len(of(picture, Path, "cross value")) == 2  # two turns of the high needle


def test_a_line_goes_right_with_time_and_up_with_the_hours() -> None:
    _, high = (one for one in drawn(car(*ENTRIES)).elements() if isinstance(one, Polyline))
    xs, ys = [one.x for one in high.points], [one.y for one in high.points]
    assert xs == sorted(xs)
    stood = list(dict.fromkeys(ys))
    assert len(stood) == 3
    first, second, third = stood  # 38, 37 and 36.5 hours: y grows downwards
    assert first < second < third
    assert (third - second) / (second - first) == pytest.approx(0.5, abs=0.01)


def test_a_day_is_as_wide_as_another() -> None:
    first, second = sorted({one.cx for one in of(drawn(car(*ENTRIES)), Circle, "mark value")})
    (begin,) = {one.x + 5 for one in of(drawn(car(*ENTRIES)), Rect, "mark value")}
    assert (second - begin) / (first - begin) == pytest.approx(4, abs=0.01)  # eight days against two


@pytest.mark.parametrize("count", [1, 2, 300])
def test_it_fits_a_page_however_much_there_is(count: int) -> None:
    turns = (Turned(BEGIN + n * 60, "high needle", "leaner" if n % 2 else "richer", 1) for n in range(1, count))
    found = car(ENTRIES[0], *turns, heads=tuple((BEGIN + n, 90.0 + n) for n in range(count)))
    text = svg("x", strips(found))
    root = ET.fromstring(text)
    wide, high = (float(root.attrib[side].removesuffix("mm")) for side in ("width", "height"))
    assert wide <= 190
    assert high <= 250
    read = SVG.parse(StringIO(text))
    for one in read.elements():
        if isinstance(one, (Rect, Circle, Polyline)):
            x0, y0, x1, y1 = one.bbox()
            assert -0.01 <= x0 <= x1 <= read.width + 0.01
            assert -0.01 <= y0 <= y1 <= read.height + 0.01


def test_a_screw_that_is_counted_from_elsewhere_begins_a_strip_of_its_own() -> None:
    found = car(*ENTRIES, Corrected(BEGIN + 9 * DAY, {"low needle": flush(2)}))
    assert [(one.name, len(one.values)) for one in strips(found)] == [
        ("Low needle", 3),
        ("Low needle", 1),
        ("High needle", 5),
        ("Head", 2),
    ]


def test_heads_of_walks_are_in_the_picture_and_in_the_words() -> None:
    found = car(*ENTRIES, heads=((BEGIN + 3 * DAY, 98.0),))
    assert [one.head for one in moments(found)] == [None, None, 104, 98, None, 110]
    (table,) = in_words(found)
    assert isinstance(table, Table)
    assert len(table.rows) == 1 + 6
    assert table.rows[4][1:4] == ("30 hours", "37 hours", "–")
    assert "98 °C (208 °F)" in table.rows[4]
    texts = [one.text for one in drawn(found).elements() if isinstance(one, Text)]
    assert {"98", "104", "110"} <= set(texts)


def test_nothing_is_said_to_be_nothing_and_no_name_becomes_markup() -> None:
    assert strips(car()) == []
    (told,) = in_words(car())
    assert isinstance(told, Paragraph)
    assert "<b>" not in svg("<b>blue</b> & co", strips(car(*ENTRIES)))

"""What to write instead, where the slip tells what was meant: numbers, switches and maps as people write them."""

from __future__ import annotations

import re
from typing import Any

_NUMBER = re.compile(r"[-+]?\d{1,18}(?:\.\d{1,18})?")
_COMMA = re.compile(r"[-+]?(?:0,\d+|\d+,\d{1,2})")
_THOUSANDS = re.compile(r"[-+]?\d{1,3}(?:[, ']\d{3})+")
_SHARE = re.compile(r"(\d+(?:\.\d+)?) ?%")
_WITH_UNIT = re.compile(r"([-+]?(?:0|[1-9]\d{0,17})(?:\.\d{1,18})?) ?[^\W\d]*[^\w\d]*")
_SPAN = re.compile(r"[\d.]+ ?(?:-|–|to) ?[\d.]+")
_SWITCHES = {"yes": "true", "on": "true", "true": "true", "no": "false", "off": "false", "false": "false"}
_FEET_TO_METRES = 0.3048
_FEET = re.compile(r"(\d[\d,]*) ?(?:ft|feet|')")


def number(text: str, *, share: bool = False, metres: bool = False) -> str:
    """Return what to write in place of a text where a number is wanted, with ``; `` before it, or "".

    `share` says that the number is one from 0 to 1, `metres` that it is one of metres.
    """
    text = text.strip()
    if _NUMBER.fullmatch(text):
        return f"; take the quotes off: {text}" if not re.match("0[0-9]", text) else f"; write {float(text):g}"
    if metres and (feet := _FEET.fullmatch(text)):
        return f"; in metres that is {round(float(feet[1].replace(',', '')) * _FEET_TO_METRES):g}"
    if _COMMA.fullmatch(text):
        return f"; a point in place of the comma: {text.replace(',', '.')}"
    if _THOUSANDS.fullmatch(text):
        return f"; without a sign between the digits: {re.sub('[^-0-9]', '', text)}"
    if share and (found := _SHARE.fullmatch(text)):
        return f"; as a share of one: {float(found[1]) / 100:g}"
    if _SPAN.fullmatch(text):
        return "; one number is needed here"
    if text[:2] != "0x" and (found := _WITH_UNIT.fullmatch(text)):
        return f"; leave the unit out: {found[1]}"
    return ""


def of_type(value: Any, wanted: Any) -> str:
    """Return how what stands there becomes what is wanted (a type of the schema), with ``; `` before it, or ""."""
    text = value if isinstance(value, str) else ""
    if wanted == "array" and not isinstance(value, (dict, list)):
        if text.startswith("-"):
            return "; an item begins with '- ', a sign and a space"
        return f"; write [{str(value).lower() if isinstance(value, bool) else value}]"
    if wanted == "string" and isinstance(value, (int, float)):
        return "; put quotes around it"
    if wanted == "string" and isinstance(value, list) and value:
        return "; take the brackets off, or the '-' before it"
    if wanted == "boolean" and text.casefold() in _SWITCHES:
        return f"; write {_SWITCHES[text.casefold()]}"
    if wanted == "object":
        return "; write each on a line of its own below it, set in, as key: value"
    return ""

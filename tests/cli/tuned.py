"""What the tests of the tune bench's commands type, and what settings look like as JSON."""

from __future__ import annotations

from typing import Any

DAY = ("day", "--temperature", "31C", "--humidity", "55", "--station-pressure", "1004hPa")
COLD = ("day", "--temperature", "41F", "--humidity", "80%", "--station-pressure", "1012 hPa")
BLUE = "blue truggy"
NEEDLES = ("needles", BLUE)


def closed(**hours: float) -> dict[str, Any]:
    return {name.replace("_", " "): {"hours": value, "from": "closed"} for name, value in hours.items()}

"""Who watches a walk is told when it has moved on: a stream of counts for each page that is open."""

from __future__ import annotations

import asyncio
from collections import defaultdict
from collections.abc import AsyncIterator
from contextlib import suppress

MOST = 40
MOST_OF_A_VISITOR = 2


class Watchers:
    """The open streams, by what they watch. The newest count alone waits for each of them."""

    def __init__(self) -> None:
        self._queues: defaultdict[str, set[asyncio.Queue[int]]] = defaultdict(set)
        self._whose: list[str] = []

    def may_watch(self, visitor: str) -> bool:
        """Say whether there is room for one more."""
        return len(self._whose) < MOST and self._whose.count(visitor) < MOST_OF_A_VISITOR

    def moved(self, what: str, count: int) -> None:
        """Tell all who watch it how many events there are now."""
        for queue in self._queues.get(what, ()):
            while not queue.empty():
                queue.get_nowait()
            queue.put_nowait(count)

    async def watch(
        self, what: str, visitor: str, count: int, every: float | None = None
    ) -> AsyncIterator[dict[str, str]]:
        """Yield the count now, and whenever it has changed; the same again every so many seconds without a change."""
        queue: asyncio.Queue[int] = asyncio.Queue()
        self._queues[what].add(queue)
        self._whose.append(visitor)
        try:
            yield {"data": str(count)}
            while True:
                with suppress(TimeoutError):
                    count = await asyncio.wait_for(queue.get(), every)
                yield {"data": str(count)}
        finally:
            self._whose.remove(visitor)
            self._queues[what].discard(queue)
            if not self._queues[what]:
                del self._queues[what]

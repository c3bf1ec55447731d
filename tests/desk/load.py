"""Fifty clients at once against a desk of one's own: ``python -m tests.desk.load``.

Each answers one look after another, with a pause to read that is short for a person (2 to 6
seconds).  Everything stays on this machine, and it stops by itself.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time

import httpx
from sqlalchemy import select

from walltriage.desk.houses import NewHouse, make_house
from walltriage.desk.links import make_link
from walltriage.desk.settings import database_url
from walltriage.desk.store import Store
from walltriage.desk.tables import AnswerEntry

PAUSE_S = (2.0, 6.0)


def several(page: str) -> dict[str, str]:
    """What the form of a page of several things holds besides."""
    return {"several": "1"} if 'name="several"' in page else {}


async def client(port: int, token: str, until: float, seen: list[float], kept: list) -> None:
    """One client, from the first page to the end of the time."""
    rng = random.Random(token)
    files = {"none": ("", b"")}
    async with httpx.AsyncClient(base_url=f"http://127.0.0.1:{port}", timeout=30) as http:

        async def timed(method: str, path: str, **more) -> httpx.Response:
            start = time.perf_counter()
            answer = await http.request(method, path, **more)
            seen.append(time.perf_counter() - start)
            return answer

        await asyncio.sleep(rng.random() * PAUSE_S[1])
        at = await timed("POST", f"/c/{token}/begin", data={"reach": "2"})
        while time.monotonic() < until:
            path = at.headers["location"]
            shown = await timed("GET", path)
            if "/look/" not in path:
                return
            await asyncio.sleep(rng.uniform(*PAUSE_S))
            data = {"answer": "unknown", "do": "answer"} | several(shown.text)
            at = await timed("POST", path, data=data, files=files)
            assert at.status_code == 303, at.text
            kept.append((token, path.split("/look/")[1]))


async def everybody(port: int, tokens: list[str], seconds: float):
    """All clients at once; times of pages in seconds, and what was acknowledged."""
    seen: list[float] = []
    kept: list[tuple[str, str]] = []
    until = time.monotonic() + seconds
    await asyncio.gather(*(client(port, token, until, seen, kept) for token in tokens))
    return seen, kept


def main() -> int:
    """Run it and tell the times; 1 when a goal is missed or an answer is lost."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--clients", type=int, default=50)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--database", help="a PostgreSQL URL instead of a new SQLite file")
    parser.add_argument("--port", type=int, default=8391)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        url = database_url(given.database or f"sqlite:///{folder}/desk.sqlite3", None)
        store = Store(url)
        store.bring_up_to_date()
        houses = {}
        with store.write() as db:
            for n in range(given.clients):
                house = make_house(db, NewHouse(f"load {n}", ("a wall",)), "load")
                houses[make_link(db, house, 1, "load")] = house.id
        child = subprocess.Popen(
            [sys.executable, "-m", "walltriage", "serve", "--database", url, "--requests", "0",
             "--port", str(given.port), "--workers", str(given.workers)],
            env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        try:
            for _ in range(300):
                try:
                    httpx.get(f"http://127.0.0.1:{given.port}/health")
                    break
                except httpx.TransportError:
                    time.sleep(0.1)
            time.sleep(2 + 3 * given.workers)  # the others read the rules first
            seen, acknowledged = asyncio.run(everybody(given.port, list(houses), given.seconds))
        finally:
            child.terminate()
            child.wait()
        with store.read() as db:
            there = {
                (e.house_id, f"{e.subject}/{e.question}") for e in db.scalars(select(AnswerEntry))
            }
        store.close()
    lost = sum((houses[token], step) not in there for token, step in acknowledged)
    cuts = statistics.quantiles(seen, n=100)
    print(
        f"{len(seen)} pages, {len(acknowledged)} answers: median {1000 * cuts[49]:.0f} ms, "
        f"99th percentile {1000 * cuts[98]:.0f} ms, {lost} lost"
    )
    return int(lost > 0 or cuts[49] > 0.15 or cuts[98] > 0.6)


if __name__ == "__main__":
    raise SystemExit(main())

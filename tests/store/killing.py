"""Writers killed at random moments: run by itself, prints what it found as JSON.

    python tests/store/killing.py FOLDER ROUNDS SEED

Each round a child of this process writes events, photographs, pieces, backups into a shop's file, some into a new one,
and says through a pipe what has been acknowledged. It is killed (SIGKILL) at a random moment; then the file is opened
and looked through.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sqlite3
import sys
import time
from collections import Counter
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from rakelight.errors import RakelightError
from rakelight.log.events import Event
from rakelight.store import photos
from rakelight.store.backup import backup, restore
from rakelight.store.piece_row import PieceRow, hash_of
from rakelight.store.shop_store import Store

NOW = datetime(2027, 2, 8, 8, 0, tzinfo=UTC)
_LONGEST_S = 0.12  # a round writes for no longer than this after it began


def write_until_killed(path: Path, round_: int, ack: int) -> None:
    """The child: never returns."""
    dice = random.Random(round_)
    store = Store(path)
    n = 0
    while True:
        n += 1
        name = f"{round_}-{n}"
        what = dice.choices(("event", "batch", "photo", "piece", "backup"), (12, 3, 2, 2, 1))[0]
        if what == "event":
            store.add(Event("note", NOW, NOW, id=name, words="x" * dice.randrange(2000)))
        elif what == "batch":
            store.add(*(Event("note", NOW, NOW, id=f"{name}-{k}", words=name) for k in range(5)))
        elif what == "photo":
            name = photos.add_photo(store, os.urandom(dice.randrange(1, 60_000)), NOW)
        elif what == "piece":
            text = f'piece = "{name}"\n'
            told = Event("piece", NOW, NOW, id=f"p{name}", piece=f"k{round_}", what="changed")
            store.put_piece(PieceRow(f"k{round_}", name, text, "x.toml", hash_of(text), NOW), {}, [told], {})
        else:
            backup(path, path.with_name("kept.backup"), NOW)
        os.write(ack, f"{what} {name}\n".encode())


def one_round(path: Path, round_: int, dice: random.Random) -> tuple[list[str], float]:
    """Let a child write and kill it; what it said was written, and how long it had."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(read)
            write_until_killed(path, round_, write)
        finally:
            os._exit(3)
    os.close(write)
    waits = dice.uniform(0, _LONGEST_S)
    # from its first word on; else from its beginning, while the file is opened
    first = os.read(read, 4096) if dice.random() < 0.7 else b""
    time.sleep(waits)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    said = first
    while chunk := os.read(read, 65536):
        said += chunk
    os.close(read)
    if not os.WIFSIGNALED(status):
        raise SystemExit(f"round {round_}: the writer ended by itself, status {status}")
    return [line for line in said.decode().split("\n")[:-1]], waits


def faults_of(path: Path, round_: int, said: list[str]) -> list[str]:
    """What is wrong with a file after a kill; none: it is whole and holds all that was acknowledged."""
    if not path.exists() and not said:
        return []
    try:
        store = Store(path)
    except RakelightError as bad:
        return [f"round {round_}: cannot be opened: {bad}"]
    found = []
    try:
        with closing(sqlite3.connect(path)) as raw:
            if (whole := raw.execute("PRAGMA quick_check(1)").fetchone()[0]) != "ok":
                found.append(f"round {round_}: {whole}")
            ids = {row[0] for row in raw.execute("SELECT id FROM events WHERE id GLOB ?", (f"*{round_}-*",))}
        kept = set(photos.hashes(store))
        for line in said:
            what, name = line.split(" ", 1)
            there = {
                "event": name in ids,
                "batch": all(f"{name}-{k}" in ids for k in range(5)),
                "photo": name in kept,
                "piece": f"p{name}" in ids,
                "backup": path.with_name("kept.backup").exists(),
            }[what]
            if not there:
                found.append(f"round {round_}: {line} was acknowledged and is not there")
        batches = Counter(id.rsplit("-", 1)[0] for id in ids if id.count("-") == 2)
        found += [f"round {round_}: {name} was written in part" for name, count in batches.items() if count != 5]
        for hash in kept:
            if not (photos.folder_of(path) / hash).is_file():
                found.append(f"round {round_}: a row without its photograph {hash[:12]}")
    finally:
        store.close()
    return found


def main(folder: Path, rounds: int, seed: int) -> dict[str, object]:
    """Run the rounds; a new file is begun every 20th."""
    dice = random.Random(seed)
    folder.mkdir(parents=True, exist_ok=True)
    path, faults, said_by = folder / "0" / "shop.rakelight", [], Counter()
    path.parent.mkdir(exist_ok=True)
    silent = 0
    for round_ in range(rounds):
        if round_ % 20 == 0:
            path = folder / str(round_) / "shop.rakelight"
            path.parent.mkdir(exist_ok=True)
        said, _ = one_round(path, round_, dice)
        silent += not said
        said_by.update(line.split(" ")[0] for line in said)
        faults += faults_of(path, round_, said)
    readable = 0
    for kept in sorted(folder.glob("*/kept.backup")):
        restore(folder / "restored" / f"{kept.parent.name}.rakelight", kept, NOW)
        readable += 1
    for path in sorted(folder.glob("*/shop.rakelight")):
        store = Store(path)
        events = store.events()
        if len({e.id for e in events}) != len(events):
            faults.append(f"{path}: an id is there twice")
        [photos.photo(store, hash) for hash in photos.hashes(store)]
        store.close()
    return {"kills": rounds, "acknowledged": sum(said_by.values()), "by_kind": dict(said_by), "faults": faults,
            "killed_before_the_first_word": silent, "backups_brought_back": readable}  # fmt: skip


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))

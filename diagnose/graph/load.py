"""The one module of this room that opens files: it finds the knowledge, reads it once, and keeps it packed.

What is unchanged since it was last read and proven comes out of the cache, unparsed. Nothing that is wrong with the
cache matters: then the files are read.
"""

from __future__ import annotations

import gc
import os
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from diagnose import __version__
from diagnose.graph.model import CASES, FORMAT, KINDS, Knowledge, decode, encode
from diagnose.graph.model.club import is_part
from diagnose.graph.problem import KnowledgeError, Place, Problem

if TYPE_CHECKING:
    from diagnose.graph.layers import Files
    from diagnose.graph.read import FilesRead

NO_NAME = "the name of this file is not UTF-8; rename it"
LIMIT = 1 << 20
"""The most bytes that a file may have: 1 MiB."""

CACHE = "knowledge.msgpack"
PARSED = "parsed.msgpack"
"""In the folder of the cache: the knowledge as it was proven, and its files as they were parsed."""

CLUB = "club.yaml"
"""In the folder of a club."""

Prove = Callable[[Knowledge, Mapping[tuple[str, ...], Place]], list[Problem]]
"""Says what about the knowledge as a whole is unsafe or unsound."""

_YAML = re.compile(r"\.ya?ml(\.txt)?$", re.IGNORECASE)
"""What a file of knowledge ends in, and what is meant for it."""

_PACKAGE = Path(__file__).parents[1]
_CHECKSUM = sha256().digest_size


def load(
    overlays: Sequence[Path] = (),
    cache: Path | None = None,
    prove: Prove | None = None,
    shipped: Path | None = None,
) -> Knowledge:
    """Return the proven knowledge of the `shipped` folder (by default the program's own) under the `overlays`.

    Worked cases are not read: they are tests of the knowledge, and two files of three. `cache` is a folder to keep the
    packed knowledge in. Raises `KnowledgeError` with every problem.
    """
    folders = _Folders(shipped, overlays, cases=False)
    key = folders.key(prove)
    if (kept := _knowledge(cache, key)) is not None:
        return kept
    found = folders.read()
    if problems := (prove or _prove)(found.knowledge, found.places):
        raise KnowledgeError(problems, found.written)
    if cache is not None:
        _keep(cache / CACHE, key, encode(found.knowledge))
    return found.knowledge


def read_all(overlays: Sequence[Path] = (), shipped: Path | None = None) -> FilesRead:
    """Return the knowledge with its places and worked cases, read and linked but not proven; no cache is used.

    Raises `KnowledgeError` with every problem.
    """
    return _Folders(shipped, overlays, cases=True).read()


def read_only(overlays: Sequence[Path] = (), cache: Path | None = None) -> Knowledge:
    """Return the knowledge as it stands, read and linked: not proven, without its cases, and compared with nothing.

    What has been proven since it was changed comes out of the `cache`. Raises `KnowledgeError` with every problem.
    """
    folders = _Folders(None, overlays, cases=False)
    if (kept := _knowledge(cache, folders.key(None))) is not None:
        return kept
    return folders.read(cache, compared=False).knowledge


def home() -> Path:
    """Return the folder of the shipped knowledge: in the installed package, or beside it in a checkout."""
    inside = _PACKAGE / "knowledge"
    return inside if inside.is_dir() else _PACKAGE.parent / "knowledge"


def _prove(knowledge: Knowledge, places: Mapping[tuple[str, ...], Place]) -> list[Problem]:
    """Prove the rules that the program stands on."""
    from diagnose.graph.prove import prove  # with networkx: 170 ms that a warm start saves

    return prove(knowledge, places)


class _Folders:
    """The bytes of every knowledge file, layer by layer."""

    def __init__(self, shipped: Path | None, overlays: Sequence[Path], *, cases: bool) -> None:
        parts = {folder: _parts(folder) for folder in overlays}
        folders = [shipped or home()]
        for folder, switched in parts.items():
            folders += [folder, *(folder / name for name, on in switched.items() if on)]
        self.roots = [str(shipped) if shipped else "knowledge", *map(str, folders[1:])]
        self.layers: list[dict[str, bytes | Problem]] = []
        missing: list[Problem] = []
        for folder, root in zip(folders, self.roots, strict=True):
            aside = tuple(f"{name}/" for name in parts.get(folder, ()))
            names = sorted(name for name in _names(folder) if not f"{name}/".startswith(aside))
            missing += [Problem(Place(f"{root}/{n}", 1, 1), "unreadable", NO_NAME) for n in names if not _is_text(n)]
            shown = [n for n in names if _is_text(n) and (cases or not _is_case(n))]
            self.layers.append({n: _content(folder / n, f"{root}/{n}") for n in shown})
            if not names:
                what = "no knowledge files here" if folder.is_dir() else "there is no such folder"
                if folder.is_file():
                    what = "this is a file; name the folder that it lies in"
                if folder.parent in parts and not folder.is_dir():
                    what += f"; {CLUB} switches it on under 'folders:'"
                missing.append(Problem(Place(root, 1, 1), "no-knowledge", what))
        if missing:
            raise KnowledgeError(missing)
        self.digest = self._digest()

    def _digest(self) -> str:
        """Return the SHA-256 of all names and contents, the program's version and the format."""
        made = sha256(msgspec.msgpack.encode([__version__, FORMAT]))
        for layer in self.layers:
            content = [(name, data if isinstance(data, bytes) else data.what) for name, data in layer.items()]
            made.update(msgspec.msgpack.encode(content))
        return made.hexdigest()

    def key(self, prove: Prove | None) -> bytes:
        """Return what the cache must have been made from: the content, its places, and the rules that it passed."""
        rules = _rules()
        prover = "" if prove is None else f"{prove.__module__}.{getattr(prove, '__qualname__', prove)}"
        return sha256(msgspec.msgpack.encode([self.digest, self.roots, prover, rules])).digest()

    def read(self, cache: Path | None = None, *, compared: bool = True) -> FilesRead:
        """Read and link it all; `compared` says what is looked for no longer, too.

        In a `cache` are kept the files as they were parsed: whoever looks at one entry changes one file.
        """
        from diagnose.graph.parsings import Parsings
        from diagnose.graph.read import read  # with YAML: 20 ms that a warm start saves

        texts = [_texts(layer, root) for layer, root in zip(self.layers, self.roots, strict=True)]
        kept = None if cache is None else _kept(cache / PARSED, _rules())
        parsings = Parsings(None if kept is None else msgspec.msgpack.decode(kept, type=dict[bytes, bytes]))
        gc.disable()  # what is made here stays: the collector would go through all of it and find nothing
        try:
            found = read(texts[0], texts[1:], self.roots, parsings.parse)
        finally:
            gc.enable()
            if cache is not None and parsings.new:
                _keep(cache / PARSED, _rules(), msgspec.msgpack.encode(parsings.used))
        lost: tuple[str, ...] = ()
        if texts[1:] and compared:
            from diagnose.graph.compare import fewer  # with networkx

            lost = fewer(read(texts[0], (), self.roots[:1], parsings.parse).knowledge, found.knowledge)
        return found._replace(knowledge=msgspec.structs.replace(found.knowledge, digest=self.digest, fewer=lost))


def _parts(folder: Path) -> dict[str, bool]:
    """Return the parts of a club's folder that its `club.yaml` switches on or off.

    What is wrong with that file is told when it is read like every other.
    """
    with suppress(OSError, UnicodeDecodeError):
        file = folder / CLUB
        if file.stat().st_size > LIMIT:
            return {}
        text = file.read_text("utf-8-sig")
        from diagnose.graph.places import parse  # with YAML, for those alone who have such a file

        clubs, _, problems = parse(str(file), text)
        for club in clubs.values() if isinstance(clubs, dict) and not problems else ():
            switched = club.get("folders") if isinstance(club, dict) else None
            if isinstance(switched, dict):
                return {name: on is True for name, on in switched.items() if is_part(name) and name not in KINDS}
    return {}


def shipped_texts() -> dict[str, str]:
    """Return the shipped files as text, by the names that places have."""
    folder = home()
    return {f"knowledge/{name}": (folder / name).read_text("utf-8") for name in sorted(_names(folder))}


def _names(folder: Path) -> Iterator[str]:
    """Yield the name inside `folder` of each file of knowledge, hidden ones left out.

    So is whatever looks like one and is none, for what is passed over in silence is missed by nobody: another ending, a
    folder called like a file, and a link to a folder, which is not followed.
    """
    for here, folders, files in os.walk(folder):
        folders[:] = (name for name in folders if not name.startswith("."))
        inside = Path(here).relative_to(folder).as_posix()
        aside = {name for name in folders if _YAML.search(name) or Path(here, name).is_symlink()}
        folders[:] = (name for name in folders if name not in aside)
        for name in (*files, *aside):
            meant = name in aside or _YAML.search(name) or (inside == "." and name.removesuffix(".txt") in KINDS)
            if meant and not name.startswith("."):
                yield name if inside == "." else f"{inside}/{name}"


def _is_text(name: str) -> bool:
    """Say whether a name holds no bytes that are no letters."""
    try:
        name.encode()
    except UnicodeEncodeError:
        return False
    return True


def _is_case(name: str) -> bool:
    return name.startswith(f"{CASES}/")


def _content(path: Path, shown: str) -> bytes | Problem:
    """Return the bytes of a file, or why there are none."""
    place = Place(shown, 1, 1)
    if not path.is_file():
        return Problem(place, "unreadable", _no_file(path))
    try:
        with path.open("rb") as file:
            data = file.read(LIMIT + 1)
    except OSError as error:
        return Problem(place, "unreadable", f"this can't be read: {error.strerror}")
    return data if len(data) <= LIMIT else Problem(place, "too-big", "larger than 1 MiB; split it into several files")


def _no_file(path: Path) -> str:
    """Say what stands in the place of a file, and what to do about it."""
    if path.is_symlink():
        kind = "a folder, and is not followed" if path.is_dir() else "no file"
        return f"this is a link to {kind}; put what it should lead to in its place"
    if path.is_dir():
        return "this is a folder, and is called like a file; take the ending out of its name"
    return "this is not a file that can be read; take it out"


def _texts(layer: Mapping[str, bytes | Problem], root: str) -> Files:
    """Return the files as text."""
    made: dict[str, str | Problem] = {}
    for name, data in layer.items():
        if isinstance(data, Problem):
            made[name] = data
            continue
        try:
            made[name] = data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            line = data.count(b"\n", 0, error.start) + 1
            column = error.start - data.rfind(b"\n", 0, error.start)
            what = "not UTF-8; save the file as UTF-8 text"
            made[name] = Problem(Place(f"{root}/{name}", line, column), "not-utf-8", what)
    return made


def _rules() -> bytes:
    """Return what stands for the source of this room: another one may read the same text otherwise."""
    made = sha256(__version__.encode())
    for source in sorted(Path(__file__).parent.rglob("*.py")):
        made.update(source.read_bytes())
    return made.digest()


def _knowledge(cache: Path | None, key: bytes) -> Knowledge | None:
    """Return the knowledge that the cache holds, if it was made from the same."""
    if cache is None or (kept := _kept(cache / CACHE, key)) is None:
        return None
    with suppress(msgspec.MsgspecError):
        return decode(kept)
    return None


def _kept(file: Path, key: bytes) -> bytes | None:
    """Return what a file of the cache holds, if it was made from the same and is whole."""
    with suppress(OSError):
        data = file.read_bytes()
        checksum, body = data[:_CHECKSUM], data[_CHECKSUM:]
        if sha256(body).digest() == checksum and body.startswith(key):
            return body[len(key) :]
    return None


def _keep(file: Path, key: bytes, content: bytes) -> None:
    """Put something into the cache: the whole of it, or nothing."""
    from tempfile import NamedTemporaryFile  # only where something has changed

    body = key + content
    with suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        with NamedTemporaryFile(dir=file.parent, prefix=".", delete=False) as made:
            try:
                made.write(sha256(body).digest() + body)
                made.close()
                os.replace(made.name, file)  # noqa: PTH105 - both are names in one folder
            except OSError:
                Path(made.name).unlink(missing_ok=True)
                raise

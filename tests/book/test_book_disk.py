"""Disks that are full, refuse or keep something else, systems without POSIX: told in a line, nothing lost."""

from __future__ import annotations

import errno
import io
import os
import shutil
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest

from support.books import RECIPE, RUN, values
from swarfbook.book import Book, locking, system
from swarfbook.book.history import History
from swarfbook.errors import SwarfbookError

FULL = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.fixture
def book(make_book):
    return Book.open(make_book())


def saved(book, depth="2 mm"):
    return book.save("recipe", RECIPE, {"axial_depth": depth}, seen=book.get("recipe", RECIPE).sha)


def hidden(root):
    return [path.name for path in root.rglob(".*.tmp")]


class Failing(io.FileIO):
    """A file whose disk fails at the chosen call."""

    def __init__(self, path, mode, failing):
        super().__init__(path, mode.replace("b", ""))
        self.failing = failing

    def write(self, data):
        if self.failing == "write":
            raise FULL
        if self.failing == "half":
            super().write(bytes(data)[: len(data) // 2])
            raise FULL
        return super().write(data)

    def readall(self):
        return super().readall()[:-1] if self.failing == "read" else super().readall()

    def read(self, size=-1):
        return self.readall() if size in (-1, None) else super().read(size)

    def close(self):
        if self.failing == "close" and not self.closed:
            super().close()
            raise FULL
        super().close()


def fail_at(monkeypatch, call):
    """Let every hidden file that is written to fail at a call."""
    plain = Path.open

    def opened(self, mode="r", *args, **kwargs):
        if "x" not in mode:
            return plain(self, mode, *args, **kwargs)
        if call == "open":
            raise FULL
        return Failing(self, mode, call)

    monkeypatch.setattr(Path, "open", opened)


@pytest.mark.parametrize("call", ["open", "write", "half", "close"])
def test_a_disk_that_fills_at_any_call_leaves_the_old_file_and_nothing_else(book, monkeypatch, call):
    before = book.path("recipe", RECIPE).read_bytes()
    with monkeypatch.context() as patch:
        fail_at(patch, call)
        with pytest.raises(SwarfbookError, match=r"toml: this cannot be written: no space left on device$"):
            saved(book)
    assert book.path("recipe", RECIPE).read_bytes() == before
    assert hidden(book.root) == []
    assert saved(book).record.axial_depth == 0.002


def test_what_was_written_is_read_back_before_it_takes_the_name(book, monkeypatch):
    before = book.path("recipe", RECIPE).read_bytes()
    fail_at(monkeypatch, "read")
    with pytest.raises(SwarfbookError, match="cannot be written: what was read back is not what was written"):
        saved(book)
    assert book.path("recipe", RECIPE).read_bytes() == before
    assert hidden(book.root) == []


def test_a_full_disk_keeps_the_history_out_and_the_save_in(book, monkeypatch):
    write = locking.write_atomically

    def full_backstage(path, data, **kept):
        if path.suffix == ".states":
            raise FULL
        write(path, data, **kept)

    monkeypatch.setattr(locking, "write_atomically", full_backstage)
    assert saved(book).record.axial_depth == 0.002
    assert [str(one) for one in book.history.told()] == [
        f"history of {RECIPE}: not kept: no space left on device"
    ]


FILLING = """
import os, sys
from pathlib import Path
from support.books import RECIPE, RUN, make_book, values
from swarfbook.book import Book
from swarfbook.errors import SwarfbookError
root = make_book(Path(sys.argv[1]) / "book")
book = Book.open(root)
(root / ".lock").touch()
(root / "ballast").write_bytes(bytes(4096))
told, done = set(), []
with open(root / "filler", "wb", buffering=0) as filler:
    try:
        while True: filler.write(bytes(4096))
    except OSError: pass
for turn in range(40):
    before = {path: path.read_bytes() for path in root.rglob("*.toml")}
    notes = str(turn) * 2000
    try:
        book.save("recipe", RECIPE, {"notes": notes}, seen=book.get("recipe", RECIPE).sha)
        assert book.get("recipe", RECIPE).raw["notes"] == notes
        done.append(turn)
    except SwarfbookError as error:
        told.update(map(str, error.problems))
        assert {path: path.read_bytes() for path in root.rglob("*.toml")} == before
    try: book.log(RUN | {"id": f"r{turn}", "note": "n" * 900})
    except SwarfbookError as error: told.update(map(str, error.problems))
    assert not list(root.rglob(".*.tmp")), list(root.rglob(".*.tmp"))
    assert book.run_log().problems == ()
    if turn == 20: os.truncate(root / "filler", 8192 * 2)
assert done and done[-1] > 20 and len(done) < 40, done
assert told and all(line.endswith("cannot be written: no space left on device") for line in told), told
"""
INSIDE = 'mount -t tmpfs -o size=160k tmpfs "$1" && exec "$2" -c "$3" "$1"'


def test_a_disk_that_is_really_full_loses_nothing(tmp_path):
    mine = ["unshare", "--user", "--map-root-user", "--mount", "sh", "-c"]
    disk = tmp_path / "disk"
    disk.mkdir()
    if (
        shutil.which("unshare") is None
        or subprocess.run(
            [*mine, 'mount -t tmpfs -o size=64k tmpfs "$1"', "sh", disk], capture_output=True, check=False
        ).returncode
    ):
        pytest.skip("no small disk can be had here")
    tests = Path(__file__).parents[1]
    words = [*mine, INSIDE, "sh", disk, sys.executable, FILLING]
    done = subprocess.run(words, cwd=tests, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_folder_that_is_read_only_is_told_and_keeps_the_file(book, monkeypatch):
    plain = Path.open

    def refused(self, mode="r", *args, **kwargs):
        if "x" in mode and self.parent.name == "recipes":
            raise OSError(errno.EACCES, os.strerror(errno.EACCES))
        return plain(self, mode, *args, **kwargs)

    before = book.path("recipe", RECIPE).read_bytes()
    monkeypatch.setattr(Path, "open", refused)
    with pytest.raises(SwarfbookError, match=r"cannot be written: permission denied$"):
        saved(book)
    assert book.path("recipe", RECIPE).read_bytes() == before


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root gives files away")
def test_the_owner_of_a_file_stays(book):
    path = book.path("recipe", RECIPE)
    os.chown(path, 1234, 2345)
    path.chmod(0o640)
    saved(book)
    found = path.stat()
    assert (found.st_uid, found.st_gid, found.st_mode & 0o777) == (1234, 2345, 0o640)


def test_an_owner_that_may_not_be_given_stops_no_save(book, monkeypatch):
    asked = []

    def refused(_handle, *ids):
        asked.append(ids)
        raise PermissionError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr(os, "fchown", refused)
    saved(book, "1 mm")
    assert asked == []  # it is the same already
    real = os.fstat

    def anothers(handle):
        found = list(real(handle))
        found[4] += 1
        return os.stat_result(found)

    monkeypatch.setattr(os, "fstat", anothers)
    assert saved(book).record.axial_depth == 0.002
    assert asked


# Systems without POSIX


class Windows(ModuleType):
    """Stands for the locks of Windows: one holder of a byte, who waits is told so after a while."""

    LK_LOCK, LK_UNLCK = 1, 0

    def __init__(self, refusals):
        super().__init__("msvcrt")
        self.refusals, self.calls = refusals, []

    def locking(self, handle, mode, count):
        assert os.lseek(handle, 0, os.SEEK_CUR) == 0
        self.calls.append((mode, count))
        if mode == self.LK_LOCK and self.refusals:
            raise OSError(self.refusals.pop(), "in use")


@pytest.fixture
def windows(monkeypatch):
    """Take away what only POSIX has, and give the locks of Windows."""

    def give(*refusals):
        module = Windows(list(refusals))
        monkeypatch.setitem(sys.modules, "msvcrt", module)
        monkeypatch.setitem(sys.modules, "fcntl", None)
        for name in ("pread", "fchmod", "fchown"):
            monkeypatch.delattr(os, name)
        plain = os.open

        def opened(path, flags, *rest):
            if Path(path).is_dir():
                raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
            return plain(path, flags, *rest)

        monkeypatch.setattr(os, "open", opened)
        return module

    return give


def test_without_posix_all_is_saved_under_a_lock_that_is_given_back(book, windows):
    module = windows(system.GAVE_UP, system.GAVE_UP)
    saved(book)
    assert module.calls == [(1, 1)] * 3 + [(0, 1)]
    book.log(RUN | {"id": "a"})
    (book.root / "runs/2026-11.jsonl").write_bytes((book.root / "runs/2026-11.jsonl").read_bytes()[:-1])
    book.log(RUN | {"id": "b"})
    assert [run.id for run in book.runs()] == ["a", "b"]
    book.rename("recipe", RECIPE, "anew")
    book.delete("recipe", "anew")
    book.restore("recipe", "anew")
    assert book.get("recipe", "anew").record.axial_depth == 0.002
    assert book.history.told() == []
    assert module.calls.count((0, 1)) == len(module.calls) // 2 - 1


def test_a_lock_that_is_refused_for_good_is_told(book, windows):
    windows(errno.EBADF)
    with pytest.raises(SwarfbookError, match="cannot be written: in use"):
        saved(book)


def test_a_book_is_read_and_written_where_there_is_no_fcntl(book):
    code = (
        "import sys\n"
        "sys.modules['fcntl'] = None\n"
        "from pathlib import Path\n"
        "from swarfbook.book import Book, deleting, renaming, reverting, saving\n"
        "print(*Book.open(Path(sys.argv[1])).ids('recipe'))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(book.root)], capture_output=True, text=True, check=True
    )
    assert done.stdout == f"{RECIPE}\n"


def test_a_new_record_on_a_full_disk_leaves_no_file(book, monkeypatch):
    with monkeypatch.context() as patch:
        fail_at(patch, "half")
        with pytest.raises(SwarfbookError, match="no space left"):
            book.save("recipe", "new", values("recipe"), seen=None)
    assert book.ids("recipe") == [RECIPE]
    assert History(book.root).states("recipe", "new") == ()

"""That nothing but `book/system.py` leans on what only some systems have, told from here as far as can be."""

from __future__ import annotations

import ast
import asyncio
import os
import re
import shutil
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from swarfbook.book import system
from swarfbook.resources import demo_book_dir

SOURCE = Path(__file__).parents[2] / "src" / "swarfbook"
DOOR = SOURCE / "book" / "system.py"
# Python's documentation says "Availability: Unix" of these.
MODULES = frozenset(
    [
        "fcntl",
        "grp",
        "posix",
        "pty",
        "pwd",
        "readline",
        "resource",
        "syslog",
        "termios",
        "tty",
        "curses",
        "crypt",
        "spwd",
        "nis",
    ]
)
OS = frozenset(
    [
        "chown",
        "chroot",
        "confstr",
        "fchdir",
        "fchmod",
        "fchown",
        "fdatasync",
        "fork",
        "forkpty",
        "fpathconf",
        "fstatvfs",
        "getegid",
        "geteuid",
        "getgid",
        "getgrouplist",
        "getgroups",
        "getloadavg",
        "getpgid",
        "getpgrp",
        "getpriority",
        "getresgid",
        "getresuid",
        "getsid",
        "getuid",
        "initgroups",
        "killpg",
        "lchflags",
        "lchown",
        "lockf",
        "major",
        "makedev",
        "minor",
        "mkfifo",
        "mknod",
        "nice",
        "openpty",
        "pathconf",
        "pipe2",
        "posix_fadvise",
        "posix_fallocate",
        "posix_spawn",
        "posix_spawnp",
        "pread",
        "preadv",
        "pwrite",
        "pwritev",
        "readv",
        "register_at_fork",
        "sched_getaffinity",
        "sched_setaffinity",
        "sched_yield",
        "sendfile",
        "set_blocking",
        "setegid",
        "seteuid",
        "setgid",
        "setgroups",
        "setpgid",
        "setpriority",
        "setregid",
        "setreuid",
        "setresgid",
        "setresuid",
        "setsid",
        "setuid",
        "statvfs",
        "sync",
        "sysconf",
        "tcgetpgrp",
        "tcsetpgrp",
        "ttyname",
        "uname",
        "wait",
        "wait3",
        "wait4",
        "waitid",
        "writev",
        "WNOHANG",
        "WIFEXITED",
        "WEXITSTATUS",
        "WTERMSIG",
        "O_CLOEXEC",
        "O_DIRECTORY",
        "O_DSYNC",
        "O_NOCTTY",
        "O_NOFOLLOW",
        "O_NONBLOCK",
        "O_PATH",
        "O_SYNC",
        "getxattr",
        "setxattr",
        "listxattr",
    ]
)
SIGNALS = frozenset(
    [
        "SIGALRM",
        "SIGCHLD",
        "SIGCONT",
        "SIGHUP",
        "SIGKILL",
        "SIGPIPE",
        "SIGQUIT",
        "SIGSTOP",
        "SIGTSTP",
        "SIGTTIN",
        "SIGTTOU",
        "SIGUSR1",
        "SIGUSR2",
        "SIGWINCH",
        "alarm",
        "getitimer",
        "pause",
        "pthread_kill",
        "pthread_sigmask",
        "setitimer",
        "sigpending",
        "sigwait",
        "sigwaitinfo",
        "siginterrupt",
    ]
)
OTHERS = frozenset(
    ["add_signal_handler", "remove_signal_handler", "tzset", "start_unix_server", "open_unix_connection"]
)
GUARDS = {"sched_getaffinity": "hasattr(os, 'sched_getaffinity')"}
"""What stands elsewhere behind a question whether it is there."""
FILES = sorted(SOURCE.rglob("*.py"))


def leanings(tree: ast.AST, text: str):
    for node in ast.walk(tree):
        if isinstance(node, ast.Import | ast.ImportFrom):
            names = (
                [node.module or ""] if isinstance(node, ast.ImportFrom) else [one.name for one in node.names]
            )
            yield from (name for name in names if name.partition(".")[0] in MODULES)
        elif isinstance(node, ast.Attribute):
            owner = node.value.id if isinstance(node.value, ast.Name) else ""
            wanted = {"os": OS, "signal": SIGNALS}.get(owner, frozenset()) | OTHERS
            if node.attr in wanted and GUARDS.get(node.attr, "\0") not in text:
                yield f"{owner}.{node.attr}"
        elif (
            isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.startswith("/dev/")
        ):
            yield node.value


def loose(tree: ast.AST):
    """Yield the calls that read or write text without saying in what encoding."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        modes = [
            one.value for one in node.args if isinstance(one, ast.Constant) and isinstance(one.value, str)
        ]
        text_file = name in {"read_text", "write_text"} or (
            name == "open" and any(re.fullmatch("[rwax]t?[+]?", mode) for mode in modes)
        )
        if text_file and "encoding" not in {word.arg for word in node.keywords}:
            yield ast.unparse(node)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.relative_to(SOURCE).as_posix())
def test_a_module_leans_on_no_one_system_and_says_its_encodings(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert path == DOOR or not list(leanings(tree, ast.unparse(tree)))
    assert not list(loose(tree))


def test_the_test_itself_has_teeth():
    bad = (
        "import os, fcntl\nos.getuid()\nsignal.SIGHUP\nopen('x', 'w')\np.read_text()\nos.sched_getaffinity(0)"
    )
    tree = ast.parse(bad)
    assert set(leanings(tree, bad)) == {"fcntl", "os.getuid", "signal.SIGHUP", "os.sched_getaffinity"}
    assert len(list(loose(tree))) == 2
    assert OS & {name for name in dir(os) if not name.startswith("_")}


PRELUDE = """
import os, signal, sys, time, types
import asyncio, subprocess, multiprocessing, platformdirs  # they ask for what is taken away below
sys.modules['fcntl'] = sys.modules['pwd'] = sys.modules['grp'] = sys.modules['termios'] = None
locks = []
sys.modules['msvcrt'] = types.SimpleNamespace(
    LK_LOCK=1, LK_UNLCK=0, locking=lambda handle, mode, count: locks.append((mode, count)))
for name in ('fchmod fchown chown lchown pread pwrite getuid geteuid getgid getegid killpg fork mkfifo '
             'statvfs sysconf sched_getaffinity O_CLOEXEC O_DIRECTORY O_NOFOLLOW O_NONBLOCK').split():
    if hasattr(os, name):
        delattr(os, name)
for name in ('SIGHUP', 'SIGKILL', 'SIGUSR1'):
    delattr(signal, name)
del time.tzset
from swarfbook.cli.main import run_words
def call(*words):
    sys.argv = ['swarfbook', *words]
    return run_words()
"""
DAY = """
book = 'new'
os.environ['SWARFBOOK_BOOK'] = book
codes = [
    call('init', book, '--demo'),
    call('list'),
    call('check', 'long-bed-6mm-6082-rough'),
    call('log', 'long-bed-6mm-6082-rough', '--minutes', '12',
         '--outcome', 'clean', '--at', '2026-11-20T10:00'),
    call('derate', 'long-bed-6mm-6082-max', '--margin', '25%', '--save', 'my-first'),
    call('rename', 'my-first', 'my-second'),
    call('rename', 'machine:small-mill', 'mill'),
    call('copy', 'my-second', 'my-third'),
    call('delete', 'my-third'),
    call('restore', 'my-third'),
    call('history', 'my-second'),
    call('fit'),
    call('runs'),
    call('job', 'mast-clamps'),
    call('schema', '--editors'),
    call('verify'),
]
print(codes, file=sys.stderr)
print([mode for mode, _ in locks].count(1) == [mode for mode, _ in locks].count(0) > 5, file=sys.stderr)
"""
RESERVED = re.compile(r'[<>:"|?*\\\\]|[. ]$')


def test_a_day_in_a_book_without_what_windows_lacks(tmp_path):
    done = subprocess.run(
        [sys.executable, "-c", PRELUDE + DAY],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.stderr.splitlines()[-2:] == [str([0, 1, *[0] * 14]), "True"], done.stderr[-2000:]
    names = [path.name for path in (tmp_path / "new").rglob("*")]
    assert "my-second.toml" in names
    assert [name for name in names if RESERVED.search(name)] == []


SERVED = """
asyncio.SelectorEventLoop.add_signal_handler = asyncio.AbstractEventLoop.add_signal_handler  # as on Windows
os.environ['SWARFBOOK_BOOK'] = sys.argv[1]
sys.exit(call('serve', '--port', '0'))
"""


def test_serving_starts_and_ends_without_what_windows_lacks(tmp_path):
    pytest.importorskip("textual_serve")
    book = tmp_path / "book"
    shutil.copytree(demo_book_dir(), book)
    words = [sys.executable, "-u", "-c", PRELUDE + SERVED, str(book)]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        said = process.stdout.readline()
        time.sleep(0.5)
        process.send_signal(signal.SIGINT)
        _, err = process.communicate(timeout=60)
    assert said.startswith(b"http://127.0.0.1:"), err.decode()
    assert (process.returncode, err) == (0, b"")


def test_what_tells_a_process_to_end_is_heard_in_either_way(monkeypatch):
    async def heard() -> bool:
        ended, loop = asyncio.Event(), asyncio.get_running_loop()
        system.when_told_to_end(loop, ended.set)
        threading.Timer(0.05, os.kill, (os.getpid(), signal.SIGTERM)).start()
        async with asyncio.timeout(30):
            await ended.wait()
        return True

    before = signal.getsignal(signal.SIGTERM)
    assert asyncio.run(heard())
    monkeypatch.setattr(
        asyncio.SelectorEventLoop, "add_signal_handler", asyncio.AbstractEventLoop.add_signal_handler
    )
    old = {one: signal.getsignal(one) for one in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)}
    try:
        assert asyncio.run(heard())
    finally:
        for one, handler in old.items():
            signal.signal(one, handler)
    assert signal.getsignal(signal.SIGTERM) == before


@pytest.mark.parametrize(
    ("command", "windows", "words"),
    [
        ("nano", False, ["nano"]),
        ("code --wait", False, ["code", "--wait"]),
        ('"/opt/my editor/ed" -n', False, ["/opt/my editor/ed", "-n"]),
        (r'"C:\Program Files\Ed\ed.exe" -n', True, [r"C:\Program Files\Ed\ed.exe", "-n"]),
        (r"C:\ed.exe --wait", True, [r"C:\ed.exe", "--wait"]),
        ("", True, []),
    ],
)
def test_an_editor_is_taken_apart_as_the_system_does(command, windows, words):
    assert system.command_words(command, windows=windows) == words


def test_where_modes_say_nothing_nobody_is_refused_for_them(monkeypatch):
    assert system.others_may_use(0o644) == (os.name == "posix")
    monkeypatch.setattr(os, "name", "nt")
    assert not system.others_may_use(0o666)


def test_a_file_with_the_line_breaks_of_windows_is_read_and_keeps_them(tmp_path):
    from swarfbook.book import Book

    root = tmp_path / "book"
    shutil.copytree(demo_book_dir(), root)
    path = root / "recipes" / "long-bed-6mm-6082-rough.toml"
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    book = Book.open(root)
    entry = book.get("recipe", "long-bed-6mm-6082-rough")
    values = {**entry.raw, "notes": "New tape."}
    book.save("recipe", entry.id, values, seen=entry.sha)
    data = path.read_bytes()
    assert b"New tape." in data
    assert data.count(b"\n") == data.count(b"\r\n")

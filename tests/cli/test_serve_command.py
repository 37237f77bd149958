"""`swarfbook serve`: what it prints, what it refuses, and how it ends."""

from __future__ import annotations

import importlib.util
import shutil
import signal
import socket
import ssl
import subprocess
import sys
import urllib.request
from collections.abc import Callable
from pathlib import Path

import pytest

from swarfbook.web import server
from swarfbook.web.server import Served


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> list[tuple[Served, socket.socket, object]]:
    """Keep the server from running, and give what it was to serve."""
    kept = []

    async def serve(*what: object) -> None:
        kept.append(what)

    monkeypatch.setattr(server, "serve", serve)
    return kept


def test_on_this_machine_the_address_is_printed_without_a_token(run_cli, make_book, served) -> None:
    done = run_cli("serve", "--book", make_book(), "--port", "0")
    ((what, _, tls),) = served
    assert (done.returncode, done.stderr, tls) == (0, "", None)
    (address,) = done.lines
    assert address.startswith("http://127.0.0.1:")
    assert what.places.idle == 1800.0
    assert what.door._token is None


@pytest.fixture
def reached(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the address of another network be listened on, by listening on this machine's instead."""
    from swarfbook.web.address import Address

    monkeypatch.setattr(Address, "listen", lambda _, port: socket.create_server(("127.0.0.1", port)))


@pytest.mark.usefixtures("reached")
def test_for_other_machines_the_address_holds_a_new_token_and_a_warning_is_told(run_cli, make_book, served):
    book = make_book()
    first, second = (run_cli("serve", "--book", book, "--port", "0", "--host", "192.0.2.7") for _ in range(2))
    tokens = {what.door._token for what, _, _ in served}
    assert len(tokens) == 2
    for done in (first, second):
        (address,) = done.lines
        assert address.startswith("http://192.0.2.7:")
        assert address.partition("/?token=")[2] in tokens
        (warning,) = done.stderr.splitlines()
        assert warning.startswith("swarfbook: warning: without --tls-cert and --tls-key whoever is")
        assert not any(token in done.stderr for token in tokens)
    assert all(token not in word for token in tokens for what, _, _ in served for word in what.words)


def test_a_token_of_ones_own_is_not_printed(run_cli, make_book, served, tmp_path) -> None:
    kept = tmp_path / "token"
    kept.touch(0o600)
    kept.write_text("a-token-that-is-known-in-tests-only\n")
    done = run_cli("serve", "--book", make_book(), "--port", "0", "--token-file", kept)
    ((what, _, _),) = served
    assert what.door._token == "a-token-that-is-known-in-tests-only"  # noqa: S105 - made up for this test
    assert "known-in-tests" not in done.stdout + done.stderr
    assert done.stdout.endswith("/?token=\n")
    kept.chmod(0o640)
    done = run_cli("serve", "--book", make_book("other"), "--port", "0", "--token-file", kept)
    assert (done.returncode, len(served)) == (2, 1)
    assert "others may use this file" in done.stderr


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--host", "0.0.0.0"], "that is no single address"),  # noqa: S104 - an address to be asked about, nothing listens
        (["--port", "65536"], "is not in the range 0<=x<=65535"),
        (["--sessions", "0"], "is not in the range"),
        (["--idle", "a while"], "--idle: found a while;"),
        (["--idle", "2 s"], "--idle: found 2 s; write 10 s or more"),
        (["--idle", "5 mm"], "--idle: found 5 mm;"),
        (["--tls-cert", "c.pem"], "give --tls-cert and --tls-key, both or neither"),
        (["--tls-cert", "no.pem", "--tls-key", "no.pem"], "no.pem do not serve: no such file"),
        (["--token-file", "none"], "--token-file: found none; this cannot be read"),
    ],
)
def test_what_will_not_do_is_one_line(run_cli, make_book, served, tmp_path, words, told) -> None:
    done = run_cli("serve", "--book", make_book(), *words, cwd=tmp_path)
    assert (done.returncode, done.stdout, served) == (2, "", [])
    (line,) = done.stderr.splitlines()
    assert told in line


def test_a_folder_that_is_no_book_is_refused_before_anything_listens(run_cli, tmp_path, served) -> None:
    done = run_cli("serve", "--book", tmp_path / "none")
    assert (done.returncode, len(done.stderr.splitlines()), served) == (2, 1, [])


@pytest.mark.parametrize("missing", ["aiohttp", "textual_serve"])
def test_without_the_extra_one_line_says_how_to_get_it(run_cli, make_book, monkeypatch, missing) -> None:
    find = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == missing else find(name))
    done = run_cli("serve", "--book", make_book())
    assert done.returncode == 2
    assert done.stderr == "swarfbook: serve: this needs the extra: pip install 'swarfbook[serve]'\n"


@pytest.mark.skipif(shutil.which("openssl") is None, reason="needs openssl to make a certificate")
def test_with_a_certificate_it_speaks_https_alone(make_book: Callable[..., Path], tmp_path: Path) -> None:
    cert, key = tmp_path / "cert.pem", tmp_path / "key.pem"
    subject = ["-subj", "/CN=localhost", "-addext", "subjectAltName=IP:127.0.0.1", "-days", "2"]
    curve = ["-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes"]
    made = ["openssl", "req", "-x509", *curve, *subject, "-keyout", str(key), "-out", str(cert)]
    subprocess.run(made, check=True, capture_output=True)
    files = ["--tls-cert", str(cert), "--tls-key", str(key)]
    words = [sys.executable, "-m", "swarfbook", "serve", "--book", str(make_book()), "--port", "0", *files]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        address = process.stdout.readline().strip()
        assert address.startswith("https://127.0.0.1:")
        with urllib.request.urlopen(address, context=ssl.create_default_context(cafile=cert)) as answer:  # noqa: S310 - loopback
            assert b'"wss://127.0.0.1:' in answer.read()
        with pytest.raises(OSError, match=r"(?i)disconnect|reset|closed"):
            urllib.request.urlopen(address.replace("https", "http"))  # noqa: S310 - loopback
        process.terminate()
        said, told = process.communicate(timeout=60)
    assert (process.returncode, said, told) == (0, "", "")


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_it_answers_until_it_is_told_to_end(make_book: Callable[..., Path], how: signal.Signals) -> None:
    words = [sys.executable, "-m", "swarfbook", "serve", "--book", str(make_book()), "--port", "0"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        address = process.stdout.readline().strip()
        with urllib.request.urlopen(address) as answer:  # noqa: S310 - loopback
            assert b"<title>swarfbook</title>" in answer.read()
        process.send_signal(how)
        said, told = process.communicate(timeout=60)
    assert (process.returncode, said, told) == (0, "", "")

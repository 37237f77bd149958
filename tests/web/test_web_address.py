"""Addresses and tokens, as they are named on the command line."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import pytest

from swarfbook.errors import SwarfbookError
from swarfbook.web.address import address_of
from swarfbook.web.tokens import new_token, read_token


@pytest.mark.parametrize(
    ("host", "named", "own"),
    [
        ("127.0.0.1", "127.0.0.1", True),
        ("127.5.6.7", "127.5.6.7", True),
        ("::1", "[::1]", True),
        ("[::1]", "[::1]", True),
        ("192.0.2.7", "192.0.2.7", False),
        ("2001:DB8::7", "[2001:db8::7]", False),
        ("2001:db8:0:0::7", "[2001:db8::7]", False),
        ("::ffff:127.0.0.1", "[::ffff:7f00:1]", False),
    ],
)
def test_an_address_is_of_this_machine_or_others_reach_it(host: str, named: str, own: bool) -> None:
    address = address_of(host)
    assert (address.named, address.own) == (named, own)


def test_a_name_is_looked_up_once_and_listened_on_by_its_address(monkeypatch: pytest.MonkeyPatch) -> None:
    def found(host: str, *_: object, **__: object) -> list[tuple[object, ...]]:
        answers = {"bench.example": "192.0.2.9", "localhost": "127.0.0.1"}
        if host not in answers:
            raise socket.gaierror(-2, "unknown")
        return [(socket.AF_INET, socket.SOCK_STREAM, 6, "", (answers[host], 0))]

    monkeypatch.setattr(socket, "getaddrinfo", found)
    assert address_of("localhost").own
    bench = address_of("Bench.example")
    assert (bench.named, str(bench.number), bench.own) == ("bench.example", "192.0.2.9", False)
    with pytest.raises(SwarfbookError, match="--host: found nowhere; no address of that name"):
        address_of("nowhere")


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "224.0.0.1"])  # noqa: S104 - an address to be asked about, nothing listens
def test_every_address_at_once_is_none(host: str) -> None:
    with pytest.raises(SwarfbookError, match=r"--host: found .*; that is no single address"):
        address_of(host)


def test_a_port_that_is_taken_is_told() -> None:
    address = address_of("127.0.0.1")
    with (
        address.listen(0) as taken,
        pytest.raises(SwarfbookError, match=r"--host: .*cannot be listened on.*--port takes another"),
    ):
        address.listen(taken.getsockname()[1])


def kept(tmp_path: Path, text: str, mode: int = 0o600) -> Path:
    file = tmp_path / "token"
    file.write_text(text)
    file.chmod(mode)
    return file


def test_a_token_is_new_every_time_and_reads_again(tmp_path: Path) -> None:
    one = new_token()
    assert one != new_token()
    assert len(one) == 43  # 256 bits, six in a letter
    assert read_token(kept(tmp_path, f"{one}\n")) == one


@pytest.mark.parametrize("mode", [0o640, 0o604, 0o660, 0o606, 0o644, 0o610, 0o601])
def test_a_file_that_others_may_use_is_refused(tmp_path: Path, mode: int) -> None:
    file = kept(tmp_path, new_token(), mode)
    with pytest.raises(SwarfbookError, match=f"others may use this file; chmod 600 {file} makes it private"):
        read_token(file)


@pytest.mark.parametrize(
    "text", ["", "\n", "short", "a" * 19, "a" * 201, "a" * 100000, "twenty letters but blanks", "é" * 30]
)
def test_what_is_no_token_is_refused_without_being_shown(tmp_path: Path, text: str) -> None:
    with pytest.raises(SwarfbookError, match="a token is 20 to 200 letters") as caught:
        read_token(kept(tmp_path, text))
    assert not text.strip() or text.strip() not in str(caught.value)


def test_a_place_without_a_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SwarfbookError, match="cannot be read: no such file"):
        read_token(tmp_path / "none")
    with pytest.raises(SwarfbookError, match=r"cannot be read: is a directory|this is no file"):
        read_token(tmp_path)
    os.mkfifo(tmp_path / "pipe", 0o600)
    with pytest.raises(SwarfbookError, match="this is no file"):
        read_token(tmp_path / "pipe")

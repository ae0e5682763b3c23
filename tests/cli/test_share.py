"""`trainer serve --share`: an address phones can reach, a code that reads as it, only known hosts, and the warning."""

from __future__ import annotations

import http.client
import socket
import subprocess
import sys
import time

import numpy
import pytest
import zxingcpp
from click.testing import CliRunner

from trainer.cli import cli, share
from trainer.errors import StoreError

SCALE = 4


def scanned(text: str) -> str:
    """What a reader makes of the code printed in half blocks, which are its light dots."""
    lines = [line for line in text.splitlines() if line and set(line) <= set(" █▀▄")]
    width = max(map(len, lines))
    rows = [
        [255 if letter in inked else 0 for letter in line.ljust(width)]
        for line in lines
        for inked in ("█▀", "█▄")
    ]
    dots = numpy.kron(numpy.array(rows, dtype=numpy.uint8), numpy.ones((SCALE, SCALE), dtype=numpy.uint8))
    found = zxingcpp.read_barcodes(dots)
    return found[0].text if found else ""


def test_the_code_reads_as_the_address_and_the_warning_stands_with_it():
    said = share.invitation("http://192.168.1.20:8321/")
    assert scanned(said) == "http://192.168.1.20:8321/"
    assert "type  http://192.168.1.20:8321/" in said
    assert "plain HTTP" in said and "--https --proxies 1" in said and "TLS" in said


@pytest.mark.parametrize("way", ["no way out", "127.0.0.1", "0.0.0.0"])
def test_a_machine_on_no_network_says_so(monkeypatch, way):
    class Probe:
        def __init__(self, *given): ...
        def __enter__(self):
            return self

        def __exit__(self, *given): ...
        def connect(self, address):
            if way == "no way out":
                raise OSError("Network is unreachable")

        def getsockname(self):
            return (way, 40000)

    monkeypatch.setattr(share.socket, "socket", Probe)
    with pytest.raises(StoreError, match="on no network that phones could reach"):
        share.network_address()


@pytest.mark.parametrize("more", [["--https"], ["--proxies", "1"], ["--host", "127.0.0.1"]])
def test_what_cannot_go_together_is_refused(more):
    result = CliRunner().invoke(cli, ["serve", "--share", *more])
    assert result.exit_code == 2 and "leave out --host, --https and --proxies" in " ".join(
        result.output.split()
    )


def test_phones_are_answered_by_that_address_and_by_no_other_name(store_path, shop_people, tmp_path):
    try:
        address = share.network_address()
    except StoreError as refusal:
        pytest.skip(str(refusal))
    folder = tmp_path / "data"
    folder.mkdir()
    for more in ("", "-wal", "-shm"):
        if (left := store_path.with_name(store_path.name + more)).exists():
            left.rename(folder / f"shop.sqlite3{more}")
    with socket.socket() as free:
        free.bind((address, 0))  # only an address of the machine's own can be bound
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "trainer", "serve", "--share", "--workers", "1", "--data", str(folder)]
    command += ["--port", str(port), "--log", "none", "--copies", "0"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, encoding="utf-8") as served:
        try:
            said = ""
            for line in served.stdout:
                said += line
                if "Ctrl-C stops it" in line:
                    break
            assert scanned(said) == f"http://{address}:{port}/"
            assert f"served on http://{address}:{port}/" in said
            assert status(address, port, address) == 303  # to the sign-in
            assert status("127.0.0.1", port, "localhost") == 303
            assert status(address, port, "elsewhere.example") == 400
        finally:
            served.terminate()


def status(address: str, port: int, name: str) -> int:
    """The answer's status for a request that names the host `name`."""
    for _ in range(120):
        asked = http.client.HTTPConnection(address, port, timeout=20)
        try:
            asked.request("GET", "/", headers={"Host": f"{name}:{port}"})
            return asked.getresponse().status
        except OSError:
            time.sleep(0.25)
        finally:
            asked.close()
    raise AssertionError("no answer")

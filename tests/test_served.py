"""What is served: to whom, behind what, what a visitor may ask of it, and that it asks nobody outside."""

import contextlib
import http.cookiejar
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from websockets.exceptions import InvalidStatus
from websockets.sync.client import connect

import soilx
from soilx import cli, cli_open
from soilx.show.bench_folder import file_name, inside
from soilx.show.bench_keep import Keep
from tests.network_watch import asked_of, watched

CHECKOUT = Path(soilx.__file__).resolve().parents[1]
STARTS_WITHIN = 60.0


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@contextlib.contextmanager
def served(name, *arguments, told=subprocess.DEVNULL, environment=None):
    """The port of a notebook that `soilx open` serves, once it answers."""
    port = free_port()
    server = subprocess.Popen(
        [sys.executable, "-m", "soilx.cli", "open", name, "--headless", "--port", str(port), *arguments],
        env={**os.environ, "PYTHONPATH": str(CHECKOUT), "PYTHONUNBUFFERED": "1", **(environment or {})},
        stdin=subprocess.DEVNULL,
        stdout=told,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        ends = time.monotonic() + STARTS_WITHIN
        while time.monotonic() < ends:
            assert server.poll() is None
            with contextlib.suppress(OSError):
                urllib.request.urlopen(f"http://127.0.0.1:{port}/health", timeout=5).close()
                break
            time.sleep(0.1)
        yield port
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(server.pid, signal.SIGTERM)
        server.wait(timeout=20)


def listening(port):
    """Addresses that a port is bound to, as the kernel tells them."""
    found = set()
    for table in ("/proc/net/tcp", "/proc/net/tcp6"):
        with contextlib.suppress(OSError):
            for line in Path(table).read_text("ascii").splitlines()[1:]:
                local, state = line.split()[1], line.split()[3]
                if state == "0A" and int(local.rpartition(":")[2], 16) == port:
                    found.add(local.rpartition(":")[0])
    return found


def answer(request, opener=None):
    """Status of an answer, whatever it is."""
    try:
        with (opener or urllib.request.build_opener()).open(request, timeout=20) as said:
            return said.status
    except urllib.error.HTTPError as refused:
        return refused.code


def test_a_page_in_use_asks_nobody_outside__analytic(tmp_path):
    # The others are watched while a browser uses them: tests/browser/conftest.py.
    with (
        served("homework", environment=watched(tmp_path / "watch", CHECKOUT)) as port,
        connect(f"ws://127.0.0.1:{port}/ws?session_id=s_watch1", max_size=None) as page,
    ):
        ends = time.monotonic() + STARTS_WITHIN
        while '"completed-run"' not in str(page.recv(timeout=max(0.1, ends - time.monotonic())))[:60]:
            pass
    assert asked_of(tmp_path / "watch") == []


def test_whoever_does_ask_is_seen__analytic(tmp_path):
    asking = "import socket; socket.socket(socket.AF_INET, socket.SOCK_DGRAM).connect(('192.0.2.1', 9))"
    subprocess.run([sys.executable, "-c", asking], env=watched(tmp_path / "watch"), check=True)
    assert asked_of(tmp_path / "watch") == ["socket.connect 192.0.2.1"]


@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="only Linux tells who listens where")
def test_a_served_notebook_listens_to_this_machine_and_lets_nobody_edit__analytic():
    with served("homework") as port:
        assert listening(port) == {"0100007F"}
        page = urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=20).read().decode()
        token = re.search(r'server-token[^>]*data-token="([^"]*)"', page)[1]
        # What is shown is what the cells make, never how.
        assert "problem_sheet" not in page
        for path in (
            "kernel/run",
            "kernel/save",
            "files/list_files",
            "packages/add",
            "kernel/scratchpad/run",
        ):
            request = urllib.request.Request(
                f"http://127.0.0.1:{port}/api/{path}",
                data=b"{}",
                headers={"Content-Type": "application/json", "Marimo-Server-Token": token},
            )
            assert answer(request) in (401, 403, 404, 405), path
        with pytest.raises(InvalidStatus), connect(f"ws://127.0.0.1:{port}/terminal/ws"):
            pass


def test_a_network_gets_in_with_the_token_alone__analytic(tmp_path):
    kept = tmp_path / "token.txt"
    kept.write_text("only-for-this-class-7\n", encoding="utf-8")
    said = tmp_path / "said.txt"
    with (
        said.open("wb") as told,
        served("homework", "--host", "0.0.0.0", "--token-file", str(kept), told=told) as port,
    ):
        for asked in ("", "?access_token=guess"):
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/{asked}", timeout=20) as page:
                assert "/auth/login" in page.url
        with pytest.raises(InvalidStatus), connect(f"ws://127.0.0.1:{port}/ws?session_id=s_none01"):
            pass
        jar = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(http.cookiejar.CookieJar()))
        with jar.open(f"http://127.0.0.1:{port}/?access_token=only-for-this-class-7", timeout=20) as page:
            assert "/auth/login" not in page.url
        assert "?access_token=only-for-this-class-7" in said.read_text("utf-8")
        if Path("/proc").is_dir():
            started = [path.read_bytes() for path in Path("/proc").glob("[0-9]*/cmdline") if _still(path)]
            assert not [line for line in started if b"only-for-this-class-7" in line]


def _still(path):
    try:
        return bool(path.read_bytes())
    except OSError:
        return False


@pytest.fixture
def asked(monkeypatch):
    """The command line that a server would be started with."""
    commands = []
    monkeypatch.setattr(cli_open.os, "execve", lambda _, command, __: commands.append(command))
    return commands


@pytest.mark.parametrize("host", ["0.0.0.0", "::"])
def test_another_host_makes_a_token_and_prints_where_to_go__analytic(asked, capsys, host):
    if host == "::" and not socket.has_ipv6:
        pytest.skip("no IPv6 on this machine")
    assert cli.run_command(["open", "lecture", "--host", host]) in (0, 2)
    said = capsys.readouterr()
    if host == "::" and not asked:
        assert "host" in said.err  # a machine without the address says so
        return
    (command,) = asked
    token = re.search(r"access_token=([\w-]{20,})", said.out)[1]
    assert command[1:4] == ["-m", "marimo", "run"]
    assert command[command.index("--host") + 1] == host
    assert "--token" in command
    assert token not in " ".join(command)
    handle = int(command[command.index("--token-password-file") + 1].rpartition("/")[2])
    assert os.read(handle, 100).decode() == token
    os.close(handle)


def test_by_default_it_is_the_loopback_and_run_mode__analytic(asked):
    for name in cli.offered_notebooks():
        assert cli.run_command(["open", name, "--headless"]) == 0
    for command in asked:
        assert command[1:4] == ["-m", "marimo", "run"]
        assert command[command.index("--host") + 1] == "127.0.0.1"
        assert not {"--include-code", "--watch", "--allow-origins"} & set(command)


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["bench", "--host", "0.0.0.0", "--folder", "."], "not for whoever comes by the network"),
        (["lecture", "--host", "256.1.1.1"], "no address of this machine"),
        (["lecture", "--host", "192.0.2.1"], "not allowed"),
        (["lecture", "--token-file", "x"], "is of no use"),
        (["lecture", "--host", "0.0.0.0", "--token-file", "nowhere"], "cannot be read"),
    ],
)
def test_what_cannot_be_served_safely_is_refused__analytic(asked, capsys, arguments, says):
    assert cli.run_command(["open", *arguments]) == 2
    said = capsys.readouterr().err
    assert says in said
    assert said.count("\n") == 1
    assert asked == []


@pytest.mark.parametrize("token", ["short", "with a blank in it", "ü" * 20, ""])
def test_a_token_that_is_guessed_is_refused__analytic(asked, capsys, tmp_path, token):
    path = tmp_path / "token.txt"
    path.write_text(token, encoding="utf-8")
    assert cli.run_command(["open", "lecture", "--host", "0.0.0.0", "--token-file", str(path)]) == 2
    assert "holds no token" in capsys.readouterr().err
    assert asked == []


@pytest.mark.parametrize(
    "name",
    ["../x.csv", "..\\x.csv", "/etc/x.csv", "a/b.csv", ".hidden.csv", "x.csv\x00", "C:x.csv", "~/x.csv", "-"],
)
def test_a_record_s_name_leads_nowhere__analytic(name):
    with pytest.raises(soilx.SoilxError, match="not a file's name"):
        file_name(name)


@pytest.mark.skipif(sys.platform == "win32", reason="links are POSIX's")
def test_a_link_out_of_the_folder_is_neither_read_nor_written__analytic(tmp_path):
    outside = tmp_path / "outside.csv"
    outside.write_text("arm,portion,volume_ml\na,1,5\n", encoding="utf-8")
    folder = tmp_path / "folder"
    folder.mkdir()
    (folder / "link.csv").symlink_to(outside)
    (folder / "dangling.csv").symlink_to(tmp_path / "not_yet.csv")
    keep = Keep(folder)
    assert keep.names == []
    with pytest.raises(soilx.SoilxError, match="out of the folder"):
        keep.begin("dangling.csv", "arm,portion,volume_ml\n")
    with pytest.raises(soilx.SoilxError):
        keep.open("link.csv")
    assert not (tmp_path / "not_yet.csv").exists()
    assert inside(folder, "new.csv") == folder / "new.csv"

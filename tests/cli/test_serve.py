"""`intake serve`: says where to look, keeps to this machine unless asked, and lets go of the ledger at the end."""

import os
import re
import signal
import subprocess
import sys
import urllib.request

import pytest

from intake.app import main as app_main
from intake.app import share
from intake.app.server import bound_socket
from intake.cli import main
from intake.ledger import Ledger


class Serving:
    """`intake serve` as a child; its first two lines are read already."""

    def __init__(self, *args):
        env = {**os.environ, "PYTHONUNBUFFERED": "1", "FLET_FORCE_WEB_SERVER": "true"}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "intake", "serve", "--port", "0", *map(str, args)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=env,
        )
        self.said = [self.process.stdout.readline(), self.process.stdout.readline()]
        self.url = re.search(r"http://\S+", self.said[0]).group()

    def ask(self, path):
        with urllib.request.urlopen(self.url + path) as answer:
            return answer.status, answer.read()

    def stop(self, with_signal):
        self.process.send_signal(with_signal)
        out, err = self.process.communicate(timeout=20)
        return self.process.returncode, out, err


@pytest.fixture
def run(capsys):
    def _run(*args):
        try:
            main(["serve", *map(str, args)])
            code = 0
        except SystemExit as stop:
            code = int(stop.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return _run


@pytest.mark.parametrize("with_signal", [signal.SIGINT, signal.SIGTERM])
def test_it_answers_says_where_and_leaves_a_whole_ledger(tmp_path, with_signal):
    serving = Serving("--ledger", tmp_path / "l")
    assert serving.said[0] == f"Open {serving.url} on this machine. Ctrl+C stops.\n"
    assert serving.said[1] == f"Ledger: {tmp_path / 'l'}\n"
    assert serving.ask("/health")[0] == 200
    code, out, err = serving.stop(with_signal)
    assert (code, out, err) == (0, "Stopped. Everything is saved.\n", "")
    with Ledger.open(tmp_path / "l", writer=True, now_ms=lambda: 0) as ledger:
        assert [e.kind for e in ledger.events()] == ["CampaignSet"]


def test_the_demo_is_there_with_its_tags(tmp_path):
    serving = Serving("--ledger", tmp_path / "l", "--demo")
    try:
        assert serving.ask("/download/tag/QT-01.pdf")[1].startswith(b"%PDF")
        assert serving.ask("/download/tag/QT-01.png")[1].startswith(b"\x89PNG")
    finally:
        serving.stop(signal.SIGTERM)
    with Ledger.open(tmp_path / "l") as ledger:
        assert len(ledger.state.bins["QT-01"].labels) == 1


def test_a_taken_port_is_one_sentence_and_touches_no_ledger(run, tmp_path):
    with bound_socket("127.0.0.1", 0) as held:
        held.listen()
        port = held.getsockname()[1]
        code, out, err = run("--port", port, "--ledger", tmp_path / "l")
    assert (code, out) == (2, "")
    assert f"127.0.0.1:{port}" in err
    assert err.count("\n") == 1
    assert not (tmp_path / "l").exists()


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (("--port", 70000), "1 to 65535"),
        (("--port", "x"), "not a valid integer"),
        (("--share", "--host", "no host", "--port", 0), "an address of this machine"),
        (("--campaign", "missing.toml", "--port", 0), "missing.toml"),
    ],
    ids=["port too large", "port no number", "no such address", "no such campaign"],
)
def test_bad_input_is_a_sentence_and_exit_two(run, tmp_path, args, told):
    code, _, err = run("--ledger", tmp_path / "l", *args)
    assert code == 2
    assert told in err
    assert "Traceback" not in err


@pytest.fixture
def told(monkeypatch, run, tmp_path):
    """What `serve` asks of the app, and what it says when the app is ready; nothing is served."""

    def _told(*args):
        asked = {}

        def fake(opened, **how):
            how["on_ready"]("http://127.0.0.1:8550")
            asked.update(how)
            with opened() as desk:
                asked["folder"] = desk.ledger.folder

        monkeypatch.setattr(app_main, "run", fake)
        monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
        monkeypatch.setenv("HOME", str(tmp_path))
        code, out, err = run(*args)
        assert (code, err) == (0, "")
        return asked, out

    return _told


@pytest.mark.parametrize("shared", [False, True])
def test_only_a_shared_table_asks_for_a_code_and_says_what_sharing_means(told, shared):
    asked, out = told("--host", "127.0.0.2", *(["--share"] if shared else []))
    assert asked["host"] == "127.0.0.2"
    assert (asked["door"] is not None) is shared
    assert ("not encrypted" in out) is shared
    if shared:
        assert f"type the code {asked['door'].code}" in out


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.168.1.7"])
def test_a_network_address_without_sharing_is_refused(run, tmp_path, host):
    code, out, err = run("--ledger", tmp_path / "l", "--host", host, "--port", 0)
    assert (code, out) == (2, "")
    assert "--share" in err
    assert not (tmp_path / "l").exists()


def test_a_shared_table_needs_one_address(run, tmp_path):
    code, _, err = run("--ledger", tmp_path / "l", "--share", "--host", "0.0.0.0", "--port", 0)
    assert code == 2
    assert "one address of this machine" in err


def test_the_likeliest_of_several_addresses_is_chosen_and_said(told, monkeypatch):
    monkeypatch.setattr(share, "own_addresses", lambda: ("192.168.1.7", "10.0.0.9"))
    asked, out = told("--share")
    assert asked["host"] == "192.168.1.7"
    assert "192.168.1.7, 10.0.0.9" in out


def test_a_machine_without_a_network_is_told_what_to_do(run, monkeypatch, tmp_path):
    monkeypatch.setattr(share, "own_addresses", lambda: ())
    code, _, err = run("--ledger", tmp_path / "l", "--share")
    assert code == 2
    assert "--host" in err


@pytest.mark.parametrize(("args", "name"), [((), "table"), (("--demo",), "demo")])
def test_without_a_ledger_it_keeps_one_of_its_own(told, tmp_path, args, name):
    asked, out = told(*args)
    assert asked["host"] == "127.0.0.1"
    assert asked["folder"].parts[-2:] == ("resin-intake", name)
    assert str(tmp_path) in str(asked["folder"])
    assert str(asked["folder"]) in out

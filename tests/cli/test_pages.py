"""`intake report` and `intake card` where something is wrong: a sentence, exit code 2, nothing half-written."""

import os

import pytest
from ledger_story import create, received

from intake.cli import main
from intake.handbook.locate import resources
from intake.ledger.events import CampaignSet

CHARGE = '[[charge]]\nid = "slat"\nresin = "PE-HD"\ncavity = "1 L"\n'


@pytest.fixture
def run(capsys):
    """Run a command; gives its exit code, and what it said and warned."""

    def call(*words):
        code = 0
        try:
            main([str(w) for w in words])
        except SystemExit as stop:
            code = int(stop.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return call


@pytest.fixture
def ledger(tmp_path):
    """A ledger with a campaign and one item."""
    charge = {"id": "slat", "resin": "PE-HD", "cavity": 1000.0}
    with create(tmp_path / "ledger") as opened:
        opened.append([CampaignSet(campaign={"name": "Slats", "charge": [charge]}, edition="2026-11")])
        opened.append([received("a1", kind="jug", note="🧴 שלום " + "n" * 400)])
    return tmp_path / "ledger"


def _campaign(tmp_path, name):
    (tmp_path / "campaign.toml").write_text(f'name = "{name}"\ntable = "{name}"\n{CHARGE}', encoding="utf-8")
    return tmp_path / "campaign.toml"


def test_the_report_says_what_it_drew(run, ledger, tmp_path) -> None:
    code, said, _ = run("report", "--ledger", ledger, "--out", tmp_path / "day.pdf")
    assert (code, "1 items" in said) == (0, True)
    assert (tmp_path / "day.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--day", "2019-05-01"], "a day on which something happened"),
        (["--day", "soon"], "a day such as 2026-11-25"),
        (["--paper", "a5"], "a4"),
    ],
)
def test_a_report_that_cannot_be_is_told(words, told, run, ledger, tmp_path) -> None:
    code, _, warned = run("report", "--ledger", ledger, "--out", tmp_path / "day.pdf", *words)
    assert (code, told in warned) == (2, True), warned
    assert not (tmp_path / "day.pdf").exists()


def test_a_report_of_no_ledger_is_told(run, tmp_path) -> None:
    code, _, warned = run("report", "--ledger", tmp_path / "none", "--out", tmp_path / "day.pdf")
    assert (code, "a folder that holds a ledger" in warned) == (2, True)


@pytest.mark.parametrize("command", ["report", "card"])
@pytest.mark.parametrize("place", ["folder", "under a file"])
def test_a_file_that_cannot_be_written_is_told(command, place, run, ledger, tmp_path) -> None:
    (tmp_path / "file").write_text("mine")
    out = ledger if place == "folder" else tmp_path / "file" / "page.pdf"
    given = (
        ("--ledger", ledger)
        if command == "report"
        else ("--campaign", resources() / "demo" / "campaign.toml")
    )
    code, _, warned = run(command, *given, "--out", out)
    assert (code, "--out" in warned) == (2, True), warned
    assert (tmp_path / "file").read_text() == "mine"


def test_a_full_disk_leaves_the_page_that_was_there(run, ledger, tmp_path, monkeypatch) -> None:
    (tmp_path / "day.pdf").write_bytes(b"yesterday")

    def full(_fd: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    code, _, warned = run("report", "--ledger", ledger, "--out", tmp_path / "day.pdf")
    assert (code, "No space left" in warned) == (2, True), warned
    assert (tmp_path / "day.pdf").read_bytes() == b"yesterday"
    assert not [p for p in tmp_path.iterdir() if p.name.endswith(".part")]


@pytest.mark.parametrize(
    "name", ["🧴♻️ מגירה", "مجموعة الميناء", "n" * 80, "W W W W W W W W W W W W W W W W W W W W", "Ünïcødé"]
)
def test_a_name_in_any_script_is_printed(name, run, tmp_path) -> None:
    code, _, warned = run("card", "--campaign", _campaign(tmp_path, name), "--out", tmp_path / "card.pdf")
    assert (code, warned) == (0, "")


def test_a_name_of_400_characters_is_told(run, tmp_path) -> None:
    code, _, warned = run(
        "card", "--campaign", _campaign(tmp_path, "n" * 400), "--out", tmp_path / "card.pdf"
    )
    assert (code, "name" in warned) == (2, True)
    assert not (tmp_path / "card.pdf").exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--url", "the table"], "an address such as"),
        (["--bath-volume", "lots"], "a volume above 0"),
        (["--bath-volume", "-2L"], "a volume above 0"),
        (["--bath-volume", "nan"], "a volume above 0"),
        (["--bath-volume", "900 L"], "at most 50 L"),
        (["--paper", "b4"], "a4"),
    ],
)
def test_a_card_that_cannot_be_is_told(words, told, run, tmp_path) -> None:
    campaign = resources() / "demo" / "campaign.toml"
    code, _, warned = run("card", "--campaign", campaign, "--out", tmp_path / "card.pdf", *words)
    assert (code, told in warned) == (2, True), warned
    assert not (tmp_path / "card.pdf").exists()


@pytest.mark.parametrize("command", ["export", "import", "report", "card"])
def test_each_command_explains_itself(command, run) -> None:
    code, said, _ = run(command, "--help")
    assert (code, "--out" in said or "--ledger" in said) == (0, True)

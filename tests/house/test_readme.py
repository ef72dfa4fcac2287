"""What README says can be done, done: its commands run, every command is named, every link and picture is there."""

import re
import shlex
from pathlib import Path

import pytest

from intake.cli import COMMANDS, main

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")
TOUR = re.findall(r"^\$ intake (.+)$", README, flags=re.MULTILINE)


def test_the_five_minute_tour_runs_as_printed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "resources").symlink_to(ROOT / "resources")
    monkeypatch.chdir(tmp_path)
    assert len(TOUR) >= 3
    for line in TOUR:
        main(shlex.split(line))
    assert (tmp_path / "second" / "items.csv").is_file()


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_in_the_reference(command: str) -> None:
    assert re.search(rf"`intake {re.escape(command)}[ `]", README), command


@pytest.mark.parametrize("target", sorted(set(re.findall(r"\]\(([^)#]+)\)", README))))
def test_every_link_leads_somewhere(target: str) -> None:
    assert (ROOT / target).exists()


def test_the_job_stands_first_and_then_two_set_up_commands() -> None:
    blocks = re.findall(r"^```sh\n(.+?)\n```$", README, flags=re.MULTILINE | re.DOTALL)
    assert [b for b in blocks if "serve --demo" in b or "tests/run.sh" in b] == blocks[:2]
    assert README.index("labelled bins of shred") < README.index("```sh")


def test_nothing_else_is_visible_at_the_top() -> None:
    import subprocess

    listed = subprocess.run(
        ["git", "ls-tree", "--name-only", "HEAD"], cwd=ROOT, check=True, capture_output=True, text=True
    ).stdout.split()
    visible = {name for name in listed if not name.startswith(".")}
    assert visible == {
        "pyproject.toml", "README.md", "DEVELOPERS.md", "LICENSE", "intake", "tests", "resources", "shared",
    }  # fmt: skip

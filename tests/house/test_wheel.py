"""An installed wheel brings its tables: built, put into a clean environment, run from another folder."""

import json
import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this checkout, built with the backend that is installed."""
    out = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(out), str(ROOT)]
    subprocess.run(command, check=True, capture_output=True)
    (built,) = out.glob("*.whl")
    return built


def test_the_wheel_holds_tables_words_fonts_and_demo(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    for inside in ("kinds.toml", "sources.toml", "demo/sheet.csv", "words/en/app.po", "fonts/DejaVuSans.ttf"):
        assert f"intake/_resources/{inside}" in names
    assert not [n for n in names if n.startswith(("tests/", "shared/"))]


def test_an_installed_wheel_sorts_the_demo_from_another_folder(wheel: Path, tmp_path: Path) -> None:
    home = tmp_path / "clean"
    venv.create(home, with_pip=False, symlinks=True)
    site = next(home.glob("lib/python*/site-packages"))
    # the dependencies come from this environment; its own editable copy of intake does not come along
    (site / "dependencies.pth").write_text(sysconfig.get_paths()["purelib"] + "\n", encoding="utf-8")
    install = [sys.executable, "-m", "pip", "--python", str(home / "bin" / "python"), "install"]
    subprocess.run([*install, "--no-deps", "--no-index", "-q", str(wheel)], check=True, capture_output=True)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    environment = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "VIRTUAL_ENV")}

    where = "import intake; print(intake.__file__)"
    run = subprocess.run(
        [home / "bin" / "python", "-c", where],
        cwd=elsewhere,
        env=environment,
        check=True,
        capture_output=True,
        text=True,
    )
    assert Path(run.stdout.strip()).is_relative_to(site)

    demo = subprocess.run(
        [home / "bin" / "intake", "demo", "--out", "d", "--json"],
        cwd=elsewhere, env=environment, check=True, capture_output=True, text=True,
    )  # fmt: skip
    assert json.loads(demo.stdout)["items"] == 60
    assert (elsewhere / "d" / "labels.pdf").read_bytes().startswith(b"%PDF")

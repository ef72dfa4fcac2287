"""Whatever an export has become, it is read or told: never a traceback, never half a ledger."""

import json
import shutil
import tempfile
from contextlib import suppress
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from ledger_story import create

from intake.desk.exchange import Format, take
from intake.desk.exchange.package import sha256
from intake.errors import IntakeError
from intake.ledger import Ledger, ledger_exists

JUNK = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 5), st.floats(), st.text(max_size=6), st.just([]), st.just({}),
    st.just([[1]]), st.just({"name": []}),
)  # fmt: skip


def _places(value, path=()):
    yield path
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, part in parts:
        yield from _places(part, (*path, key))


def _taken(folder: Path, ledger: Path, handbook) -> None:
    with suppress(IntakeError):  # anything else is a traceback, and the test fails
        take(folder, ledger, handbook)
        Ledger.open(ledger).close()
        assert ledger_exists(ledger)
        return
    assert not ledger.exists()
    assert not [p for p in folder.parent.iterdir() if p.name.startswith(".")]


@settings(max_examples=50, deadline=None)
@given(data=st.data(), junk=JUNK)
def test_any_value_of_the_descriptor_may_be_junk(data, junk, exports, handbook) -> None:
    about = json.loads((exports[Format.CSV] / "datapackage.json").read_text(encoding="utf-8"))
    path = data.draw(st.sampled_from([p for p in _places(about) if p]))
    place = about
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = junk
    with tempfile.TemporaryDirectory() as name:
        folder = Path(shutil.copytree(exports[Format.CSV], Path(name) / "export"))
        (folder / "datapackage.json").write_text(json.dumps(about), encoding="utf-8")
        _taken(folder, Path(name) / "ledger", handbook)


@settings(max_examples=40, deadline=None)
@given(data=st.data(), form=st.sampled_from(Format))
def test_any_byte_of_any_file_may_be_another(data, form, exports, handbook) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(shutil.copytree(exports[form], Path(name) / "export"))
        path = data.draw(st.sampled_from(sorted(folder.iterdir())))
        content = bytearray(path.read_bytes())
        for _ in range(data.draw(st.integers(1, 4))):
            content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
        path.write_bytes(bytes(content[: data.draw(st.sampled_from([len(content), len(content) // 2]))]))
        _taken(folder, Path(name) / "ledger", handbook)


NEARLY = b'{"v":1,"station":"x","seq":1,"hlc":"0","id":"x.1","kind":[],"body":null,"prev":""}'


@settings(max_examples=40, deadline=None)
@given(line=st.one_of(st.binary(max_size=60), st.sampled_from([b"[" * 5000, NEARLY, b"{}", b"null"])))
def test_events_made_up_with_their_hash_are_told(line, exports, handbook) -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(shutil.copytree(exports[Format.CSV], Path(name) / "export"))
        content = line.replace(b"\n", b"") + b"\n"
        (folder / "events.jsonl").write_bytes(content)
        about = json.loads((folder / "datapackage.json").read_text(encoding="utf-8"))
        about["resources"][-1] |= {"bytes": len(content), "hash": sha256(content)}
        (folder / "datapackage.json").write_text(json.dumps(about), encoding="utf-8")
        _taken(folder, Path(name) / "ledger", handbook)


def test_an_empty_ledger_can_leave_and_come_back(tmp_path, handbook) -> None:
    from intake.desk.exchange import export

    create(tmp_path / "one").close()
    for form in Format:
        export(tmp_path / "one", tmp_path / form, handbook, form)
        assert take(tmp_path / form, tmp_path / f"two-{form}", handbook).new

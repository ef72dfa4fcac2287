"""A folder of files that appears whole or not at all."""

import os
import shutil
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Never

from intake.errors import BadInput


def write_folder(folder: Path, files: Mapping[str, bytes], *, ours: Collection[str]) -> None:
    """Make `folder` hold these files and nothing else, whole or not at all.

    Args:
        folder: new, empty, or one that holds nothing but `ours`: an earlier export, which is replaced.
        files: content by file name.
        ours: file names that an earlier export may have left.

    Raises:
        BadInput: the folder holds something else, or the disk does not take it; nothing was changed then.
    """
    _check_free(folder, set(ours))
    with fresh_folder(folder) as aside:
        for name, content in files.items():
            with (aside / name).open("xb") as stream:
                stream.write(content)
                stream.flush()
                os.fsync(stream.fileno())


@contextmanager
def fresh_folder(folder: Path) -> Iterator[Path]:
    """A folder aside that takes the place of `folder` once the block ends well; where it does not, it goes.

    Raises:
        BadInput: the disk does not take it.
    """
    folder = Path(os.path.abspath(folder))  # noqa: PTH100  a link stays the link it is
    if not folder.name or folder == Path.cwd():
        expected = "a folder beside the one you stand in, such as export"
        raise BadInput(where="Folder", got=folder, expected=expected)
    aside = folder.with_name(f".{folder.name}.{os.getpid()}.part")
    old = folder.with_name(f".{folder.name}.{os.getpid()}.old")
    try:
        aside.mkdir(parents=True)
        yield aside
        if folder.exists():
            folder.replace(old)
        aside.replace(folder)
    except OSError as error:
        if old.exists() and not folder.exists():
            old.replace(folder)
        _refuse(folder, error)
    finally:
        shutil.rmtree(aside, ignore_errors=True)
        shutil.rmtree(old, ignore_errors=True)


def _check_free(folder: Path, ours: set[str]) -> None:
    """Refuse a folder in which something lies that no export wrote."""
    try:
        inside = sorted(p.name for p in folder.iterdir()) if folder.exists() else []
    except OSError as error:
        _refuse(folder, error)
    foreign = [name for name in inside if name not in ours]
    if foreign:
        got = ", ".join(foreign[:3]) + ("" if len(foreign) <= 3 else ", …")  # noqa: PLR2004  enough to see which
        expected = "a new or empty folder, or an earlier export, which is replaced"
        raise BadInput(where=f"Folder {folder.name}, which holds", got=got, expected=expected)


def _refuse(folder: Path, error: OSError) -> Never:
    raise BadInput(
        where="Folder", got=folder, expected=f"a folder that can be written ({error.strerror or error})"
    ) from None

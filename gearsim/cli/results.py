"""Writing results: all files or none, and nothing overwritten unasked."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from itertools import chain, count
from pathlib import Path
from tempfile import TemporaryDirectory

from gearsim.errors import FileError

Files = Mapping[str, bytes]  # content by file name
SCRATCH = ".gearsim-"


@dataclass(frozen=True, kw_only=True)
class Written:
    """The folder where results are, and whether they were there before.

    `left` are the names of files there that an earlier run left and this one did not write.
    """

    folder: Path
    same_as_before: bool
    left: tuple[str, ...]


def write_results(
    files: Files, usual: Path, *, out: Path | None, replace: bool, ours: Sequence[str] = ()
) -> Written:
    """Write the files into a folder, all or none.

    The folder is `out`, else the `usual` one, else, where that holds other results, the first of
    `usual-2`, `usual-3` ... that is free or holds just these.  With `replace`, files of the same
    names in `out` (or in the usual folder) are replaced.  What is left there from before under a
    name that one of the patterns `ours` has is told, and never removed.

    Raises `FileError` where files that differ would be overwritten unasked or cannot be written.
    """
    folder = out if out is not None else usual
    with _told_as_input_error(folder):
        if out is None and not replace:
            folder = _free_or_same(usual, files)
        same = _holds(folder, files)
        if not same:
            _refuse_unless_folder(folder)
            if folder.exists():
                _refuse_overwriting(folder, files, replace)
                _write_into(folder, files)
            else:
                _write_new(folder, files)
        return Written(folder=folder, same_as_before=same, left=_left(folder, files, ours))


def _left(folder: Path, files: Files, ours: Sequence[str]) -> tuple[str, ...]:
    """The files of our own names that this run did not write."""
    found = {path.name for pattern in ours for path in folder.glob(pattern) if path.is_file()}
    return tuple(sorted(found - set(files)))


def refuse_unwritable(usual: Path, *, out: Path | None, ours: Sequence[str] = ()) -> None:
    """Refuse, before any work is done, a place where results cannot go; nothing is made yet.

    The `usual` folder is refused only where it is not there and cannot be made: one that is there
    may hold the same results, and then nothing is written.  Whether a file of `out` would be
    overwritten shows only once there is something to write: it may be the same.

    Raises `FileError`.
    """
    if out is not None:
        with _told_as_input_error(out):
            _refuse_unless_folder(out)
            _refuse_folders(out, ours)
            refuse_forbidden(out, out if out.exists() else out.parent)
        return
    with suppress(OSError):  # what is wrong with the name is told when the input is read
        if usual.parent.is_dir() and not usual.exists():
            refuse_forbidden(usual, usual.parent)


def refuse_forbidden(path: Path, into: Path) -> None:
    """Raise `FileError` for a path that cannot be made or written in a folder."""
    if not os.access(into, os.W_OK | os.X_OK):
        raise FileError(
            f"{path}: cannot be written (no permission in {into}); choose another place"
        )


def write_new_files(files: Mapping[Path, bytes]) -> None:
    """Write files that must not exist yet, all or none.

    Raises `FileError` where one exists or cannot be written.
    """
    made: list[Path] = []
    try:
        for path, content in files.items():
            with _told_as_input_error(path), path.open("xb") as file:
                made.append(path)
                file.write(content)
    except BaseException:
        for path in made:
            path.unlink(missing_ok=True)
        raise


@contextmanager
def _told_as_input_error(path: Path) -> Iterator[None]:
    try:
        yield
    except FileExistsError as error:
        raise FileError(f"{path}: exists and is left as it is; choose another name") from error
    except OSError as error:
        raise FileError(
            f"{path}: cannot be written ({error.strerror}); choose another place"
        ) from error


def _free_or_same(usual: Path, files: Files) -> Path:
    numbered = (usual.with_name(f"{usual.name}-{number}") for number in count(2))
    folders = chain([usual], numbered)
    return next(folder for folder in folders if not folder.exists() or _holds(folder, files))


def _holds(folder: Path, files: Files) -> bool:
    return all(_same(folder / name, content) for name, content in files.items())


def _same(path: Path, content: bytes) -> bool:
    same_size = path.is_file() and path.stat().st_size == len(content)
    return same_size and path.read_bytes() == content


def _refuse_unless_folder(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise FileError(f"{folder}: is a file, not a folder; choose another --out")
    if folder.parent.is_file():
        raise FileError(f"{folder}: {folder.parent} is a file, not a folder; choose another --out")
    if not folder.parent.is_dir():
        raise FileError(f"{folder}: its folder {folder.parent} is not there; make it first")


def _refuse_folders(folder: Path, names: Iterable[str]) -> None:
    for name in names:
        path = folder / name
        if path.is_dir():
            raise FileError(f"{path}: is a folder where a file would go; choose another --out")


def _refuse_overwriting(folder: Path, files: Files, replace: bool) -> None:
    _refuse_folders(folder, files)
    for name, content in files.items():
        path = folder / name
        if path.exists() and not replace and not _same(path, content):
            raise FileError(
                f"{path}: exists and differs; add --replace to replace it, or choose another --out"
            )


def _write_new(folder: Path, files: Files) -> None:
    with TemporaryDirectory(prefix=SCRATCH, dir=folder.parent) as scratch:
        _write_all(Path(scratch) / "new", files).rename(folder)


def _write_into(folder: Path, files: Files) -> None:
    """Put files into a folder that exists; should that be broken off, as it was before."""
    with TemporaryDirectory(prefix=SCRATCH, dir=folder) as scratch:
        new = _write_all(Path(scratch) / "new", files)
        old = Path(scratch) / "old"
        old.mkdir()
        begun: list[str] = []
        try:
            for name in files:
                begun.append(name)
                if (folder / name).exists():
                    (folder / name).rename(old / name)
                (new / name).rename(folder / name)
        except BaseException:
            _undo(folder, old, new, begun)
            raise


def _undo(folder: Path, old: Path, new: Path, begun: list[str]) -> None:
    for name in begun:
        if not (new / name).exists():
            (folder / name).unlink()
        if (old / name).exists():
            (old / name).rename(folder / name)


def _write_all(folder: Path, files: Files) -> Path:
    folder.mkdir()
    for name, content in files.items():
        (folder / name).write_bytes(content)
    return folder

from pathlib import Path

import pytest
from conftest import Run

from gearsim.cli.results import Written, refuse_unwritable, write_new_files, write_results
from gearsim.errors import FileError

FILES = {"a.csv": b"a\n1\n", "b.png": b"picture"}
OTHER = {"a.csv": b"a\n2\n", "b.png": b"picture"}


def content(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def all_names(folder: Path) -> set[str]:
    return {str(path.relative_to(folder)) for path in folder.rglob("*")}


def break_off_at(monkeypatch: pytest.MonkeyPatch, method: str, call: int) -> None:
    """Ctrl-C in the given call of a method of Path, counted from 1."""
    calls = 0
    original = getattr(Path, method)

    def breaking(self: Path, *values: object) -> object:
        nonlocal calls
        calls += 1
        if calls == call:
            raise KeyboardInterrupt
        return original(self, *values)

    monkeypatch.setattr(Path, method, breaking)


def test_results_go_to_the_usual_folder(tmp_path: Path) -> None:
    written = write_results(FILES, tmp_path / "usual", out=None, replace=False)
    assert content(tmp_path / "usual") == FILES
    assert written == Written(folder=tmp_path / "usual", same_as_before=False, left=())


def test_folder_made_can_be_entered_like_any_other(tmp_path: Path) -> None:
    (tmp_path / "plain").mkdir()
    write_results(FILES, tmp_path / "usual", out=None, replace=False)
    assert (tmp_path / "usual").stat().st_mode == (tmp_path / "plain").stat().st_mode


def test_same_results_again_are_left_as_they_are(tmp_path: Path) -> None:
    write_results(FILES, tmp_path / "usual", out=None, replace=False)
    before = (tmp_path / "usual" / "a.csv").stat().st_mtime_ns
    written = write_results(FILES, tmp_path / "usual", out=None, replace=False)
    assert written.same_as_before
    assert (tmp_path / "usual" / "a.csv").stat().st_mtime_ns == before
    assert all_names(tmp_path) == {"usual", "usual/a.csv", "usual/b.png"}


def test_other_results_get_the_next_free_number_once(tmp_path: Path) -> None:
    for files in (FILES, OTHER, OTHER, FILES):
        write_results(files, tmp_path / "usual", out=None, replace=False)
    assert content(tmp_path / "usual") == FILES
    assert content(tmp_path / "usual-2") == OTHER
    assert not (tmp_path / "usual-3").exists()


def test_file_in_the_usual_place_is_passed_by(tmp_path: Path) -> None:
    (tmp_path / "usual").write_text("a file")
    write_results(FILES, tmp_path / "usual", out=None, replace=False)
    assert content(tmp_path / "usual-2") == FILES


def test_replace_without_out_replaces_in_the_usual_folder(tmp_path: Path) -> None:
    write_results(FILES, tmp_path / "usual", out=None, replace=False)
    write_results(OTHER, tmp_path / "usual", out=None, replace=True)
    assert content(tmp_path / "usual") == OTHER


def test_files_join_others_in_an_existing_folder(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("kept")
    write_results(FILES, tmp_path / "usual", out=tmp_path, replace=False)
    assert content(tmp_path) == {**FILES, "mine.txt": b"kept"}


def test_file_that_differs_is_refused_and_nothing_is_written(tmp_path: Path) -> None:
    (tmp_path / "b.png").write_bytes(b"older")
    with pytest.raises(FileError, match=r"b\.png: exists and differs; add --replace"):
        write_results(FILES, tmp_path / "usual", out=tmp_path, replace=False)
    assert content(tmp_path) == {"b.png": b"older"}


def test_replace_replaces_only_files_of_the_same_names(tmp_path: Path) -> None:
    (tmp_path / "b.png").write_bytes(b"older")
    (tmp_path / "c.csv").write_bytes(b"kept")
    write_results(FILES, tmp_path / "usual", out=tmp_path, replace=True)
    assert content(tmp_path) == {**FILES, "c.csv": b"kept"}


OURS = ("a.csv", "ride-*.csv", "days.csv")


def test_what_another_run_left_under_our_names_is_told_and_kept(tmp_path: Path) -> None:
    older = {"days.csv": b"old", "ride-old name.csv": b"old", "mine.csv": b"mine", "b.png": b"old"}
    for name, data in older.items():
        (tmp_path / name).write_bytes(data)
    written = write_results(FILES, tmp_path / "usual", out=tmp_path, replace=True, ours=OURS)
    assert written.left == ("days.csv", "ride-old name.csv")
    assert content(tmp_path) == {**older, **FILES}


def test_nothing_is_told_as_left_in_a_new_folder(tmp_path: Path) -> None:
    written = write_results(FILES, tmp_path / "usual", out=None, replace=False, ours=OURS)
    assert written.left == ()


def test_folder_where_a_file_would_go_is_refused(tmp_path: Path) -> None:
    (tmp_path / "b.png").mkdir()
    with pytest.raises(FileError, match=r"b\.png: is a folder"):
        write_results(FILES, tmp_path / "usual", out=tmp_path, replace=True)
    assert all_names(tmp_path) == {"b.png"}


@pytest.mark.parametrize("out", ["file", "file/inside", "nowhere/inside", "x" * 300])
def test_what_cannot_be_a_folder_is_refused(tmp_path: Path, out: str) -> None:
    (tmp_path / "file").write_text("a file")
    with pytest.raises(FileError, match=r"is a file|is not there|cannot be written"):
        write_results(FILES, tmp_path / "usual", out=tmp_path / out, replace=True)
    assert all_names(tmp_path) == {"file"}


def test_folder_where_a_file_would_go_is_refused_before_the_work(tmp_path: Path) -> None:
    (tmp_path / "days.csv").mkdir()
    with pytest.raises(FileError, match=r"days\.csv: is a folder where a file would go"):
        refuse_unwritable(tmp_path / "usual", out=tmp_path, ours=OURS)


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="no folder that refuses even root")
def test_unwritable_folder_is_refused() -> None:
    with pytest.raises(FileError, match=r"/proc/results: cannot be written"):
        write_results(FILES, Path("/proc/results"), out=None, replace=False)


@pytest.mark.parametrize("out", ["file", "file/inside", "nowhere/inside", "x" * 300])
def test_what_cannot_be_a_folder_is_refused_before_the_work(tmp_path: Path, out: str) -> None:
    (tmp_path / "file").write_text("a file")
    with pytest.raises(FileError, match=r"is a file|is not there|cannot be written"):
        refuse_unwritable(tmp_path / "usual", out=tmp_path / out)
    assert all_names(tmp_path) == {"file"}


@pytest.mark.parametrize("out", [None, "new", ""])
def test_place_without_permission_is_refused_before_the_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, out: str | None
) -> None:
    # root, whom tests may run as, is refused nothing
    monkeypatch.setattr("os.access", lambda path, _mode: path != tmp_path)
    place = None if out is None else tmp_path / out
    told = tmp_path / ("usual" if out is None else out)
    with pytest.raises(FileError, match=rf"^{told}: cannot be written \(no permission"):
        refuse_unwritable(tmp_path / "usual", out=place)


def test_usual_folder_that_may_hold_the_same_results_is_not_refused_before_the_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "usual").mkdir()
    monkeypatch.setattr("os.access", lambda _path, _mode: False)
    refuse_unwritable(tmp_path / "usual", out=None)


def test_plan_is_not_ridden_for_a_place_that_cannot_be_written(
    run: Run, plan: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def riding(*_given: object, **_options: object) -> None:
        raise AssertionError("the plan was ridden")

    monkeypatch.setattr("gearsim.cli.compare.compare_rides", riding)
    code, out, err = run("compare", plan, "--out", plan)
    assert (code, out) == (2, "")
    assert err == f"gearsim: {plan}: is a file, not a folder; choose another --out\n"


@pytest.mark.parametrize("out", [None, "new", ""])
def test_nothing_is_made_before_the_work(tmp_path: Path, out: str | None) -> None:
    refuse_unwritable(tmp_path / "usual", out=None if out is None else tmp_path / out)
    assert all_names(tmp_path) == set()


@pytest.mark.parametrize("call", [1, 2])
def test_new_folder_broken_off_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: int
) -> None:
    break_off_at(monkeypatch, "write_bytes", call)
    with pytest.raises(KeyboardInterrupt):
        write_results(FILES, tmp_path / "usual", out=None, replace=False)
    assert all_names(tmp_path) == set()


@pytest.mark.parametrize(
    ("method", "call"), [("write_bytes", 2), *(("rename", n) for n in (1, 2, 3))]
)
def test_replacing_broken_off_leaves_the_folder_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, method: str, call: int
) -> None:
    older = {"b.png": b"older", "c.csv": b"kept"}
    for name, data in older.items():
        (tmp_path / name).write_bytes(data)
    with monkeypatch.context() as patch:
        break_off_at(patch, method, call)
        with pytest.raises(KeyboardInterrupt):
            write_results(FILES, tmp_path / "usual", out=tmp_path, replace=True)
    assert content(tmp_path) == older


def test_full_disk_is_told_in_a_line_and_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(self: Path, _data: bytes) -> int:
        self.touch()
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(FileError, match=r"usual: cannot be written \(No space left on device\)"):
        write_results(FILES, tmp_path / "usual", out=None, replace=False)
    assert all_names(tmp_path) == set()


def test_new_files_are_written_all_or_none(tmp_path: Path) -> None:
    (tmp_path / "second").write_text("there before")
    with pytest.raises(FileError, match="second: exists and is left as it is"):
        write_new_files({tmp_path / "first": b"1", tmp_path / "second": b"2"})
    assert content(tmp_path) == {"second": b"there before"}

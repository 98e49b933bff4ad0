"""The bytes of a route file, as text that is safe to parse."""

from __future__ import annotations

import codecs
import gzip
import io
import re
import shlex
import zlib
from pathlib import Path

from gearsim.errors import FileError, RouteError

LARGEST_BYTES = 2**30  # about 10 million points
GZIP_MAGIC = b"\x1f\x8b"

_MARKS = (  # the longer mark first: that of UTF-32 starts with that of UTF-16
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
    (b"<\x00", "utf-16-le"),
    (b"\x00<", "utf-16-be"),
)
_DECLARED = re.compile(rb"\s*<\?xml[^>]*?encoding\s*=\s*[\"']([A-Za-z0-9._-]+)[\"']")
_DECLARATION = re.compile(r"(\s*)<\?xml\s[^>]*\?>")
_BEFORE_ROOT = re.compile(r"(?>\s+|<!--.*?-->|<\?.*?\?>)*", re.DOTALL)
_ROOT = re.compile(r"<([A-Za-z_][\w:.-]*)")


def read_route_text(path: Path) -> str:
    """The text of a GPX file, plain or gzipped, ready for the parser.

    Its encoding is taken from the byte-order mark, else from the XML declaration, else UTF-8; the
    declaration is taken off, because the text no longer is in the encoding it names.  Raises
    `FileError` for a file that cannot be read, `RouteError` for one that is not GPX or that
    declares a document type (which GPX has no use for and an entity bomb needs).
    """
    text = _decoded(_unzipped(path, _read_bytes(path)))
    if not text or text.isspace():
        raise RouteError(f"{path}: the file is empty; export or download the route again")
    text = _DECLARATION.sub(r"\1", text, count=1) if _DECLARATION.match(text) else text
    _refuse_other_than_gpx(path, text)
    return text


def _read_bytes(path: Path) -> bytes:
    try:
        _refuse_other_than_file(path)
        with path.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except FileError:
        raise
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        shown = str(path).encode("unicode_escape").decode()
        raise FileError(f"{shown}: cannot be read ({reason}); check the file") from error
    return _refuse_huge(path, data)


def _refuse_other_than_file(path: Path) -> None:
    if path.is_dir():
        raise FileError(f"{path}: is a folder; give the GPX file in it")
    if not path.exists():
        raise FileError(f"{path}: there is no such file; check its name and folder")
    if not path.is_file():
        raise FileError(f"{path}: is not a regular file; give a GPX file")


def _unzipped(path: Path, data: bytes) -> bytes:
    if not data.startswith(GZIP_MAGIC):
        return data
    try:
        with gzip.open(io.BytesIO(data), "rb") as file:
            return _refuse_huge(path, file.read(LARGEST_BYTES + 1))
    except (OSError, EOFError, zlib.error) as error:
        raise RouteError(
            f"{path}: its gzip data are damaged ({error}); download or compress it again"
        ) from error


def _refuse_huge(path: Path, data: bytes) -> bytes:
    if len(data) > LARGEST_BYTES:
        raise RouteError(
            f"{path}: holds more than {LARGEST_BYTES // 2**20} MB; allowed is less, "
            "leave out what is not the route or thin its points"
        )
    return data


def _decoded(data: bytes) -> str:
    """Text of the bytes; names in an encoding that is not as declared may come out misspelt."""
    declared = _DECLARED.match(data)
    name = declared.group(1).decode("ascii") if declared else "utf-8"
    name = next((encoding for mark, encoding in _MARKS if data.startswith(mark)), name)
    if declared and name.lower().startswith(("utf-16", "utf-32", "ucs")):
        name = "utf-8"  # a declaration read byte by byte cannot be in a wide encoding
    try:
        return data.decode(name).removeprefix("\ufeff")
    except (UnicodeError, LookupError):
        return data.decode("latin-1")


def _refuse_other_than_gpx(path: Path, text: str) -> None:
    before = _BEFORE_ROOT.match(text)
    start = before.end() if before else 0
    if text[start : start + 9].upper() == "<!DOCTYPE":
        raise RouteError(
            f"{path}: line {text.count(chr(10), 0, start) + 1}: <!DOCTYPE> found; GPX has none and "
            "it can hide an entity bomb: take it out, or export the route again"
        )
    root = _ROOT.match(text, start)
    if root is None and path.suffix.lower() == ".toml":
        raise RouteError(
            f"{path}: looks like a plan; give the GPX file itself, or ride the plan with: "
            f"gearsim compare {shlex.quote(str(path))}"
        )
    if root is None:
        raise RouteError(f"{path}: is not XML, so not GPX; export the route as GPX 1.1")
    if root.group(1) != "gpx":
        raise RouteError(
            f"{path}: its first element is <{root.group(1)[:40]}>, not <gpx>; "
            "export the route as GPX 1.1"
        )

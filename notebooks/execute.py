"""Run the notebooks anew and keep what they show.

    python notebooks/execute.py                   # all of them
    python notebooks/execute.py main-job.ipynb    # one

They are kept with their outputs, so that a page that only shows files shows the pictures too.
`tests/test_notebooks.py` runs them and compares what they show with what is kept here.
"""

from __future__ import annotations

import base64
import io
import os
import re
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import nbformat
from nbclient import NotebookClient
from nbformat import NotebookNode
from PIL import Image

FOLDER = Path(__file__).resolve().parent
LONGEST_S = 120  # a cell; a whole notebook takes a few seconds
COLOURS = 128  # of a picture that is kept: a third of the size, and nothing to be seen of it


def notebooks() -> list[Path]:
    """Every notebook of this folder."""
    return sorted(FOLDER.glob("*.ipynb"))


def kept(path: Path) -> NotebookNode:
    """The notebook as it is in its file."""
    return nbformat.read(path, as_version=4)


def executed(path: Path) -> NotebookNode:
    """The notebook with the outputs of a run in a fresh kernel, the user's own settings left out.

    Raises `CellExecutionError`, with the cell and its traceback, where a cell fails.
    """
    notebook = kept(path)
    client = NotebookClient(
        notebook,
        timeout=LONGEST_S,
        kernel_name="python3",
        record_timing=False,
        extra_arguments=["--log-level=ERROR"],  # not that it talks to this machine only, in clear
        resources={"metadata": {"path": str(path.parent)}},
    )
    with TemporaryDirectory() as settings:
        client.execute(env=os.environ | {"IPYTHONDIR": settings})
    notebook.metadata = {"kernelspec": notebook.metadata["kernelspec"]}  # no versions: they change
    return notebook


def fit_to_keep(notebook: NotebookNode) -> NotebookNode:
    """The notebook with fewer colours in its pictures, and no addresses in memory."""
    for cell in notebook.cells:
        for output in cell.get("outputs", []):
            data = output.get("data", {})
            if "image/png" in data:
                data["image/png"] = _smaller(data["image/png"])
            if "text/plain" in data:
                data["text/plain"] = re.sub(r" at 0x[0-9a-f]+", "", data["text/plain"])
    return notebook


def picture(png: str) -> Image.Image:
    """The picture in a notebook's base64 text."""
    return Image.open(io.BytesIO(base64.b64decode(png))).convert("RGB")


def _smaller(png: str) -> str:
    smaller = io.BytesIO()
    fewer = picture(png).quantize(COLOURS, dither=Image.Dither.NONE)
    fewer.save(smaller, "PNG", optimize=True)
    return base64.b64encode(smaller.getvalue()).decode()


def main(names: list[str]) -> None:
    """Run the notebooks named, or all, and write them back."""
    for path in [FOLDER / name for name in names] or notebooks():
        nbformat.write(fit_to_keep(executed(path)), path)
        print(f"{path.name}: {path.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main(sys.argv[1:])

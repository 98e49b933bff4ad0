import io

import numpy as np
import pytest
from made_comparison import FIVE, TWELVE
from made_squad import sought_of, squad_of
from matplotlib.figure import Figure
from matplotlib.text import Text
from PIL import Image

from gearsim.output.drawing.sheet import figure_png
from gearsim.output.squad import chart
from gearsim.output.squad.chart import squad_figure
from gearsim.setup.wishes import Wishes


def texts(figure: Figure) -> list[str]:
    return [text.get_text() for text in figure.findobj(Text) if text.get_text()]


def test_every_mismatch_is_printed() -> None:
    squad = squad_of(5)
    told = texts(squad_figure(squad))
    for each in squad.standings:
        assert each.athlete.name in told
        assert all(f"{score.mismatch:.1f}" in told for score in each.scores)


def test_all_that_is_written_is_on_the_sheet() -> None:
    figure = squad_figure(squad_of(9, TWELVE, hostile=True))
    figure.draw_without_rendering()
    renderer = figure.canvas.get_renderer()  # type: ignore[attr-defined]
    for text in figure.findobj(Text):
        if text.get_text() and text.get_visible():
            box = text.get_window_extent(renderer)
            assert box.x0 >= 0.0, text.get_text()
            assert box.x1 <= figure.bbox.x1, text.get_text()
            assert box.y1 <= figure.bbox.y1, text.get_text()
            assert box.y0 >= 0.0, text.get_text()


def test_same_squad_is_the_same_picture() -> None:
    assert figure_png(squad_figure(squad_of(5))) == figure_png(squad_figure(squad_of(5)))


def test_picture_tells_as_much_in_grey() -> None:
    # Paper, bars, and the bars of those who walk are three greys far apart.
    picture = Image.open(io.BytesIO(figure_png(squad_figure(squad_of(5)))))
    grey = np.asarray(picture.convert("L"))
    levels = [np.count_nonzero(np.abs(grey.astype(int) - level) < 4) for level in (255, 205, 16)]
    assert all(count > 500 for count in levels)


def test_many_drivetrains_are_drawn_one_board_under_the_other() -> None:
    wide = squad_of(3, TWELVE)
    assert len(squad_figure(wide).axes) == 2  # a board and the key
    assert squad_figure(wide).get_figheight() > 1.0
    monkey = pytest.MonkeyPatch()
    with monkey.context() as patched:
        patched.setattr(chart, "MOST_COLUMNS", 5)
        figure = squad_figure(wide)
    assert len(figure.axes) == 4  # three boards of four
    told = texts(figure)
    assert told.count("all together") == 3


def test_rows_beyond_what_a_picture_holds_are_said_to_be_elsewhere(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(chart, "MOST_ROWS", 3)
    told = " ".join(texts(squad_figure(squad_of(5))))
    assert "The first 3 are drawn; squad-matrix.csv has all." in told


def test_one_athlete_with_one_drivetrain_can_be_drawn() -> None:
    assert figure_png(squad_figure(squad_of(1, FIVE[:1]))).startswith(b"\x89PNG")


def test_search_is_drawn_with_the_few_and_says_so() -> None:
    squad = sought_of(wishes=Wishes(keep_cassette=True))
    told = texts(squad_figure(squad))
    assert "best of the few" in told
    assert all(drivetrain.name in " ".join(told) for drivetrain in squad.drivetrains)
    closed = [each.scores[place].mismatch for each in squad.standings for place in each.closed]
    assert closed
    assert all(f"({mismatch:.1f})" in told for mismatch in closed)

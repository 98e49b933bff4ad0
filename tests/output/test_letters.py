"""Letters of names in pictures, with the fonts that come with the drawing library and no others."""

import warnings
from collections.abc import Iterator
from copy import copy
from types import SimpleNamespace

import pytest
from made_comparison import hills
from matplotlib import font_manager, get_data_path

from gearsim.output.drawing import letters
from gearsim.output.drawing.letters import families_for, noticing_lacking_letters
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.drawing.style import legible, width_of_in
from gearsim.output.route.chart import route_figure

IN_ANOTHER_FONT = "𝕬"  # which STIXGeneral has, plain and bold
IN_NO_FONT = "峠"


@pytest.fixture(autouse=True)
def bundled_fonts_only(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    bundled = [
        each for each in font_manager.fontManager.ttflist if each.fname.startswith(get_data_path())
    ]
    monkeypatch.setattr(font_manager.fontManager, "ttflist", bundled)
    caches = (letters._home_of, letters._letters_of, letters._installed, width_of_in)
    for cached in caches:
        cached.cache_clear()
    yield
    for cached in caches:
        cached.cache_clear()


def test_letters_that_no_font_has_become_boxes_and_are_noticed() -> None:
    with noticing_lacking_letters() as lacking:
        assert legible(f"Łąka {IN_NO_FONT}\x1b[0m") == "Łąka □ [0m"
    assert lacking == {IN_NO_FONT}


def test_nobody_notices_what_is_drawn_elsewhere() -> None:
    with noticing_lacking_letters() as lacking:
        pass
    legible(IN_NO_FONT)
    assert lacking == set()


def test_letter_of_another_font_is_drawn_by_it() -> None:
    assert legible(f"Pass {IN_ANOTHER_FONT}") == f"Pass {IN_ANOTHER_FONT}"
    assert families_for(f"Pass {IN_ANOTHER_FONT}") == ["sans-serif", "STIXGeneral"]
    assert families_for("Łąka") == ["sans-serif"]


def test_other_fonts_are_read_only_for_what_the_default_one_lacks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(letters, "_installed", lambda: pytest.fail("all fonts were read"))
    assert legible("Łąka ώ Ж") == "Łąka ώ Ж"


def test_width_is_that_of_the_font_that_draws() -> None:
    assert width_of_in(IN_ANOTHER_FONT * 4, 9.0) > 2.0 * width_of_in("i" * 4, 9.0)


@pytest.mark.parametrize("name", [IN_ANOTHER_FONT, IN_NO_FONT, f"{IN_ANOTHER_FONT}{IN_NO_FONT} ώ"])
def test_picture_is_drawn_without_a_warning(name: str, caplog: pytest.LogCaptureFixture) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        figure_png(route_figure(hills(6.0, name=name)))
    assert caplog.records == []


def test_nothing_is_said_of_a_font_that_has_no_bold_face(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    fonts = font_manager.fontManager.ttflist
    plain = [each for each in fonts if "STIXGeneralBol" not in each.fname]
    assert len(plain) < len(fonts)
    fresh = copy(font_manager.fontManager)  # which has found no font yet
    monkeypatch.setattr(fresh, "ttflist", plain)
    monkeypatch.setattr(font_manager, "fontManager", fresh)
    monkeypatch.setattr(font_manager, "findfont", fresh.findfont)
    figure_png(route_figure(hills(6.0, name=IN_ANOTHER_FONT)))  # the name is bold
    assert caplog.records == []


def test_font_that_has_gone_is_passed_by(monkeypatch: pytest.MonkeyPatch) -> None:
    gone = SimpleNamespace(name="Gone", style="normal", weight=400, fname="/nowhere/gone.ttf")
    fonts = [gone, *font_manager.fontManager.ttflist]
    monkeypatch.setattr(font_manager.fontManager, "ttflist", fonts)
    letters._installed.cache_clear()
    assert legible(f"{IN_ANOTHER_FONT}{IN_NO_FONT}") == f"{IN_ANOTHER_FONT}□"


def test_font_with_a_box_for_every_letter_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    fonts = font_manager.fontManager.ttflist
    any_font = next(each for each in fonts if each.name == "STIXGeneral")
    boxes = SimpleNamespace(name="Last Resort", style="normal", weight=400, fname=any_font.fname)
    monkeypatch.setattr(font_manager.fontManager, "ttflist", [boxes])
    letters._installed.cache_clear()
    assert legible(IN_ANOTHER_FONT) == "□"

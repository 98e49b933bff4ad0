from itertools import pairwise

import numpy as np
import pytest
from made_comparison import FIVE, FIXED, HUB, LOW, SINGLE, TWELVE
from made_gear_sheets import SETS, TRIPLE, sheets
from matplotlib.axes import Axes
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure

from gearsim.output.drawing.gear_lanes import (
    LABEL_PT,
    draw_gear_lanes,
    in_band,
    lane_in,
    letters_on,
    reach,
    roomy,
    ruler_of,
    tone,
)
from gearsim.output.drawing.sheet import figure_png
from gearsim.output.drawing.style import width_of_in
from gearsim.output.gear_sheet.chart import RATIOS, gears_figure, spaced
from gearsim.setup.drivetrain import Drivetrain

PNG = b"\x89PNG\r\n\x1a\n"
STEPS = (0.1, 5.0, 8.0, 12.0, 16.0, 20.0, 25.0, 30.0)


def lanes(*drivetrains: Drivetrain) -> Axes:
    found = sheets(drivetrains)
    axes = Figure(figsize=(6.0, 3.0)).add_axes((0.0, 0.0, 1.0, 1.0))
    return draw_gear_lanes(axes, found, ruler_of(found, 6.0))


def words(axes: Axes) -> list[str]:
    return [text.get_text() for text in axes.texts]


@pytest.mark.parametrize("drivetrains", SETS.values(), ids=SETS)
def test_gears_are_drawn_without_warnings(drivetrains: tuple) -> None:
    assert figure_png(gears_figure(sheets(drivetrains))).startswith(PNG)


def test_the_same_gears_give_the_same_bytes() -> None:
    first, second = (figure_png(gears_figure(sheets(FIVE))) for _ in range(2))
    assert first == second
    assert b"tEXt" not in first


def test_ratios_are_ruled_logarithmically() -> None:
    axes = lanes(SINGLE)
    assert axes.get_xscale() == "log"
    ruler = ruler_of(sheets((SINGLE,)), 6.0)
    assert ruler.inches(1.0, 1.2) == pytest.approx(ruler.inches(2.0, 2.4))
    assert ruler.inches(ruler.lowest, ruler.highest) == pytest.approx(6.0)


def test_there_is_a_rung_for_every_gear_and_a_field_for_every_step() -> None:
    axes = lanes(TRIPLE)
    rungs = [
        float(segment[0, 0])
        for lines in axes.collections
        for segment in lines.get_segments()  # type: ignore[attr-defined]
        if segment[0, 0] == segment[1, 0]
    ]
    assert sorted(rungs, reverse=True) == pytest.approx(TRIPLE.gear_ratios)
    (sheet,) = sheets((TRIPLE,))
    tones = [p.get_facecolor()[:3] for p in axes.patches]
    for step in sheet.step_below_percent[~np.isnan(sheet.step_below_percent)]:
        assert any(np.allclose(tone(step), each) for each in tones)


def test_steps_teeth_and_rings_are_written() -> None:
    found = words(lanes(LOW))
    assert {"46", "30"} <= set(found)
    assert found.count("34") == 2
    assert "18" in found  # 11 to 13


def test_a_hubs_gears_are_told_by_their_ratio() -> None:
    assert {"0.80", "4.20"} <= set(words(lanes(HUB)))


def test_twins_are_tied_and_the_overlap_is_hatched() -> None:
    (sheet,) = sheets((LOW,))
    axes = lanes(LOW)
    ties = [line for line in axes.lines if line.get_linewidth() == 1.6]
    assert len(ties) == len(sheet.overlaps[0].twins) > 0
    hatched = [p for p in axes.patches if p.get_hatch()]
    assert len(hatched) == 1
    assert not [p for p in lanes(SINGLE).patches if p.get_hatch()]


def test_a_wider_step_is_darker_in_grey() -> None:
    grey = [float(np.dot(to_rgb(tone(step)), (0.299, 0.587, 0.114))) for step in STEPS]
    assert all(pale > dark for pale, dark in pairwise(grey[1:]))
    assert grey[1] - grey[-1] > 0.5


def test_a_step_can_be_read_on_its_field() -> None:
    # Contrast of letters and field by WCAG 2.1, from memory: 3 is the least for graphics.
    def luminance(colour: object) -> float:
        rgb = np.array(to_rgb(colour))  # type: ignore[arg-type]
        linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
        return float(np.dot(linear, (0.2126, 0.7152, 0.0722)))

    for step in np.linspace(0.0, 40.0, 81):
        field = luminance(tone(step))
        letters = luminance(letters_on(float(step)))
        light, dark = max(field, letters), min(field, letters)
        assert (light + 0.05) / (dark + 0.05) >= 3.0


def test_labels_of_a_ring_never_run_into_each_other() -> None:
    close = Drivetrain(chainrings=(50,), sprockets=tuple(range(20, 34)))
    found = sheets((close, FIXED, HUB))
    ruler = ruler_of(found, 5.0)
    texts = {gear: str(close.sprockets[gear]) for gear in range(14)}
    kept = roomy(texts, found[0], ruler)
    assert 13 in kept
    assert 2 <= len(kept) < 14
    for one, other in pairwise(kept):
        ratio = found[0].gears.ratio
        assert ruler.inches(ratio[other], ratio[one]) >= width_of_in(texts[one], LABEL_PT)


def test_the_reach_holds_the_band_and_the_band_the_gears_at_target() -> None:
    for sheet in sheets(FIVE):
        ratio = sheet.gears.ratio
        assert reach(sheet)[0] < in_band(sheet)[0] < ratio.min()
        assert ratio.max() < in_band(sheet)[1] < reach(sheet)[1]


def test_a_lane_is_higher_for_every_ring() -> None:
    one, two, three = (lane_in(sheet) for sheet in sheets((SINGLE, LOW, TRIPLE)))
    assert one < two < three


def test_every_name_and_what_it_comes_to_stand_beside_its_lane() -> None:
    figure = gears_figure(sheets(FIVE))
    found = [text for axes in figure.axes for text in words(axes)]
    assert {drivetrain.name for drivetrain in FIVE} <= set(found)
    for sheet in sheets(FIVE):
        assert f"{sheet.distinct_ratios}/{len(sheet.gears.ratio)}" in found
        assert f"{sheet.range_percent:.0f}" in found
    assert "km/h at 85 rpm" in found


def test_rules_stand_apart_on_any_ruler() -> None:
    for drivetrains in ((FIXED,), TWELVE):
        ruler = ruler_of(sheets(drivetrains), 5.0)
        ticks = spaced(RATIOS, ruler, 0.4)
        assert len(ticks) >= 2
        assert all(ruler.inches(low, high) >= 0.4 for low, high in pairwise(ticks))

"""Pictures: a comparison at a glance, a route to know before the ride, gears, and their PNG."""

from gearsim.output.comparison_chart import comparison_figure
from gearsim.output.days_chart import days_figure
from gearsim.output.fleet_chart import fleet_figure
from gearsim.output.gear_sheet_chart import gears_figure
from gearsim.output.learn_chart import learnt_figure
from gearsim.output.one_or_two_chart import one_or_two_figure
from gearsim.output.replay_chart import replay_figure
from gearsim.output.route_chart import route_figure
from gearsim.output.search_chart import search_figure
from gearsim.output.sheet import figure_png
from gearsim.output.squad_chart import squad_figure

__all__ = [
    "comparison_figure",
    "days_figure",
    "figure_png",
    "fleet_figure",
    "gears_figure",
    "learnt_figure",
    "one_or_two_figure",
    "replay_figure",
    "route_figure",
    "search_figure",
    "squad_figure",
]

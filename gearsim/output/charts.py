"""Pictures: a comparison at a glance, a route to know before the ride, and their PNG."""

from gearsim.output.comparison_chart import comparison_figure
from gearsim.output.route_chart import route_figure
from gearsim.output.sheet import figure_png

__all__ = ["comparison_figure", "figure_png", "route_figure"]

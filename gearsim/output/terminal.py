"""Text for a terminal, a pipe or a file."""

from gearsim.output.comparison_text import comparison_text
from gearsim.output.route_text import route_text

__all__ = ["comparison_text", "route_text"]

"""Text for a terminal, a pipe or a file."""

from gearsim.output.comparison_text import comparison_text
from gearsim.output.days_text import days_text
from gearsim.output.fitment_text import fitment_text
from gearsim.output.fleet_text import fleet_text
from gearsim.output.gear_sheet_text import gear_sheet_text
from gearsim.output.learn_text import learnt_text
from gearsim.output.one_or_two_text import one_or_two_text
from gearsim.output.replay_text import replay_text
from gearsim.output.route_text import route_text
from gearsim.output.search_text import search_text
from gearsim.output.squad_text import squad_text

__all__ = [
    "comparison_text",
    "days_text",
    "fitment_text",
    "fleet_text",
    "gear_sheet_text",
    "learnt_text",
    "one_or_two_text",
    "replay_text",
    "route_text",
    "search_text",
    "squad_text",
]

"""The prices beside the demo plan are for parts that there are, and for all that can be bought."""

import tomllib
from pathlib import Path

from gearsim.plan.loading import load_plan
from gearsim.setup.parts.parts_list import load_parts
from gearsim.studies.search.builds_in_question import builds_in_question

DEMO = Path(__file__).parents[1] / "routes" / "lanternmoor"


def test_every_build_of_the_demos_search_has_a_price() -> None:
    plan = load_plan(DEMO / "plan.toml")
    parts = load_parts(*plan.parts_files)
    question = builds_in_question(plan.drivetrain_now, parts, plan.bike, plan.frame, plan.wishes)
    unpriced = {name for each in question.prospects if each.price is None for name in each.to_buy}
    assert unpriced == set()


def test_no_price_is_for_a_part_that_the_list_lacks_or_changes_more_than_the_price() -> None:
    priced = tomllib.loads((DEMO / "parts.toml").read_text())
    parts, ours = load_parts(DEMO / "parts.toml"), load_parts()
    for kind, entries in priced.items():
        assert all(each.keys() == {"name", "price"} for each in entries)
        assert len(getattr(parts, f"{kind}s")) == len(getattr(ours, f"{kind}s"))

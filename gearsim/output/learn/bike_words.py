"""What was learnt of the bike and its gears, key by key, in words that text and plan share."""

from __future__ import annotations

from gearsim.output.learn.words import Line, between, mass_line, with_interval
from gearsim.output.words import clean, share
from gearsim.setup.bike import Bike
from gearsim.setup.drivetrain import Drivetrain
from gearsim.studies.learn.balance import DRIVE_EFFICIENCY
from gearsim.studies.learn.gears import SeenGears
from gearsim.studies.learn.learn import BIKE_SPREAD_KG, Learnt
from gearsim.studies.learn.parts import CLEAR, PartsMatch
from gearsim.studies.learn.plausible import TYRES_MM, tyre_is_plausible
from gearsim.studies.learn.resistance import Resistance
from gearsim.studies.learn.setup import learnt_bike, learnt_drivetrain, matched_tyre_mm


def bike_lines(learnt: Learnt) -> tuple[Line, ...]:
    """What a plan's [bike] gets, and what it does not get, with the reason."""
    bike = learnt_bike(learnt)
    told = learnt.given.bike_mass_kg is not None
    lines = [mass_line(bike.mass_kg, told=told, spread_kg=BIKE_SPREAD_KG)]
    if isinstance(learnt.resistance, Resistance):
        lines += _resistance_lines(learnt, learnt.resistance)
    return (*lines, *_wheel_lines(learnt, bike))


def doubt_words(learnt: Learnt) -> str:
    """That drag area and rolling are left out of the plan, and what to do; empty where not."""
    if not learnt.doubts:
        return ""
    given = learnt.given
    options = [
        option
        for option, told in (
            ("--rider-mass", given.rider_mass_kg is not None),
            ("--bike-mass", given.bike_mass_kg is not None),
            ("--surface", given.surface_told),
        )
        if not told
    ]
    remedy = "check the masses, the surface, the power meter, and whether it was ridden alone"
    if options:
        remedy = f"tell {', '.join(options[:-1])}{' or ' if options[:-1] else ''}{options[-1]}"
    return f"Drag area and rolling are left out of the plan, as not plausible: {remedy}."


def _resistance_lines(learnt: Learnt, found: Resistance) -> list[Line]:
    drag, rolling = found.drag_area_m2, found.rolling_coefficient
    given = learnt.given
    left_out = ""
    if learnt.doubts:
        left_out = f"learnt together, and {'; '.join(learnt.doubts)}"
    return [
        Line(
            key="drag_area_m2",
            value=f"{drag.value:.3f}",
            evidence=f"{between(drag, 3)} m²; {drag.evidence}; widened most by {found.widened_by}",
            left_out=left_out,
        ),
        Line(
            key="tyre_rolling_factor",
            value=f"{rolling.value / given.rolling_coefficient:.2f}",
            evidence=f"rolling coefficient {with_interval(rolling, decimals=4)} over "
            f"{given.rolling_coefficient:g} of {given.surface}",
            left_out="for the same reason" if learnt.doubts else "",
        ),
    ]


def _wheel_lines(learnt: Learnt, bike: Bike) -> list[Line]:
    """Rim and tyre, where the circumference was told or goes with gears that were matched."""
    told_m, matched = learnt.given.circumference_m, learnt.believed_parts
    if told_m is not None:
        told = f"a circumference of {1000 * told_m:.0f} mm, as told"
        rim = Line(key="rim_mm", value=f"{bike.rim_mm:.4g}", evidence="assumed", learnt=False)
        tyre = Line(key="tyre_mm", value=f"{bike.tyre_mm:g}", evidence=f"on that rim: {told}")
        return [rim, tyre]
    if matched is None:
        return []
    tyre_mm = matched_tyre_mm(matched)
    return [
        Line(
            key="tyre_mm",
            value=f"{tyre_mm:g}",
            evidence=f"on the default rim: a circumference of {_mm(matched)} mm, which goes with "
            "the gears matched",
            left_out=_tyre_left_out(matched, tyre_mm),
        )
    ]


def _tyre_left_out(matched: PartsMatch, tyre_mm: float) -> str:
    reasons = []
    if matched.chance < CLEAR:
        reasons.append(
            f"it goes with parts whose chance is {share(matched.chance)}, {share(CLEAR)} is needed"
        )
    if not tyre_is_plausible(tyre_mm):
        reasons.append(f"{TYRES_MM[0]:g} to {TYRES_MM[1]:g} mm is plausible")
    if not reasons:
        return ""
    return f"{'; '.join(reasons)}; measure, and tell --circumference"


def _mm(matched: PartsMatch) -> str:
    return f"{1000 * matched.circumference_m:.0f}"


def drivetrain_lines(learnt: Learnt) -> tuple[Line, ...]:
    """What a plan's [[drivetrain]] gets; empty where too few gears were seen to ride with."""
    drivetrain = learnt_drivetrain(learnt)
    if drivetrain is None or not isinstance(learnt.gears, SeenGears):
        return ()
    if learnt.clear_parts is not None:
        return _teeth_lines(drivetrain, learnt.clear_parts, len(learnt.gears.gears))
    return _seen_lines(drivetrain, learnt.gears)


def _teeth_lines(drivetrain: Drivetrain, parts: PartsMatch, seen: int) -> tuple[Line, ...]:
    return (
        Line(key="name", value=f'"{drivetrain.name}"', evidence="teeth of the clear choice"),
        Line(
            key="chainrings",
            value=_list(drivetrain.chainrings),
            evidence=f"{parts.found} of {seen} gears seen lie within 1 % of its own",
        ),
        Line(
            key="sprockets",
            value=_list(drivetrain.sprockets),
            evidence=f"chance among all teeth of the parts list {share(parts.chance)}",
        ),
    )


def _seen_lines(drivetrain: Drivetrain, seen: SeenGears) -> tuple[Line, ...]:
    """The gears seen, as ratios: metres a turn are known, teeth are not."""
    low, high = seen.developments_m[0], seen.developments_m[-1]
    return (
        Line(
            key="name",
            value=f'"{drivetrain.name}"',
            evidence="the bike may have lower and higher gears that were hardly used",
        ),
        Line(
            key="ratios",
            value=f"[{', '.join(f'{ratio:g}' for ratio in sorted(drivetrain.ratios))}]",
            evidence=f"{low:.2f} to {high:.2f} m a turn of the cranks, on the wheel of this plan",
        ),
        Line(
            key="efficiency",
            value=f"{DRIVE_EFFICIENCY:g}",
            evidence="of a chain at 200 W: it is no hub gear",
            learnt=False,
        ),
    )


def alternative_lines(learnt: Learnt) -> tuple[str, ...]:
    """The likeliest pairs as tables to put into a plan by hand; empty where one is clear."""
    if learnt.clear_parts is not None or learnt.believed_parts is None:
        return ()
    rows: list[str] = []
    for match in learnt.parts:
        name = clean(f"{match.chainset.name} with {match.cassette.name}").replace('"', "'")
        tyre_mm = matched_tyre_mm(match)
        odd = "" if tyre_is_plausible(tyre_mm) else " (not plausible)"
        rows += [
            "[[drivetrain]]",
            f'name = "{name}"  # chance {share(match.chance)}',
            f"chainrings = {_list(match.chainset.chainrings)}",
            f"sprockets = {_list(match.cassette.sprockets)}  "
            f"# goes with tyre_mm = {tyre_mm:g}{odd} in [bike]",
        ]
    return tuple(rows)


def _list(teeth: tuple[int, ...]) -> str:
    return f"[{', '.join(str(number) for number in teeth)}]"

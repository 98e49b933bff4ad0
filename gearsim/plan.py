"""The plan file: one TOML with the route, who rides it, on what, with which gears, in what.

A section's keys are the fields of the value it becomes (`Rider`, `Bike`, ...), under the same
names except where a plan speaks the units of the edge (km/h, %, degrees, kJ, hPa): those are in
the table `EDGES`.  A key left out keeps the value's own default, and the value's own checks say
what is allowed.
"""

from __future__ import annotations

import json
import math
import re
import shlex
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import MISSING, dataclass, fields, replace
from difflib import get_close_matches
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NamedTuple, get_type_hints

import numpy as np
from pydantic import BaseModel, ConfigDict, Field, Strict, ValidationError, create_model

from gearsim.course.stops import Stop
from gearsim.course.surface import SurfaceStretch, assign_surfaces, surface_named
from gearsim.errors import PlanError
from gearsim.plan_cautions import plan_cautions
from gearsim.ride.score import Weights
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.effort import Effort
from gearsim.setup.frame import Frame
from gearsim.setup.outing_limits import OutingLimits
from gearsim.setup.rider import Rider
from gearsim.setup.uncertain import Uncertain
from gearsim.setup.wishes import Wishes
from gearsim.toml.read import all_at_once, read_text, tables_of
from gearsim.units import KMH_PER_MPS, SECONDS_PER_HOUR, SECONDS_PER_MINUTE

if TYPE_CHECKING:
    from gearsim.course.course import Course

Table = dict[str, Any]
Place = tuple[str | int, ...]

LONGEST_SHOWN = 60  # characters of a wrong value that a message repeats
NUMBER = re.compile(r"(?<= )-?\d[\d.]*(?:e[+-]?\d+)?")


@dataclass(frozen=True, kw_only=True)
class Plan:
    """What a plan file says: the course to load, and who rides it with which candidates.

    `step_m`, `surfaces` and `default_surface` are those of `gearsim.load_course`; `athletes` is
    the CSV list for `gearsim.load_athletes`, `bikes` and `guests` those for `gearsim.load_bikes`
    and `gearsim.load_guests`, which need not be there for anything else.  `cautions` are what to
    look at again before its results are believed, one line each.
    """

    path: Path
    route: Path
    step_m: float = 10.0
    default_surface: str = "tarmac"
    athletes: Path | None = None
    bikes: Path | None = None
    guests: Path | None = None
    stops: tuple[Stop, ...] = ()
    surfaces: tuple[SurfaceStretch, ...]
    rider: Rider
    bike: Bike
    frame: Frame
    conditions: Conditions
    drivetrains: tuple[Drivetrain, ...]
    weights: Weights
    uncertain: Uncertain
    wishes: Wishes
    limits: OutingLimits
    cautions: tuple[str, ...] = ()

    def require_drivetrains(self) -> None:
        """Raise `PlanError` where there is no drivetrain to ride."""
        if not self.drivetrains:
            raise PlanError(
                f"{self.path}: has no [[drivetrain]] to compare; give at least one, or ride the "
                f"bikes of its list with: gearsim fleet {shlex.quote(str(self.path))}"
            )

    @property
    def drivetrain_now(self) -> Drivetrain:
        """The drivetrain that the rider has: the one that the wishes name, else the first.

        Raises `PlanError` where the plan has none.
        """
        if not self.drivetrains:
            raise PlanError(f"there is no drivetrain; {NEEDED['drivetrain']}")
        named = [each for each in self.drivetrains if each.name == self.wishes.now]
        return (*named, *self.drivetrains)[0]

    @property
    def parts_files(self) -> tuple[Path, ...]:
        """The user's own parts files."""
        return tuple(self.path.parent / name for name in self.wishes.parts)

    def load_course(self) -> Course:
        """The plan's course with its stops.

        Raises as `gearsim.load_course` and `with_stops`, naming the plan where at fault.
        """
        from gearsim.course.loading import load_course
        from gearsim.course.stops import with_stops

        try:
            course = load_course(self.route, self.step_m, self.surfaces, self.default_surface)
            return with_stops(course, self.stops)
        except PlanError as error:
            raise PlanError(f"{self.path}: {error}") from error


class Edge(NamedTuple):
    """A field's key in the plan; the field is the plan's number times `times`, over `over`.

    Two numbers, because 10.8 km/h must come out as 3 m/s exactly where 3 m/s is the limit.
    """

    key: str
    times: float = 1.0
    over: float = 1.0


EDGES = {
    "reserve_j": Edge("reserve_kj", times=1000.0),
    "held_share": Edge("held_percent", over=100.0),
    "work_loss": Edge("work_loss_percent", over=100.0),
    "full_effect_grade": Edge("full_effect_percent", over=100.0),
    "stop_pedalling_mps": Edge("stop_pedalling_kmh", over=KMH_PER_MPS),
    "descending_mps": Edge("descending_kmh", over=KMH_PER_MPS),
    "slowest_riding_mps": Edge("slowest_riding_kmh", over=KMH_PER_MPS),
    "cornering": Edge("cornering_percent", over=100.0),
    "relative_humidity": Edge("humidity_percent", over=100.0),
    "pressure_pa": Edge("pressure_hpa", times=100.0),
    "wind_mps": Edge("wind_kmh", over=KMH_PER_MPS),
    "wind_from_rad": Edge("wind_from_deg", times=math.pi, over=180.0),
    "wind_share": Edge("wind_share_percent", over=100.0),
    "wet_chance": Edge("wet_chance_percent", over=100.0),
    "wind_spread_mps": Edge("wind_spread_kmh", over=KMH_PER_MPS),
    "wind_turn_rad": Edge("wind_turn_deg", times=math.pi, over=180.0),
    "long_walk_s": Edge("long_walk_min", times=SECONDS_PER_MINUTE),
    "wrong_stop_chance": Edge("wrong_stop_percent", over=100.0),
    "most_below_s": Edge("most_below_min", times=SECONDS_PER_MINUTE),
    "longest_ride_s": Edge("longest_ride_h", times=SECONDS_PER_HOUR),
}
"""The fields that a plan gives under another name and in another unit."""

FIELDS = {edge.key: field for field, edge in EDGES.items()}

VALUES: dict[str, type] = {
    "rider": Rider,
    "effort": Effort,
    "bike": Bike,
    "frame": Frame,
    "conditions": Conditions,
    "days": Uncertain,
    "score": Weights,
    "search": Wishes,
    "fleet": OutingLimits,
    "surface": SurfaceStretch,
    "stop": Stop,
    "drivetrain": Drivetrain,
}
"""What each section of a plan becomes."""

REPEATED = ("surface", "stop", "drivetrain")
WITH_SECTIONS = {"rider": ("effort",)}
"""The fields of a value that have sections of their own."""
LISTS = ("athletes", "bikes", "guests")
"""The keys that name CSV lists."""

STAND_INS: dict[str, Table] = {
    "surface": {"from_km": 0.0, "to_km": math.inf, "surface": "tarmac"},
    "drivetrain": {"chainrings": (40,), "sprockets": (11,), "ratios": (1.0,)},
    "stop": {"minutes": 1.0},
}
"""What keys that a value cannot do without are while its other faults are looked for."""

NEEDED = {
    "route": 'name the GPX file at the top of the plan, such as route = "route.gpx"',
    "drivetrain": "give at least one [[drivetrain]] with chainrings and sprockets",
}


class Kind(NamedTuple):
    """How a key's type is checked, and what it is called."""

    checked: Any
    words: str


Whole = Annotated[int, Field(ge=-(2**63), lt=2**63)]  # TOML's own range
KINDS: dict[Any, Kind] = {
    str: Kind(str, "text in quotes"),
    str | None: Kind(str, "text in quotes"),
    bool: Kind(bool, "true or false"),
    bool | None: Kind(bool, "true or false"),
    int: Kind(Whole, "a whole number"),
    int | None: Kind(Whole, "a whole number"),
    float: Kind(float, "a plain number"),
    float | None: Kind(float, "a plain number"),
    tuple[str, ...]: Kind(
        Annotated[tuple[str, ...], Strict(False)], 'a list of texts, such as ["parts.toml"]'
    ),
    tuple[int, ...]: Kind(
        Annotated[tuple[Whole, ...], Strict(False)], "a list of whole numbers, such as [11, 13, 15]"
    ),
    tuple[float, ...]: Kind(
        Annotated[tuple[float, ...], Strict(False)], "a list of numbers, such as [0.8, 1.0, 1.25]"
    ),
    tuple[float, float]: Kind(
        Annotated[tuple[float, float], Strict(False)], "two numbers in a list, such as [75, 95]"
    ),
}
"""By type of a field; what is a tuple inside is a list in TOML."""

STRICT = ConfigDict(strict=True, extra="forbid", allow_inf_nan=False)


def _key(field: str) -> str:
    return EDGES[field].key if field in EDGES else field


def _kinds_of(section: str, value: type) -> dict[str, Kind]:
    hints, apart = get_type_hints(value), WITH_SECTIONS.get(section, ())
    names = [field.name for field in fields(value) if field.name not in apart]
    return {_key(name): KINDS[hints[name]] for name in names}


def _model(name: str, kinds: dict[str, Kind]) -> type[BaseModel]:
    keys: Table = {key: (kind.checked, None) for key, kind in kinds.items()}
    return create_model(name, __config__=STRICT, **keys)


def _section_kind(section: str, value: type) -> Kind:
    model: Any = _model(value.__name__, _kinds_of(section, value))
    if section in REPEATED:
        words = f"tables headed [[{section}]], two brackets on either side"
        return Kind(Annotated[tuple[model, ...], Strict(False)], words)
    return Kind(model, f"one table headed [{section}]")


TOP = {
    "route": KINDS[str],
    "step_m": KINDS[float],
    "default_surface": KINDS[str],
    "athletes": KINDS[str],
    "bikes": KINDS[str],
    "guests": KINDS[str],
    **{section: _section_kind(section, value) for section, value in VALUES.items()},
}
KEYS = {"": TOP, **{section: _kinds_of(section, value) for section, value in VALUES.items()}}
"""Every key of a plan by section; "" is the top."""

PlanKeys = _model("PlanKeys", TOP)


def load_plan(path: str | Path) -> Plan:
    """The plan in a TOML file.

    Raises `FileError` for a file that cannot be read and `PlanError` for one that is not a plan:
    its message is the first fault, and its notes (`__notes__`) are the others, one line each.
    """
    path = Path(path)
    data = _read(path)
    faults = [
        f"{key} is missing; {remedy}"
        for key, remedy in NEEDED.items()
        if data.get(key) in (None, "", []) and not _brought_by_bikes(key, data)
    ]
    given, wrong = _of_right_types(data, faults)
    built = {section: _values(section, given, wrong, faults) for section in VALUES}
    faults += _faults_of_surfaces(given.get("default_surface"), built["surface"])
    faults += _faults_of_names(built["drivetrain"])
    faults += _faults_of_now(given, built["drivetrain"])
    faults += _faults_of_route(path.parent, given.get("route"))
    if faults:
        raise all_at_once(path, faults)
    rider = replace(built["rider"][0], effort=built["effort"][0])
    return Plan(
        path=path,
        route=path.parent / given["route"],
        **{key: path.parent / given[key] for key in LISTS if given.get(key)},
        rider=rider,
        bike=built["bike"][0],
        frame=built["frame"][0],
        conditions=built["conditions"][0],
        weights=built["score"][0],
        uncertain=built["days"][0],
        wishes=built["search"][0],
        limits=built["fleet"][0],
        stops=tuple(built["stop"]),
        surfaces=tuple(built["surface"]),
        drivetrains=tuple(built["drivetrain"]),
        cautions=plan_cautions(given, rider, built["bike"][0]),
        **{key: given[key] for key in ("step_m", "default_surface") if key in given},
    )


def _brought_by_bikes(key: str, data: Table) -> bool:
    """Whether the bikes of a list bring what the plan lacks: their gears."""
    return key == "drivetrain" and bool(data.get("bikes"))


def _read(path: Path) -> Table:
    quoted = shlex.quote(str(path))
    text = read_text(path, "a plan file", f"write one with: gearsim new {quoted}")
    if text.lstrip().startswith("<"):
        raise PlanError(
            f"{path}: looks like a route, not a plan; "
            f"write a plan for it with: gearsim new plan.toml --route {quoted}"
        )
    return tables_of(path, text, repeated=REPEATED)


def _of_right_types(data: Table, faults: list[str]) -> tuple[Table, set[Place]]:
    """The keys that are right by name and type, and the places of the others, told in `faults`."""
    try:
        return PlanKeys.model_validate(data).model_dump(exclude_unset=True), set()
    except ValidationError as error:
        wrong = {
            _place(fault["loc"]): _told(data, fault["loc"], fault["type"])
            for fault in error.errors()
        }
    faults += wrong.values()
    for place in wrong:
        _remove(data, place)
    return _of_right_types(data, faults)[0], set(wrong)


def _place(location: Place) -> Place:
    """The place of the key, whichever element of its value is wrong."""
    names = [index for index, part in enumerate(location) if isinstance(part, str)]
    return location[: names[-1] + 1]


def _at(data: Any, place: Place) -> Any:
    for part in place:
        data = data[part]
    return data


def _remove(data: Table, place: Place) -> None:
    """Take a key out, where the section that it is in is still there."""
    if place[0] in data:
        del _at(data, place[:-1])[place[-1]]


def _told(data: Table, location: Place, what: str) -> str:
    place = _place(location)
    section, key = str(place[0]) if len(place) > 1 else "", str(place[-1])
    where = _where(data, place)
    value = _shown(_at(data, place))
    if what == "extra_forbidden":
        return f"{where} = {value} is no key of a plan; {_hint(section, key)}"
    return f"{where} is {value}; allowed is {KEYS[section][key].words}"


def _where(data: Table, place: Place) -> str:
    if len(place) < 3:
        return ".".join(str(part) for part in place)
    section, index, key = place
    name = _named(str(section), int(index), _at(data, place[:-1])).get("name")
    return f"{section} {int(index) + 1 if name is None else repr(name)}: {key}"


def _hint(section: str, key: str) -> str:
    homes = [_heading(other) for other, keys in KEYS.items() if key in keys]
    if homes:
        return f"it belongs {' or '.join(homes)}"
    near = get_close_matches(key, KEYS[section], n=1)
    if near:
        return f"did you mean {near[0]}?"
    return f"allowed are {', '.join(KEYS[section])}"


def _heading(section: str) -> str:
    if not section:
        return "at the top, above the first section"
    return f"under [[{section}]]" if section in REPEATED else f"under [{section}]"


def _shown(value: Any) -> str:
    if isinstance(value, dict):
        return "{...}"
    if isinstance(value, float):
        return str(value)
    shown = json.dumps(value, ensure_ascii=False, default=str)
    return shown if len(shown) <= LONGEST_SHOWN else f"{shown[:LONGEST_SHOWN]}..."


def _values(section: str, given: Table, wrong: set[Place], faults: list[str]) -> list[Any]:
    """What the section's tables become; those at fault are told in `faults` instead."""
    tables = given.get(section, ()) if section in REPEATED else (given.get(section, {}),)
    values = []
    for index, table in enumerate(tables):
        home = (section, index) if section in REPEATED else (section,)
        told = {str(place[-1]) for place in wrong if place[:-1] == home}
        found = dict(_faults_of_keys(section, index, table, told))
        told |= found.keys()
        others = list(_faults_of_value(section, _named(section, index, table), told))
        faults += [*found.values(), *others]
        if not (others or told):
            values.append(_value(section, table))
    return values


def _named(section: str, index: int, table: Table) -> Table:
    """The table with a name to tell its faults by, where it may have one and has none."""
    return {"name": f"number {index + 1}"} | table if "name" in KEYS[section] else table


def _faults_of_keys(
    section: str, index: int, table: Table, told: set[str]
) -> Iterator[tuple[str, str]]:
    """The keys that a table lacks, and its ranges that are upside down, each with its fault."""
    place = (section, index) if section in REPEATED else (section,)
    tables = {section: [*[{}] * index, table] if section in REPEATED else table}
    needed = {_key(field.name) for field in fields(VALUES[section]) if field.default is MISSING}
    for key, kind in KEYS[section].items():
        where, value = _where(tables, (*place, key)), table.get(key)
        if key in needed and key not in table and key not in told:
            yield key, f"{where} is missing; allowed is {kind.words}"
        elif kind is KINDS[tuple[float, float]] and value is not None and value[0] > value[1]:
            yield key, f"{where} is [{value[0]:g}, {value[1]:g}]; the lower comes first"


def _faults_of_value(section: str, table: Table, told: set[str]) -> Iterator[str]:
    """The faults of a table apart from those of the keys in `told`.

    The value's own check stops at the first fault, so the keys that it names are set aside and
    the rest is tried again.
    """
    needed = STAND_INS.get(section, {})
    stand_ins = {key: needed[key] for key in told if key in needed}
    kept = {key: value for key, value in table.items() if key not in told}
    try:
        _value(section, kept | stand_ins)
        return
    except PlanError as error:
        message = in_plan_words(section, str(error))
    named = {key for key in KEYS[section] if re.search(rf"\b{key}\b", message)}
    if not named & told:
        yield message
    if named - told:
        yield from _faults_of_value(section, table, told | named)


def _value(section: str, table: Table) -> Any:
    return VALUES[section](**dict(_inside(key, value) for key, value in table.items()))


def _inside(key: str, value: Any) -> tuple[str, Any]:
    """The field of a key, and the value in the field's unit."""
    if key not in FIELDS:
        return key, value
    edge = EDGES[FIELDS[key]]
    return FIELDS[key], value * edge.times / edge.over


def in_plan_words(section: str, message: str) -> str:
    """A value's own message with the plan's key and unit."""
    for field, edge in EDGES.items():
        if edge.key in KEYS[section] and re.search(rf"\b{field}\b", message):
            message = re.sub(rf"\b{field}\b", edge.key, message)
            return NUMBER.sub(partial(_in_plan_unit, edge), message)
    return message


def _in_plan_unit(edge: Edge, number: re.Match[str]) -> str:
    return f"{float(number[0]) * edge.over / edge.times:.5g}"


def _faults_of_surfaces(default: str | None, stretches: list[SurfaceStretch]) -> Iterator[str]:
    """Unknown names and stretches upside down; only the course tells whether they end on it."""
    if default is not None:
        yield from _fault(surface_named, default)
    for stretch in stretches:
        yield from _fault(assign_surfaces, [stretch], stretch.surface, np.array([0.0, np.inf]))


def _fault(check: Callable[..., object], *values: object) -> Iterator[str]:
    try:
        check(*values)
    except PlanError as error:
        yield str(error)


def _faults_of_names(drivetrains: list[Drivetrain]) -> Iterator[str]:
    for name, count in Counter(drivetrain.name for drivetrain in drivetrains).items():
        if count > 1:
            yield f"drivetrain {name!r} is there {count} times; give each a name of its own"


def _faults_of_now(given: Table, drivetrains: list[Drivetrain]) -> Iterator[str]:
    now = given.get("search", {}).get("now")
    names = [drivetrain.name for drivetrain in drivetrains]
    names += [table.get("name", "") for table in given.get("drivetrain", ())]
    if now is not None and now not in names:
        near = get_close_matches(now, names, n=1)
        hint = f"did you mean {near[0]!r}?" if near else "give the name of a [[drivetrain]]"
        yield f"search.now is {_shown(now)}; {hint}"


def _faults_of_route(folder: Path, name: str | None) -> Iterator[str]:
    if not name:
        return
    if not name.isprintable():
        slip = "in a path write / instead of \\, or put it in single quotes"
        yield f"route is {_shown(name)}; {slip}"
        return
    route = folder / name
    try:
        if route.is_file():
            return
        beside = [path.name for path in route.parent.glob("*.gpx*")]
    except (OSError, ValueError):
        beside = []
    near = get_close_matches(route.name, beside, n=1)
    meant = f"did you mean {near[0]}?" if near else "check its name"
    yield f"route is {_shown(name)}; there is no such file in {route.parent}, {meant}"

import math
import re
from collections.abc import Callable
from dataclasses import fields
from importlib import resources
from inspect import signature
from pathlib import Path

import pytest

from gearsim.course.loading import load_course
from gearsim.course.surface import SURFACES, SurfaceStretch
from gearsim.errors import FileError, PlanError
from gearsim.physics.air import standard_pressure_pa
from gearsim.plan.cautions import SLOWEST_KMH
from gearsim.plan.keys import EDGES, FIELDS, KEYS, VALUES, WITH_SECTIONS
from gearsim.plan.loading import load_plan
from gearsim.plan.plan import Plan
from gearsim.ride.score import Weights
from gearsim.setup.ability import ABILITIES, CLASSES
from gearsim.setup.bike import Bike
from gearsim.setup.conditions import Conditions
from gearsim.setup.driver_body import DRIVER_BODIES
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.effort import KINDS
from gearsim.setup.frame import Frame
from gearsim.setup.outing_limits import OutingLimits
from gearsim.setup.rider import Rider
from gearsim.setup.uncertain import CHOICES, LONG_WALK_M, Uncertain
from gearsim.setup.wishes import Wishes

ONE_RING = '[[drivetrain]]\nname = "one"\nchainrings = [40]\nsprockets = [11, 13, 15]\n'
Write = Callable[[str], Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Writes a plan beside a route; `route` and one drivetrain come along unless they are there."""
    (tmp_path / "route.gpx").write_text("<gpx/>")

    def written(text: str) -> Path:
        head = "" if "route =" in text else 'route = "route.gpx"\n'
        tail = "" if "drivetrain" in text else ONE_RING
        path = tmp_path / "plan.toml"
        path.write_text(f"{head}{text}\n{tail}", encoding="utf-8")
        return path

    return written


def faults(path: Path) -> list[str]:
    with pytest.raises(PlanError) as caught:
        load_plan(path)
    told = [str(caught.value), *getattr(caught.value, "__notes__", [])]
    assert all(fault.startswith(f"{path}: ") for fault in told)
    return [fault.removeprefix(f"{path}: ") for fault in told]


def test_short_plan_has_the_defaults_of_the_values(write: Write) -> None:
    plan = load_plan(write(""))
    assert plan.rider == Rider()
    assert plan.bike == Bike()
    assert plan.conditions == Conditions()
    assert plan.weights == Weights()
    assert plan.surfaces == ()
    assert plan.drivetrains == (Drivetrain(name="one", chainrings=(40,), sprockets=(11, 13, 15)),)


def test_course_keys_left_out_have_the_defaults_of_load_course() -> None:
    parameters = signature(load_course).parameters
    defaults = {field.name: field.default for field in fields(Plan)}
    for key in ("step_m", "default_surface"):
        assert defaults[key] == parameters[key].default


def test_route_is_sought_from_the_plan_on(write: Write, tmp_path: Path) -> None:
    assert load_plan(write("")).route == tmp_path / "route.gpx"


@pytest.mark.parametrize("section", VALUES)
def test_every_field_has_a_key(section: str) -> None:
    apart = WITH_SECTIONS.get(section, ())
    names = [field.name for field in fields(VALUES[section]) if field.name not in apart]
    assert list(KEYS[section]) == [EDGES[n].key if n in EDGES else n for n in names]


def test_edge_units_become_units_of_the_values(write: Write) -> None:
    plan = load_plan(
        write(
            "[rider]\nreserve_kj = 20\nfull_effect_percent = 5\nstop_pedalling_kmh = 45\n"
            "descending_kmh = 54\nslowest_riding_kmh = 3.6\ncornering_percent = 70\n"
            "[conditions]\nhumidity_percent = 40\npressure_hpa = 950\nwind_kmh = 18\n"
            "wind_from_deg = 90\nwind_share_percent = 50"
        )
    )
    assert plan.rider.reserve_j == 20_000.0
    assert plan.rider.full_effect_grade == pytest.approx(0.05, rel=1e-12)
    assert plan.rider.stop_pedalling_mps == pytest.approx(12.5, rel=1e-12)
    assert plan.rider.descending_mps == pytest.approx(15.0, rel=1e-12)
    assert plan.rider.slowest_riding_mps == pytest.approx(1.0, rel=1e-12)
    assert plan.rider.cornering == pytest.approx(0.7, rel=1e-12)
    assert plan.conditions.relative_humidity == pytest.approx(0.4, rel=1e-12)
    assert plan.conditions.pressure_pa == 95_000.0
    assert plan.conditions.wind_mps == pytest.approx(5.0, rel=1e-12)
    assert plan.conditions.wind_from_rad == pytest.approx(math.pi / 2, rel=1e-12)
    assert plan.conditions.wind_share == pytest.approx(0.5, rel=1e-12)


def test_lists_and_tables_become_values(write: Write) -> None:
    plan = load_plan(
        write(
            'default_surface = "gravel"\nstep_m = 20\n'
            "[rider]\nband_rpm = [70, 90]\n[score]\nwalking = 5\n"
            '[[surface]]\nfrom_km = 1\nto_km = 2.5\nsurface = "grass"\n'
            "[[drivetrain]]\nratios = [1.0, 2.0]\nefficiency = 0.9\n" + ONE_RING
        )
    )
    assert plan.rider.band_rpm == (70.0, 90.0)
    assert plan.weights == Weights(walking=5.0)
    assert plan.surfaces == (SurfaceStretch(from_km=1.0, to_km=2.5, surface="grass"),)
    assert (plan.step_m, plan.default_surface) == (20.0, "gravel")
    assert plan.drivetrains[0].ratios == (2.0, 1.0)
    assert plan.drivetrains[0].efficiency == 0.9


def test_byte_order_mark_is_no_fault(write: Write) -> None:
    path = write("")
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    assert load_plan(path).rider == Rider()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        # The only key of the section in that unit.
        (
            "[rider]\nweight_kg = 75",
            "rider.weight_kg = 75 is no key of a plan; did you mean mass_kg?",
        ),
        ("[rider]\nmas_kg = 75", "rider.mas_kg = 75 is no key of a plan; did you mean mass_kg?"),
        (
            "[rider]\ndescending_mps = 15",
            "rider.descending_mps = 15 is no key of a plan; did you mean descending_kmh?",
        ),
        (
            "[rider]\nwind_kmh = 5",
            "rider.wind_kmh = 5 is no key of a plan; it belongs under [conditions]",
        ),
        (
            "[bike]\nstep_m = 5",
            "bike.step_m = 5 is no key of a plan; it belongs at the top, above the first section",
        ),
        (
            "[score]\nzzz = true",
            "score.zzz = true is no key of a plan; "
            "allowed are at_limit, spun_out, below_lowest_gear, walking",
        ),
        ("[riders]\nmass_kg = 5", "riders = {...} is no key of a plan; did you mean rider?"),
        ("[rider]\nmass_kg = -75", "rider.mass_kg is -75; allowed is 20 to 250"),
        ('[rider]\nmass_kg = "75"', 'rider.mass_kg is "75"; allowed is a plain number'),
        ("[bike]\nmass_kg = true", "bike.mass_kg is true; allowed is a plain number"),
        ("[bike]\nmass_kg = nan", "bike.mass_kg is nan; allowed is a plain number"),
        ("[bike]\nmass_kg = inf", "bike.mass_kg is inf; allowed is a plain number"),
        ("[bike]\nname = 3", "bike.name is 3; allowed is text in quotes"),
        ("[conditions]\nwet = 1", "conditions.wet is 1; allowed is true or false"),
        (
            "[rider]\nlimits_rpm = [50]",
            "rider.limits_rpm is [50]; allowed is two numbers in a list, such as [75, 95]",
        ),
        (
            "[rider]\nband_rpm = [95, 75]",
            "rider.band_rpm is [95, 75]; the lower comes first",
        ),
        (
            "[rider]\nband_rpm = [75, 75]",
            "rider.limits_rpm, rider.band_rpm and rider.target_cadence_rpm are 50, 75, 85, 75, "
            "115; allowed is low limit < low end of the band < target < high end of the band < "
            "high limit",
        ),
        (
            "[rider]\nlimits_rpm = [130, 90]\nband_rpm = [100, 120]\ntarget_cadence_rpm = 110",
            "rider.limits_rpm is [130, 90]; the lower comes first",
        ),
        ("[days]\npower_factor = [1.1, 0.9]", "days.power_factor is [1.1, 0.9]; the lower comes"),
        (
            "[bike]\nrim_mm = 700",
            "bike.rim_mm is 700; allowed is the diameter of the bead seat, mm",
        ),
        ("[bike]\nrim_mm = 27.5", "bike.rim_mm is 27.5; allowed is the diameter of the bead seat"),
        (
            'route = "C:\\new.gpx"',
            'route is "C:\\new.gpx"; in a path write / instead of \\, or put',
        ),
        ("rider = 3", "rider is 3; allowed is one table headed [rider]"),
        ("[score]\nwalking = -1", "score.walking is -1; allowed is 0 to 100"),
        (
            "[rider]\ndescending_kmh = 216.001",
            "rider.descending_kmh is 216.001; allowed is 7.2 to 216",
        ),
        (
            '[rider.effort]\nkind = "fixed"',
            "rider.effort = {...} is no key of a plan; it has a section of its own, [effort]",
        ),
        ('route = "other.gpx"', 'route is "other.gpx"; there is no such file'),
        ("drivetrain = []", "drivetrain is missing; give at least one [[drivetrain]]"),
        (
            "[drivetrain]\nname = 'x'",
            "drivetrain is {...}; allowed is tables headed [[drivetrain]], two brackets on either",
        ),
        (
            "[[drivetrain]]\nsprockets = [11]",
            "drivetrain 'number 1' has no chainrings; give 1 to 3",
        ),
        (
            "[[drivetrain]]\nchainrings = [40]\nsprockets = []",
            "drivetrain 'number 1' has no sprockets; give 1 to 14, for example",
        ),
        (
            '[[drivetrain]]\nchainrings = "46-30"\nsprockets = [11, 12]',
            "drivetrain 'number 1': chainrings is \"46-30\"; allowed is a list of whole numbers",
        ),
        (
            '[[drivetrain]]\nname = "x"\nchainrings = [40]\nsprockets = [11.0, 12]',
            "drivetrain 'x': sprockets is [11.0, 12]; allowed is a list of whole numbers",
        ),
        (
            f'[[drivetrain]]\nname = "x"\nchainrings = [{10**30}]\nsprockets = [11]',
            f"drivetrain 'x': chainrings is [{10**30}]; allowed is a list of whole numbers",
        ),
        (
            '[[drivetrain]]\nname = "cornering"\nchainrings = [40]\nsprockets = [11]\nmass_kg = 50',
            "drivetrain 'cornering': mass_kg is 50; allowed is 0 to 30",
        ),
        ('route = ""', "route is missing; name the GPX file"),
        (ONE_RING + ONE_RING, "drivetrain 'one' is there 2 times; give each a name of its own"),
        ('default_surface = "gravle"', "surface 'gravle' is unknown; did you mean 'gravel'?"),
        (
            '[[surface]]\nfrom_km = 2\nto_km = 1\nsurface = "gravel"',
            "surface 'gravel' from_km 2 to_km 1 ends before it begins",
        ),
        (
            '[[surface]]\nfrom_km = -1\nto_km = 1\nsurface = "gravel"',
            "surface 'gravel' from_km -1 to_km 1 is outside the course; allowed is 0 km and more",
        ),
        (
            '[[surface]]\nfrom_km = 2\nsurface = "gravel"',
            "surface 1: to_km is missing; allowed is a plain number",
        ),
        (
            '[[surface]]\nfrom_km = "10 km"\nto_km = 12\nsurface = "gravel"',
            'surface 1: from_km is "10 km"; allowed is a plain number',
        ),
    ],
)
def test_fault_names_key_value_and_what_is_allowed(write: Write, text: str, told: str) -> None:
    (fault,) = faults(write(text))
    assert fault.startswith(told)
    assert "\n" not in fault


@pytest.mark.parametrize("field", EDGES)
def test_range_is_told_in_the_plans_key_and_unit(write: Write, field: str) -> None:
    (section,) = (name for name, keys in KEYS.items() if EDGES[field].key in keys)
    key = EDGES[field].key
    (fault,) = faults(write(f"[{section}]\n{key} = 12345"))
    start, _, allowed = fault.partition("; allowed is ")
    low, high = (float(number) for number in allowed.split(" to "))
    assert start == f"{section}.{key} is 12345"
    for edge in (low, high):
        load_plan(write(f"[{section}]\n{key} = {edge}"))


def test_all_faults_are_told_at_once_and_each_once(write: Write) -> None:
    found = faults(
        write(
            'route = "rout.gpx"\n[rider]\nmass_kg = 1\npower_w = "x"\nfoo = 1\nreserve_kj = -2\n'
            "[conditions]\nwind_kmh = 500\n"
            "[[drivetrain]]\nchainrings = [400]\nsprockets = [1]\nmass_kg = -1"
        )
    )
    starts = sorted(fault.split(" is ")[0].split(" = ")[0] for fault in found)
    assert starts == [
        "conditions.wind_kmh",
        "drivetrain 'number 1': chainrings",
        "drivetrain 'number 1': mass_kg",
        "drivetrain 'number 1': sprockets",
        "rider.foo",
        "rider.mass_kg",
        "rider.power_w",
        "rider.reserve_kj",
        "route",
    ]


def test_faults_of_a_drivetrain_called_as_a_key_is_are_all_told(write: Write) -> None:
    found = faults(
        write(
            '[[drivetrain]]\nname = "mass_kg"\nchainrings = [400]\nsprockets = [11]\nmass_kg = 50'
        )
    )
    assert found == [
        "drivetrain 'mass_kg': chainrings is 400; allowed is 16 to 80",
        "drivetrain 'mass_kg': mass_kg is 50; allowed is 0 to 30",
    ]


def test_a_drivetrain_whose_name_is_wrong_is_told_by_its_place(write: Write) -> None:
    found = faults(write("[[drivetrain]]\nname = 3\nsprockets = [11]"))
    assert [fault.partition(";")[0] for fault in found] == [
        "drivetrain 'number 1': name is 3",
        "drivetrain 'number 1' has no chainrings",
    ]


def test_faults_of_every_surface_are_told_though_one_lacks_a_key(write: Write) -> None:
    found = faults(
        write(
            '[[surface]]\nfrom_km = "x"\nto_km = 2\nsurface = "gravel"\n'
            '[[surface]]\nfrom_km = 4\nto_km = 3\nsurface = "gravel"\n'
            "[[surface]]\nfrom_km = 5\n"
        )
    )
    assert sorted(fault.partition(";")[0] for fault in found) == [
        "surface 'gravel' from_km 4 to_km 3 ends before it begins",
        'surface 1: from_km is "x"',
        "surface 3: surface is missing",
        "surface 3: to_km is missing",
    ]


def test_the_drivetrain_now_is_the_one_named_else_the_first(write: Write) -> None:
    two = "[[drivetrain]]\nchainrings = [46, 30]\nsprockets = [11, 34]\n"
    assert load_plan(write(ONE_RING + two)).drivetrain_now.name == "one"
    named = f'[search]\nnow = "46-30 × 11-34 (2)"\n{ONE_RING}{two}'
    assert load_plan(write(named)).drivetrain_now.chainrings == (46, 30)


def test_a_drivetrain_now_that_is_wrong_is_told_once(write: Write) -> None:
    (fault,) = faults(write(f'[search]\nnow = "one"\n{ONE_RING}mass_kg = -1'))
    assert fault.startswith("drivetrain 'one': mass_kg is -1; allowed is 0 to 30")


def test_plan_of_bikes_alone_says_what_rides_it(write: Write) -> None:
    plan = load_plan(write('bikes = "bikes.csv"\nguests = "guests.csv" # drivetrain'))
    with pytest.raises(PlanError, match=r"no \[\[drivetrain\]\] to compare; .* gearsim fleet "):
        plan.require_drivetrains()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[conditions]\nwind_share_percent = 0.6", "if 60 % is meant, write 60"),
        ("[conditions]\nhumidity_percent = 0.5", "humidity_percent is 0.5, taken as 0.5 %"),
        ("[conditions]\nhumidity_percent = 1", "if 100 % is meant, write 100"),
        ("[days]\nwet_chance_percent = 0.25", "if 25 % is meant, write 25"),
        ("[conditions]\nwind_kmh = 20", "wind_from_deg is not told"),
        (
            "[rider]\npower_w = 200\ncritical_power_w = 150\nreserve_kj = 18",
            "below power_w, 200: on the flat the reserve is spent in 6 min, and then 150 W",
        ),
        (
            '[rider]\npower_w = 200\n[effort]\nkind = "for the duration"',
            "critical_power_w is not told: it is taken as 260 W",
        ),
        ("[bike]\nrim_mm = 600", "rim_mm is 600, which is no usual diameter"),
        (
            "[rider]\ndescending_kmh = 16",
            "descending_kmh is 16, slower than a bike rolls down a hill of 2 %: if 16 m/s is "
            "meant, write 57.6.",
        ),
        ("[rider]\nstop_pedalling_kmh = 14", "if 14 m/s is meant, write 50.4."),
    ],
)
def test_what_is_more_often_a_slip_than_meant_is_a_caution(
    write: Write, text: str, told: str
) -> None:
    (caution,) = load_plan(write(text)).cautions
    assert told in caution


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[conditions]\nwind_share_percent = 0\nwind_kmh = 20\nwind_from_deg = 0",
        '[rider]\ncritical_power_w = 150\n[effort]\nkind = "for the duration"',
        "[bike]\nrim_mm = 584",
        "[rider]\ndescending_kmh = 26\nstop_pedalling_kmh = 24",  # a guest new to riding
    ],
)
def test_what_may_well_be_meant_is_no_caution(write: Write, text: str) -> None:
    assert load_plan(write(text)).cautions == ()


def test_nearest_route_is_named(write: Write) -> None:
    (fault,) = faults(write('route = "rout.gpx"'))
    assert fault.startswith('route is "rout.gpx"; there is no such file in ')
    assert fault.endswith(", did you mean route.gpx?")


def test_route_that_stayed_behind_is_told_with_the_folder_it_is_looked_for_in(
    write: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = write('route = "unlike any.gpx"')
    monkeypatch.chdir(plan.parent)
    (fault,) = faults(Path(plan.name))
    assert fault.startswith(
        f'route is "unlike any.gpx"; there is no such file in {plan.parent} (a route'
    )
    assert fault.endswith("check its name, or bring it there if the plan was moved")
    (fault,) = faults(write('route = "/nowhere/unlike any.gpx"'))
    assert (
        fault
        == 'route is "/nowhere/unlike any.gpx"; there is no such file in /nowhere, check its name'
    )


def test_speeds_under_which_one_was_typed_in_m_per_s_are_as_told() -> None:
    # Rolling freely, resistance equals the slope's pull; rolling resistance and air of a new plan.
    weight_n, air_factor_kgpm = (75.0 + 10.0) * 9.80665, 0.5 * 1.225 * 0.38
    rolls_mps = ((0.02 - 0.005) * weight_n / air_factor_kgpm) ** 0.5
    assert {key: kmh for key, kmh, _ in SLOWEST_KMH}["descending_kmh"] < 3.6 * rolls_mps
    newest = ABILITIES[CLASSES[0]]
    for key, slowest_kmh, _ in SLOWEST_KMH:
        assert slowest_kmh < 3.6 * getattr(newest, FIELDS[key])


def test_packed_route_in_place_of_a_plan_is_told(tmp_path: Path) -> None:
    route = tmp_path / "my ride.gpx.gz"
    route.write_bytes(b"\x1f\x8b\x08")
    with pytest.raises(PlanError, match=r"looks like a route, .* new plan\.toml --route '.*gz'$"):
        load_plan(route)


def test_plan_whose_ending_is_left_out_is_named(write: Write) -> None:
    path = write("")
    with pytest.raises(FileError, match=rf"there is no such file; did you mean \S*{path.name}\?$"):
        load_plan(path.with_suffix(""))


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"x = [", "line 1: x = [ cannot be read; its bracket [ is not closed"),
        (b"a = 1\nroute = a.gpx", "line 2: route = a.gpx cannot be read; text stands in quotation"),
        (b"[drivetrain]\n[drivetrain]", "line 2: [drivetrain] cannot be read; write two brackets"),
        (b"\xff\xfe", "is not UTF-8 text; save it as UTF-8"),
        (b"<?xml version='1.0'?><gpx/>", "looks like a route, not a plan"),
        (b"a=" + b"[" * 100_000, "a number is too long or brackets are nested too deep"),
        (b"a=" + b"9" * 10_000, "a number is too long or brackets are nested too deep"),
    ],
)
def test_what_is_no_toml_is_refused_with_its_place(write: Write, content: bytes, told: str) -> None:
    path = write("")
    path.write_bytes(content)
    (fault,) = faults(path)
    assert fault.startswith(told)


def test_empty_plan_tells_what_is_missing(tmp_path: Path) -> None:
    path = tmp_path / "plan.toml"
    path.touch()
    assert [fault.split(" is ")[0] for fault in faults(path)] == ["route", "drivetrain"]


@pytest.mark.parametrize("name", ["nothing.toml", ".", "x" * 5000])
def test_what_is_no_file_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(FileError, match=r"no such file|folder|cannot be read"):
        load_plan(tmp_path / name)


def test_fault_of_the_course_names_the_plan(write: Write) -> None:
    plan = load_plan(write("step_m = 1e9"))
    with pytest.raises(PlanError, match=r"plan\.toml: step_m is 1000000000; allowed is 1 to 200"):
        plan.load_course()


TEMPLATE = resources.files("gearsim").joinpath("plan_template.toml").read_text("utf-8")


def test_new_plan_says_the_defaults(write: Write) -> None:
    plan = load_plan(write(TEMPLATE))
    assert plan.rider == Rider()
    assert plan.bike == Bike()
    assert plan.conditions == Conditions()
    assert plan.weights == Weights()
    assert plan.uncertain == Uncertain()
    assert plan.limits == OutingLimits()
    assert plan.frame == Frame()
    assert plan.wishes == Wishes()
    assert (plan.step_m, plan.default_surface) == (10.0, "tarmac")
    assert plan.cautions == ()


def template_keys() -> dict[str, dict[str, str]]:
    """The values in the template, of keys left out too, by section ("" is the top) and key."""
    found: dict[str, dict[str, str]] = {"": {}}
    section = ""
    for line in TEMPLATE.splitlines():
        if heading := re.fullmatch(r"(?:# )?\[\[?(\w+)\]\]?", line):
            section = heading[1]
        elif key := re.match(r"(?:# )?(\w+) = (.+?)(?:  +#.*)?$", line):
            found.setdefault(section, {}).setdefault(key[1], key[2])
    return found


def test_new_plan_explains_every_key_where_it_belongs_and_no_other() -> None:
    found = {section: set(keys) for section, keys in template_keys().items()}
    known = {section: set(keys) for section, keys in KEYS.items()}
    assert found == {**known, "": known[""] - known.keys()}


def test_values_left_out_of_a_new_plan_are_those_assumed() -> None:
    told = template_keys()
    rider, days = Rider(), Uncertain()
    assert float(told["rider"]["critical_power_w"]) == rider.critical_w
    assert float(told["rider"]["largest_power_w"]) == round(rider.largest_w)
    assert float(told["days"]["wet_chance_percent"]) == 100 * days.chance_of_wet(Conditions())
    assert float(told["days"]["long_walk_m"]) == LONG_WALK_M
    pressure_pa = 100.0 * float(told["conditions"]["pressure_hpa"])
    assert pressure_pa == standard_pressure_pa(Conditions().reference_height_m)


def test_new_plan_names_all_surfaces() -> None:
    listed = TEMPLATE.partition("Known are: ")[2].partition(".")[0].replace("\n# ", " ")
    assert listed.split(", ") == [*SURFACES]


@pytest.mark.parametrize("choice", [*DRIVER_BODIES, *KINDS, *CHOICES])
def test_new_plan_names_all_that_may_be_chosen(choice: str) -> None:
    assert f'"{choice}"' in TEMPLATE

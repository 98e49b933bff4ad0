"""With what gears."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.errors import PlanError, as_given
from gearsim.setup.checked import require_between, require_one_of
from gearsim.setup.driver_body import DRIVER_BODIES
from gearsim.setup.possible import MOST_CHAINRINGS, MOST_SPROCKETS, RING_TEETH, SPROCKET_TEETH

HEAVIEST_KG = 30.0


@dataclass(frozen=True, kw_only=True)
class Drivetrain:
    """Chainrings and sprockets, or the ratios of a hub gear or gearbox.

    Teeth are kept largest ring first and smallest sprocket first, however they were given.
    With `ratios` (turns of the wheel per turn of the crank, chain included), `chainrings` and
    `sprockets` stay empty and `efficiency` is the gear's own, the same in every gear.  A fixed
    `efficiency` may be given for a chain drive too; None: losses from sprocket sizes, load and
    chain line.  `mass_kg` is added to the bike's; 0 where the bike's mass has it already.

    The rest says what is to be fitted, for `gearsim fit`; it changes no ride (None: not told):
    `chainset`, `rear_mech`, `front_mech` and `internal_gear` by their names in the parts list,
    `driver_body` the class that the cassette is made for, `chain_links` the links of a chain that
    is there already.

    Raises `PlanError` for no gears, impossible teeth, or teeth and ratios given together.
    """

    name: str = ""
    chainrings: tuple[int, ...] = ()
    sprockets: tuple[int, ...] = ()
    ratios: tuple[float, ...] = ()
    efficiency: float | None = None
    mass_kg: float = 0.0
    chainset: str | None = None
    rear_mech: str | None = None
    front_mech: str | None = None
    driver_body: str | None = None
    chain_links: int | None = None
    internal_gear: str | None = None

    def __post_init__(self) -> None:
        """Sort the teeth and refuse what cannot turn."""
        object.__setattr__(self, "chainrings", tuple(sorted(self.chainrings, reverse=True)))
        object.__setattr__(self, "sprockets", tuple(sorted(self.sprockets)))
        object.__setattr__(self, "ratios", tuple(sorted(self.ratios, reverse=True)))
        if not self.name.strip():
            object.__setattr__(self, "name", self.label)
        name = f"drivetrain {self.name!r}"
        self._require_gears(name)
        self._require_possible_gears(name)
        self._require_possible_mass(name)
        if self.efficiency is not None:
            require_between(f"{name}: efficiency", self.efficiency, 0.3, 1.0)
        if self.driver_body is not None:
            require_one_of(f"{name}: driver_body", self.driver_body, DRIVER_BODIES)
        if self.chain_links is not None:
            require_between(f"{name}: chain_links", self.chain_links, 40, 400)

    def _require_gears(self, name: str) -> None:
        rings, rears = len(self.chainrings), len(self.sprockets)
        if self.ratios and (rings or rears):
            raise PlanError(
                f"{name} has ratios and teeth; allowed is one of them, remove the other"
            )
        if not self.ratios and not rings:
            raise PlanError(
                f"{name} has no chainrings; give 1 to {MOST_CHAINRINGS}, for example "
                "chainrings = [40]"
            )
        if not self.ratios and not rears:
            raise PlanError(
                f"{name} has no sprockets; give 1 to {MOST_SPROCKETS}, for example [11, 13, 15, 18]"
            )
        if rings > MOST_CHAINRINGS or rears > MOST_SPROCKETS:
            raise PlanError(
                f"{name} has {rings} chainrings, {rears} sprockets; "
                f"allowed are up to {MOST_CHAINRINGS} and {MOST_SPROCKETS}"
            )

    def _require_possible_gears(self, name: str) -> None:
        for teeth in self.chainrings:
            _require_teeth(f"{name}: chainrings", teeth, RING_TEETH)
        for teeth in self.sprockets:
            _require_teeth(f"{name}: sprockets", teeth, SPROCKET_TEETH)
        for ratio in self.ratios:
            require_between(f"{name}: ratios", ratio, 0.2, 12.0)
        for kind in ("chainrings", "sprockets", "ratios"):
            values = getattr(self, kind)
            if len(set(values)) != len(values):
                raise PlanError(f"{name}: {kind} {values} name one size twice; remove one of them")

    def _require_possible_mass(self, name: str) -> None:
        if self.mass_kg < 0.0:
            raise PlanError(
                f"{name}: mass_kg is {as_given(self.mass_kg)}; allowed is 0 to "
                f"{HEAVIEST_KG:g}, which is added to the bike's: where the bike was weighed with "
                "a heavier drivetrain, take that one's mass off bike.mass_kg and give each "
                "drivetrain its own"
            )
        require_between(f"{name}: mass_kg", self.mass_kg, 0.0, HEAVIEST_KG)

    @property
    def label(self) -> str:
        """The gears in short: `46-30 × 11-34 (11)`, or `14 ratios 0.80-4.20`."""
        if self.ratios:
            return f"{len(self.ratios)} ratios {self.ratios[-1]:.2f}-{self.ratios[0]:.2f}"
        if not (self.chainrings and self.sprockets):
            return "no gears"
        rings = "-".join(str(teeth) for teeth in self.chainrings)
        ends = sorted({self.sprockets[0], self.sprockets[-1]})
        return f"{rings} × {'-'.join(str(teeth) for teeth in ends)} ({len(self.sprockets)})"

    @property
    def gear_ratios(self) -> tuple[float, ...]:
        """Every gear's ratio (turns of the wheel per turn of the crank), highest first."""
        if self.ratios:
            return self.ratios
        return tuple(
            sorted(
                (ring / rear for ring in self.chainrings for rear in self.sprockets), reverse=True
            )
        )


def _require_teeth(name: str, teeth: float, bounds: tuple[int, int]) -> None:
    require_between(name, teeth, *bounds)
    if teeth != int(teeth):
        raise PlanError(f"{name} is {as_given(teeth)}; allowed are whole teeth")

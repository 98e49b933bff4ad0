"""With what gears."""

from __future__ import annotations

from dataclasses import dataclass

from gearsim.errors import PlanError
from gearsim.setup.checked import require_between
from gearsim.setup.fit.driver_body import require_driver_body

MOST_CHAINRINGS = 3
MOST_SPROCKETS = 14


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
        if not self.name:
            object.__setattr__(self, "name", self.label)
        self._check_gears()
        require_between(f"drivetrain {self.name!r}: mass_kg", self.mass_kg, 0.0, 30.0)
        if self.efficiency is not None:
            require_between(f"drivetrain {self.name!r}: efficiency", self.efficiency, 0.3, 1.0)
        if self.driver_body is not None:
            require_driver_body(f"drivetrain {self.name!r}: driver_body", self.driver_body)
        if self.chain_links is not None:
            require_between(f"drivetrain {self.name!r}: chain_links", self.chain_links, 40, 400)

    def _check_gears(self) -> None:
        name = f"drivetrain {self.name!r}"
        if self.ratios and (self.chainrings or self.sprockets):
            raise PlanError(
                f"{name} has ratios and teeth; allowed is one of them, remove the other"
            )
        if not self.ratios and not self.chainrings:
            raise PlanError(f"{name} has no chainrings; give 1 to 3, for example chainrings = [40]")
        if not self.ratios and not self.sprockets:
            raise PlanError(f"{name} has no sprockets; give 1 to 14, for example [11, 13, 15, 18]")
        if len(self.chainrings) > MOST_CHAINRINGS or len(self.sprockets) > MOST_SPROCKETS:
            raise PlanError(
                f"{name} has {len(self.chainrings)} chainrings, {len(self.sprockets)} sprockets; "
                f"allowed are up to {MOST_CHAINRINGS} and {MOST_SPROCKETS}"
            )
        for teeth in self.chainrings:
            require_between(f"{name}: chainrings", teeth, 16, 80)
        for teeth in self.sprockets:
            require_between(f"{name}: sprockets", teeth, 8, 70)
        for ratio in self.ratios:
            require_between(f"{name}: ratios", ratio, 0.2, 12.0)
        for kind in ("chainrings", "sprockets", "ratios"):
            values = getattr(self, kind)
            if len(set(values)) != len(values):
                raise PlanError(f"{name}: {kind} {values} name one size twice; remove one of them")

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

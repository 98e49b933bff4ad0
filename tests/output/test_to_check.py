"""What a mechanic is to look at, as the top of a report tells it."""

from dataclasses import dataclass

from made_parts import BIKE, ELEVEN_34, FRAME, PARTS, UNTOLD

from gearsim.output.fit.to_check import NOTHING_FOUND, UNCHECKED, to_check_told
from gearsim.setup.drivetrain import Drivetrain
from gearsim.setup.fit.finding import Finding, Verdict
from gearsim.setup.fit.fitment import Fit, fits_of
from gearsim.setup.frame import Frame

ONE_RING = Drivetrain(name="one ring", chainrings=(42,), sprockets=ELEVEN_34)
FINE = Finding("tyre, frame", Verdict.OK, 40.0, 45.0, "mm", "there is room")
ASKEW = Finding("chain line", Verdict.CAUTION, 3.2, 3.0, "°", "avoid 46×34: noise and wear")
TOO_LARGE = Finding("largest ring", Verdict.DOES_NOT_FIT, 50, 48, "teeth", "it hits the frame")


@dataclass(frozen=True, kw_only=True)
class Ridden:
    """A candidate as far as its fit is asked."""

    name: str
    fit: Fit | None

    @property
    def misfits(self) -> tuple[Finding, ...]:
        return () if self.fit is None else self.fit.misfits


def ridden(name: str, *findings: Finding) -> Ridden:
    return Ridden(name=name, fit=Fit(drivetrain=ONE_RING, findings=findings))


def checked(frame: Frame) -> str:
    (fit,) = fits_of([ONE_RING], PARTS, BIKE, frame)
    return to_check_told([Ridden(name="one ring", fit=fit)])


def test_a_caution_is_told_with_its_reason_and_what_is_fine_is_not() -> None:
    told = to_check_told([ridden("best", FINE, ASKEW)])
    assert told == "“best”: chain line (avoid 46×34: noise and wear)."


def test_the_first_that_fits_is_told_of_for_nobody_buys_what_does_not() -> None:
    bad, good = ridden("bad", TOO_LARGE), ridden("good", FINE)
    assert to_check_told([bad, good]) == f"“good”: {NOTHING_FOUND}"
    assert to_check_told([bad]).startswith("“bad”: ")


def test_where_nothing_was_told_all_is_to_be_checked() -> None:
    assert to_check_told([Ridden(name="best", fit=None)]) == f"“best”: {UNCHECKED}"


def test_parts_and_limits_that_the_plan_does_not_tell_are_named() -> None:
    assert "The plan does not tell rear mech" in checked(FRAME)
    assert "shifter sprockets" not in checked(FRAME)
    assert "shifter sprockets" in checked(UNTOLD)

"""What the help of each command says."""

ABOUT = """\
Which gears for this route, this rider and this bike?

Rides candidate drivetrains over a route on the computer and ranks them by how
long the rider is off the cadence they like, spun out, below the lowest gear or
walking, and shows where and why.
"""
START = """\
To begin, in a folder with your route's GPX file (or none, for an example):
  gearsim new plan.toml         writes a plan with everything explained
  gearsim compare plan.toml     rides it

`gearsim COMMAND --help` explains a command.
Exit codes: 0 done, 2 something you gave is wrong, 1 a defect of gearsim,
130 stopped with Ctrl-C.
Text fits a terminal of 60 columns or more; in a pipe it is 80 wide.
"""
COMPARE = """\
Ride every drivetrain of a plan over its route and rank them.

Prints the table and writes a folder of results: the table (comparison.csv),
the worst places (worst-places.csv), every ride interval by interval
(ride-*.csv, as .csv.gz when large) and one picture (comparison.png). With
--report also a report to read, print and take along (report.html), and for
each candidate the course with its places as waypoints (places-*.gpx).

With --days the same candidates are ridden again on days as the plan's [days]
make them likely: power, load, wind, wet ground and more differ, the same for
all. It tells who is best over them, how surely, and on which day the verdict
flips, and writes a table of the days (days.csv), one of the candidates over
them (days-summary.csv) and a picture (days.png).

The folder is PLAN-results beside the plan. Results that differ from those
already there go to PLAN-results-2, -3 and so on; nothing is overwritten.
"""
COMPARE_EXAMPLE = """\
Examples:
  gearsim compare plan.toml --out ~/race
  gearsim compare plan.toml --report
  gearsim compare plan.toml --days 64
"""
ROUTE = """\
Show what a GPX file holds and what is made of it: which track was taken,
what was repaired, what kind of noise its heights have, the climb, the
steepest parts and the climbs one by one. Writes a folder with the climbs
(climbs.csv) and a picture (route.png).

The folder is FILE-route beside the file. Results that differ from those
already there go to FILE-route-2, -3 and so on; nothing is overwritten.
"""
ROUTE_EXAMPLE = """\
Example:
  gearsim route route.gpx
"""
GEARS = """\
Show the gears of drivetrains, without a road: every gear's ratio, metres a
turn, gear inches and speeds, the step to the next, what chainrings have in
common, the range, and what it takes to shift through them all.

WHAT is a plan, or gears typed as one word: chainrings, an x, every sprocket,
with - between. A hub gear is its ratios, chain included, after ratios:
A name may stand before, with = (in quotes where it has blanks).

Writes a folder with the drivetrains (drivetrains.csv), their gears (gears.csv),
the distinct ones in order (gear-order.csv) and a picture (gears.png). The
folder is PLAN-gears beside the plan, or gears where you are. Results that
differ from those already there go to gears-2, -3 and so on; nothing is
overwritten.
"""
GEARS_EXAMPLE = """\
Examples:
  gearsim gears plan.toml
  gearsim gears 46-30x11-13-15-17-19-21-24-28-32-36 --tyre 45
  gearsim gears "one ring=40x10-12-14-16-18-21-24-28-33-39-45-51" \\
                "hub=ratios:0.7-0.8-1.0-1.2-1.5-1.8-2.1-2.5"
"""
FIT = """\
Check what fits: sprockets, slack and chain against the mechs, chainrings and
tyre against the frame, cassette against the rear hub, shifters, chain length,
chain line and gears to avoid; a hub gear or gearbox by its torque and chain.

The plan's [frame] tells the bike's limits, and rear_mech and front_mech under
[[drivetrain]] name parts of the parts list. What is not told is a caution,
with the numbers to look up and the parts that would do.

Prints the findings and writes them to a folder (fit.csv): PLAN-fit beside the
plan. Results that differ from those already there go to PLAN-fit-2, -3 and so
on; nothing is overwritten.
"""
FIT_EXAMPLE = """\
Examples:
  gearsim fit plan.toml
  gearsim fit plan.toml --parts my-parts.toml
"""
LEARN = """\
Learn from recorded rides of one rider on one bike: moving time and stops,
power by grade, drag area with rolling resistance, cadence, and the gears that
speed and cadence reveal, matched against the parts list. Every number comes
with an interval; what the rides cannot say is told, with what to record.

Writes a folder with a plan of what was learnt, the evidence beside each number
(learnt.toml), the gears seen (gears.csv) and a picture (learnt.png). The folder
is RIDE-learnt beside the first ride. Results that differ from those already
there go to RIDE-learnt-2, -3 and so on; nothing is overwritten.
"""
LEARN_EXAMPLE = """\
Example:
  gearsim learn sunday.gpx monday.gpx --rider-mass 74 --bike-mass 10.5

Weigh rider and bike: nearly all that is learnt rests on their mass.
"""
REPLAY = """\
Predict a recorded ride with what other rides taught, or each half of it with
what the other half taught, and tell predicted against recorded: moving time,
speed by grade, cadence, gear use, work. Errors are told as they are.

Where power was recorded, that power is ridden too, in the gears found, so that
forces and gears are told apart from the guess of the rider's pace.

Writes a folder with times by grade (replay.csv), time by cadence and gear
(cadence-and-gears.csv) and pictures: RIDE-replay beside the ride. Results that
differ from those already there go to RIDE-replay-2, -3 and so on; nothing is
overwritten.
"""
REPLAY_EXAMPLE = """\
Examples:
  gearsim replay sunday.gpx --rider-mass 74 --bike-mass 10.5
  gearsim replay sunday.gpx --taught-by monday.gpx friday.gpx
"""
SQUAD = """\
Ride every drivetrain of a plan with every athlete of a list: the best for each,
what the gears they have cost, how few serve all nearly as well as each one's
best, who can share, who stands out, and the power at which the gears they have
are low enough. With --search everything that fits the plan's [frame] and is as
wished in its [search] is ridden instead, and the few that serve all are told,
with what each athlete gains and must buy. It can take long: every build counts
as one more drivetrain for every athlete; [frame] and [search] leave fewer.

The plan names the list: athletes = "athletes.csv". Its columns are name and any
of mass_kg, power_w, critical_power_w, reserve_kj, target_cadence_rpm,
band_low_rpm, band_high_rpm, limit_low_rpm, limit_high_rpm, drag_area_m2,
bike_mass_kg, and what the athlete has now: has, a drivetrain of the plan by its
name, or its chainrings and sprockets (each of them, or a cassette of the parts
list by its name):
  name,mass_kg,power_w,has,chainrings,sprockets
  Ada Brook,58,172,one ring,,
  Ben Carrow,82,,old road bike,50-34,11-12-13-14-15-17-19-21-23-25-28
What is not told is assumed from the plan and marked; a row that is wrong is
told and left out.

Prints the results and writes them to a folder: squad.csv, squad-matrix.csv and
a picture (squad.png), with --search every build (squad-builds.csv), with
--report also a report to read, print and hand on (report.html), in PLAN-squad
beside the plan. Results that differ from those already there go to
PLAN-squad-2, -3 and so on; nothing is overwritten.
"""
SQUAD_EXAMPLE = """\
Examples:
  gearsim squad plan.toml --report
  gearsim squad plan.toml --search --kinds 2
"""
FLEET = """\
Which bike for which guest? Every guest of a list is ridden on every bike of
another over the route, on the day of the plan: rides it all, some walking (how
far and where), or not suitable by the plan's [fleet]; then the bikes are given
out so that the longest walk is as short as can be. For bikes that miss
narrowly it names the nearest cassette and chainset that fit and do.

The plan names the lists: bikes = "bikes.csv" and guests = "guests.csv".
  name,count,chainrings,sprockets,tyre_mm,mass_kg
  Grey,3,46-30,11-13-15-17-19-21-24-28-34,40,11.2
  name,ability,mass_kg,height_cm
  Alma Finch,new to riding,64,163
Bikes may also have ratios (of a hub gear, for chainrings and sprockets),
efficiency, rim_mm, drag_area_m2, tyre_rolling_factor, rider_from_cm,
rider_to_cm, rear_mech, front_mech, driver_body, largest_ring_alone and
largest_ring_of_two. The abilities are: new to riding, now and then, every
week, strong; or give power_w, critical_power_w, reserve_kj, descending_kmh and
the cadences as for `gearsim squad`. What is not told is assumed and marked; a
row that is wrong is told and left out.

Prints the results and writes a folder: a sheet to print (fleet-sheet.html), a
picture (fleet.png), allocation.csv, fleet.csv, and abilities.csv with what was
taken for each class and guest, in PLAN-fleet beside the plan. Results that
differ from those already there go to PLAN-fleet-2, -3 and so on; nothing is
overwritten.
"""
FLEET_EXAMPLE = """\
Example:
  gearsim fleet plan.toml --out ~/tour
"""
SEARCH = """\
Of everything that can be bolted to the bike of a plan: what should be fitted?

Every chainset of the parts list with every cassette that fits, and the
lightest mechs that do, is ridden over the route and scored. The answer is the
best few and the trade-offs of mismatch against weight, price, shifts an hour
and parts to keep adjusted, each with what it gains and loses against the
drivetrain that the rider has now; and what a weight saving is worth here.

The plan's [frame] tells what fits, and [search] what is wished: to keep a
part, one ring, room for a tyre, a weight or a price; now names the drivetrain
that the rider has. Prices are yours to fill in a parts file.

Prints the answer and writes a folder: every build (search.csv), a picture
(search.png), and the best compared with what there is now (comparison.png,
worst-places.csv, ride-*.csv). With --report also a page to read, print and
take along (report.html), and for the best build the course with its places as
waypoints (places-*.gpx).

With --days the best few by the plan's own day, and what there is now, are
ridden again on days as the plan's [days] make them likely, as by `gearsim
compare --days`; all others are not, so one of them may do better on such days.
It writes days.csv, days-summary.csv and days.png too.

The folder is PLAN-search beside the plan. Results that differ from those
already there go to PLAN-search-2, -3 and so on; nothing is overwritten.
Stopped with Ctrl-C, it tells what it has so far.
"""
SEARCH_EXAMPLE = """\
Examples:
  gearsim search plan.toml --report
  gearsim search plan.toml --days 64
  gearsim search plan.toml --parts my-prices.toml
"""
RINGS = """\
One chainring or two? Of everything that fits the bike of a plan, the best with
one and the best with two are ridden and told side by side: range, steps, time
in each state, shifts, the longest stretch in one gear, chain line, tyre room,
weight, parts to keep adjusted, and how far off a group's pace leaves the legs.

It ends with what would change the verdict and by how much: the rider's power,
the cadence liked, the load, the tyre. Each is changed until the other wins, or
as far as makes sense.

The plan's [frame] and [search] tell what fits and what is wished, as for
`gearsim search`; a number of chainrings wished is set aside. With --candidates
the plan's own drivetrains are weighed instead.

Prints the answer and writes a folder: both sides (one-or-two.csv), the values
looked at (what-would-change.csv), a picture (one-or-two.png), both rides
(ride-*.csv) and with --report a page to read and print (report.html). The
folder is PLAN-rings beside the plan. Results that differ from those already
there go to PLAN-rings-2, -3 and so on; nothing is overwritten.
"""
RINGS_EXAMPLE = """\
Examples:
  gearsim rings plan.toml --report
  gearsim rings plan.toml --candidates --group 24-30
"""
NEW = """\
Write a plan that runs as it is, with every key explained, for you to change.

The route is the one given, else the only GPX file beside the plan; where
there is none, a short invented example route is written too. No file is ever
overwritten.
"""
NEW_EXAMPLE = """\
Example:
  gearsim new plan.toml --route route.gpx
"""
COMPLETION = """\
Print the script with which a shell completes commands, options and the files
that they take (plans, GPX files, folders) when Tab is pressed. Load it in the
file that the shell reads at its start, or save it where the shell looks.
"""
COMPLETION_EXAMPLE = """\
Examples:
  source <(gearsim completion bash)               # in ~/.bashrc, or as it is
  gearsim completion zsh > ~/.zfunc/_gearsim      # a folder of $fpath
  gearsim completion fish > ~/.config/fish/completions/gearsim.fish
"""
COMPARE_SHORT = "ride the drivetrains of a plan and rank them"
ROUTE_SHORT = "show what a GPX file holds"
GEARS_SHORT = "show the gears of drivetrains: ratios, steps, overlap, range"
FIT_SHORT = "check what fits with what on the bike of a plan"
LEARN_SHORT = "learn rider, bike and gears from recorded rides"
REPLAY_SHORT = "predict a recorded ride from another, and tell the error"
FLEET_SHORT = "which bike of a fleet for which guest of a tour"
SQUAD_SHORT = "ride the drivetrains of a plan with every athlete of a list"
SEARCH_SHORT = "ride all that fits on the bike of a plan, and say what to fit"
RINGS_SHORT = "one chainring or two, and what would change the verdict"
NEW_SHORT = "write a plan to begin with"
COMPLETION_SHORT = "print what a shell needs to complete commands with Tab"

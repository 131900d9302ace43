"""A job to start from: every part that most houses need, each line said in words, and the lines that messages show
to be added."""

from __future__ import annotations

EXAMPLE = """\
# One unit in one house. Keep the lines you know and take out the others; a line that begins with # is not read.
format: selector job 1

# the table of this unit (selector list shows them), and the model on the rating plate
table: corvane-k14
model: 080
# on the motor's label: constant airflow, constant torque, fixed speed
motor: constant airflow

site:
  # humid, usual, dry
  climate: humid
  altitude: 5,000 ft
  # with the wet bulb of the return air the cooling split can be expected
  return air: 70 F
  return wet bulb: 59 F
  # the greatest static pressure on the rating plate
  plate static: 0.5 in. w.c.

outdoor unit:
  capacity: 3 tons
  # how much of it runs in each stage
  stages: {first: 70 %, second: 100 %}

heat:
  # gas, oil, electric, heat pump, heat pump + auxiliary, dual fuel (balance point: 30 F), hydronic
  kind: gas
  input: 80 MBH
  efficiency: 95 %
  # an altitude derate is never taken unasked: from sea level, from 2000 ft, none, or the maker's share
  derate: from sea level
  rise: 35 to 65 F
  # low rise, mid rise, high rise, or a rise such as 50 F
  aim: mid rise

# what the people in the house say: humid, iced coil, limit trips, cool air in heat, noise, high head in heating,
# water carried over, no change after setting
# complaint: humid

# marks before anything was moved; ? is a switch that can't be read, unread a selector that can't
as found:
  SW1: OFF OFF OFF OFF OFF OFF OFF OFF

# marks after the work
as left:
  SW1: OFF OFF ON OFF ON ON OFF OFF

# what was measured: each with the call that ran and the minutes since it began
measurements:
  - call: heating second
    minutes: 12
    method: rise
    return air: 68 F
    supply air: 120 F
  - call: heating second
    minutes: 12
    method: static
    static pressure: 0.45 in. w.c.
# static at its ports (before filter, after filter, before coil, after coil, supply static) is judged part by part;
# method: split with return and supply air and their wet bulbs judges the coil; method: traverse takes velocities

notes: filter changed
"""

MEASUREMENT_LINES = (
    "measurements:",
    "  - call: heating second",
    "    minutes: 12",
    "    method: rise",
    "    return air: 68 F",
    "    supply air: 120 F",
)
"""A measurement as it stands in a job file."""
AS_FOUND_LINES = ("as found:", "  SW1: OFF OFF ? OFF")
WHOLE = "selector plan --example prints a whole job"


def to_add(lines: tuple[str, ...]) -> str:
    """The help of a message that something has to be added to the job."""
    return "\n".join(("add to the job, for example:", *(f"  {line}" for line in lines), WHOLE))

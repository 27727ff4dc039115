# What papers say around their items.

paper-title = Paper { $name }
key-title = Key to paper { $name }
field-name = Name
field-date = Date
item-head = Problem { $number }
points =
    { $points ->
        [one] 1 point
       *[other] { $points } points
    }
minutes =
    { $minutes ->
        [one] about 1 minute
       *[other] about { $minutes } minutes
    }
paper-total = { $items ->
        [one] 1 problem
       *[other] { $items } problems
    }, { $points ->
        [one] 1 point
       *[other] { $points } points
    } in all, { $minutes ->
        [one] about 1 minute
       *[other] about { $minutes } minutes
    }. Show your work: steps earn points, and a problem has two points for every three minutes. Ratios are input speed over output speed.
answer-label = Answer:
formula-sheet = Formulas
formula-willis = One planet between sun and ring: `Z_S * (n_S - n_C) + Z_R * (n_R - n_C) = 0`
formula-ratio = Ratio: `i = n_in/n_out`
formula-planet = Planet, seen from the carrier: `n_P - n_C = -(Z_S/Z_P) * (n_S - n_C)`
formula-coaxial = Teeth: `Z_R = Z_S + 2 * Z_P`
formula-assembly = Equal spacing of `N` planets: `(Z_S + Z_R)/N` is whole
formula-neighbours = Room between tips, in modules: `(Z_S + Z_P) * sin(180 deg / N) - (Z_P + 2)`
formula-torque = Torques without losses: `T_in + T_out + T_held = 0`, `T_out = -i * T_in`
formula-power = Power: `P = T * 2 * pi * n/60` with `T` in `"N m"`, `n` in `"rpm"`, `P` in `"W"`
formula-steps = Step: `phi = i_k / i_m` of neighbouring gears `k` and `m`; spread: first ratio over top ratio
right-answer = Right answer:
right-answers = Any of these is right:
right-option = Right: { $letter }
near-enough = Near enough: within `{ $tolerance }` of it.
size-only = Only the size is asked; a sign does not matter.
no-unit-needed = The unit may be left out; another unit of the same kind is converted.
option-reveals = { $letter } reveals: { $what }
number-reveals = `{ $value }` reveals: { $what }
names-reveal = { $names } reveals: { $what }
way-head = Solution and points
model-answer = A full answer says:
by-hand = To be marked by a person.
item-data = { $kind }; difficulty { $difficulty }, { $minutes ->
        [one] about 1 minute
       *[other] about { $minutes } minutes
    }; topics: { $topics }; name in items.json: { $id }
table-tick = ✓
tick-no = no
tick-yes = yes
draw-on-paper = Draw on paper; a person marks the drawing.
teeth-line = sun { $sun }, planet { $planet }, ring { $ring }, { $planets ->
        [one] one planet
       *[other] { $planets } planets
    }
names-none = none
key-caution = Exercises in kinematics and lossless or simply estimated torques: no part is made from them.

unit-rpm = rpm
unit-newton-metre = N m
unit-watt = W
unit-percent = %
unit-millimetre = mm
number-plain = `{ $value }`
number-with-unit = `{ $value } { $unit }`

member-sun = the sun
member-ring = the ring
member-carrier = the carrier

kind-six-ways = six ways of one set
kind-ratio = ratio of one set
kind-two-driven = two driven members
kind-shift-table = shift table
kind-find-engaged = engaged elements
kind-coupled-sets = coupled sets
kind-torque = torque and power
kind-planet-speed = speed of planets
kind-assembly = assembly of planets
kind-find-teeth = teeth for a ratio
kind-lever-drawing = lever drawing
kind-fault = failing element
kind-efficiency = power flow and efficiency
kind-ladder = steps and spread
kind-recognise = neutral, direct, locked
kind-derive = derivation

topic-one-set = one set
topic-coupled-sets = coupled sets
topic-shifting = shifting
topic-torque = torque
topic-teeth = teeth
topic-drawings = drawings

misconception-inverse-ratio = output over input instead of input over output
misconception-lost-sign = the direction of rotation is lost
misconception-carrier-idle = the carrier is taken as idle: sun and ring as a plain pair of gears
misconception-planet-counted = the teeth of the planet are counted in
misconception-wrong-held = another member is held than the one given
misconception-sum-forgotten = the sum of sun and ring is forgotten: the carrier counts as the ring alone
misconception-torque-as-speed = torque is taken to change as speed does
misconception-carrier-turn-forgotten = the carrier's own turn is left out
misconception-one-driver-only = only one of two driven members is counted
misconception-speeds-added = speeds are averaged without their weights of teeth
misconception-sets-in-series = the sets are taken one behind the other, as if not coupled
misconception-wrong-frame = the speed is taken in the frame of the housing instead of the carrier's, or the other way round
misconception-neighbours-forgotten = room between neighbouring planets is forgotten
misconception-assembly-forgotten = the assembly condition is forgotten
misconception-difference-for-sum = the difference of ring and sun is divided instead of the sum
misconception-reaction-forgotten = the reaction of the housing is forgotten
misconception-whole-power-rolls = the whole power is taken to pass the teeth
misconception-loss-forgotten = losses are forgotten
misconception-one-mesh-only = the losses of one mesh only are counted
misconception-other-gear = the elements of another gear
misconception-neutral-for-lock = neutral is taken for locked, or the other way round
misconception-direct-for-held = a held member is taken for direct drive, or direct drive for a held member
misconception-step-as-difference = a step is taken as a difference of ratios
misconception-spread-as-difference = the spread is taken as a difference of ratios
misconception-idle-for-engaged = an engaged element is taken as idle, or an idle one as engaged
misconception-sun-ring-exchanged = the teeth of sun and ring are exchanged
misconception-arms-exchanged = the arms of the lever are exchanged

blueprint-title = How equal the papers are
class-title = Class report
blueprint-what = Counted
blueprint-items = Problems
blueprint-points = Points
blueprint-minutes = Minutes
blueprint-difficulty = Difficulty points
blueprint-proved = Each paper was to have { $target } difficulty points; the farthest is { $deviation } off. It is proved that no choice from the pool of { $pool } items comes nearer.
blueprint-gap = Each paper was to have { $target } difficulty points; the farthest is { $deviation } off. A choice from the pool of { $pool } items that comes nearer was not found; that one comes nearer than { $bound } off is excluded by proof.
blueprint-open = Each paper was to have { $target } difficulty points; the farthest is { $deviation } off. A choice from the pool of { $pool } items that comes nearer was neither found nor excluded.
blueprint-same-plan = The papers have one plan: problem by problem the same kind, topics, form of answer, points, minutes and difficulty, with other numbers and gearboxes.
blueprint-same-difficulty = The papers are equal in the sum of their difficulty only: each may ask other things.
blueprint-note = Difficulty points and minutes are counted from what a solver must do: equations, unknowns, signs, digits, ideas, results. They are estimates. A problem has two points for every three minutes, to the nearest whole point. No two problems of all papers share teeth of a set or a layout.
class-refused = Lines that nobody marked
class-line = Line
class-why = Why
class-mend = What would be right
class-students = Students
class-student = Student
class-paper = Paper
class-points = Points
class-of = Of
class-waits = Waits for a person
class-misconceptions = What went wrong, and how often
class-what = Misconception
class-count = Times
class-items = Problems
class-item = Number
class-kind = Kind
class-predicted = Difficulty as made
class-marked = Marked
class-share = Share of points
class-discrimination = Discrimination
class-note = Share of points: 1 is everybody right, 0 nobody. Discrimination: correlation of a problem's points with those of all other problems of its paper; below 0.2 it tells good from weak students poorly. It needs five students. Points that a person gives stand in the table of answers, in a column of their own beside the place: hand-q03 beside q03.

form-number = number
form-fraction = fraction
form-choice = choice
form-table = table
form-names = list of names
form-teeth = teeth
form-drawing = drawing
form-written = in words

## Other words that marking takes for those of a table, with commas between.
also-sense-same = same direction, same sense, forward, forwards, positive, alike, +
also-sense-reversed = reverse, opposite, opposite direction, other direction, backward, backwards, against, negative, -
also-behaviour-neutral = free, freewheel, idles
also-behaviour-reduction = reduced, reducing, slower, underdrive
also-behaviour-overdrive = over drive, overdriven, faster
also-behaviour-reverse = reversed, opposite, backward, backwards
also-behaviour-direct = direct, directly, lock up as one, 1 to 1
also-behaviour-locked = lock, blocked, jammed, stuck
also-behaviour-idle = idle

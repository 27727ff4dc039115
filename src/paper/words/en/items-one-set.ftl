# What items on one set say. Maths stands between backticks in the notation of `paper::maths`.

## Scenes: how a problem begins.
scene-crank = The drive of the Hollowfell turntable
scene-winch = The winch of the Hollowfell depot
scene-railcar = The inspection railcar of the Hollowfell Tramway
scene-hoist = The hoist above the Hollowfell workshop
scene-lathe = The feed of a lathe in the Hollowfell workshop
scene-bench = The training bench of the Hollowfell winter class

## What is given.
given-set =
    { $scene } has one planetary gear set: a sun with { $sun } teeth, { $planets ->
        [one] one planet
       *[other] { $planets } planets
    } with { $planet } teeth { $planets ->
        [one] {""}
       *[other] each
    } and a ring with { $ring } teeth. The planets turn on pins of the carrier.
given-set-open = { $scene } has one planetary gear set: a sun with { $sun } teeth, planets with { $planet } teeth each and a ring with { $ring } teeth. The planets turn on pins of the carrier.
driven-held = { $driver } is driven, { $held } is held, and { $out } is the output.
driver-turns = { $driver } turns at `{ $speed } "rpm"`.
two-driven-same = { $first } is driven at `{ $first-speed } "rpm"` and { $second } at `{ $second-speed } "rpm"`, both in the same direction. No member is held.
two-driven-against = { $first } is driven at `{ $first-speed } "rpm"` and { $second } at `{ $second-speed } "rpm"` in the opposite direction. No member is held.
planets-equal = The planets shall be spaced equally. Between the tips of neighbouring planets there must be at least half a module of room. The tip circle of a planet is two modules larger in diameter than its pitch circle.
torque-given = { $driver } is driven with a torque of `{ $torque } "N m"` at `{ $speed } "rpm"`. Losses are left out.
switched-set = { $driver } is the input and { $out } the output. Brake A can hold { $held }. Clutch B can join { $first } and { $second }.
find-teeth-given = { $scene } needs one planetary gear set with one planet between sun and ring. { $driver } is driven, { $held } is held, { $out } is the output, and the ratio input speed over output speed shall be exactly { $ratio }.
find-teeth-limits = The sun has at least { $sun } teeth, the planets have at least { $planet }, the ring has at most { $ring }. There are { $planets } planets, spaced equally, with at least half a module of room between their tips (tip circles are two modules larger in diameter than pitch circles). No profile shift.

## What is asked.
ratio-ask = Give the ratio `i = n_in/n_out` of { $driver } to { $out } as a fraction in lowest terms. It is negative where the two turn in opposite directions.
ratio-choose = Which is the ratio `i = n_in/n_out` of { $driver } to { $out }? It is negative where the two turn in opposite directions.
ratio-option = `i = { $value }`
speed-ask =
    { $driver } turns at `{ $speed } "rpm"`. How fast does { $out } turn? Give rpm { $places ->
        [0] as a whole number
        [one] to one decimal
       *[other] to { $places } decimals
    }, negative where it turns in the opposite direction.
six-ways-ask = Complete the table of the six ways to use this set: for each, the ratio `i = n_in/n_out` as a fraction in lowest terms (negative for opposite directions), and whether the output turns in the same direction as the input or reversed.
six-ways-which = In which way of using this set is the ratio `i = n_in/n_out` equal to { $ratio }?
way-row = { $driver } driven, { $held } held
way-option = { $driver } driven, { $held } held
column-way = Way
column-out = Output
column-ratio = Ratio `i`
column-sense = Direction
sense-same = same
sense-reversed = reversed
two-driven-ask = How fast does { $out } turn? Give rpm as a whole number, positive in the direction of { $first }.
rpm-option = `{ $value } "rpm"`
carrier-speed-ask =
    How fast does the carrier turn? Give rpm { $places ->
        [0] as a whole number
        [one] to one decimal
       *[other] to { $places } decimals
    }.
planet-speed-ask =
    How fast does a planet turn about its pin, that is, seen from the carrier? Give rpm { $places ->
        [0] as a whole number
        [one] to one decimal
       *[other] to { $places } decimals
    }, negative where it turns against the input.
most-planets-ask = What is the largest number of planets, from { $least } to { $greatest }, that can be put in and that have enough room?
assembly-table-ask = Tick for each number of planets whether they can be put in with equal spacing, and whether they have enough room. A row without any mark is no answer: where neither holds, write a dash.
assembly-choice-ask = Which of these numbers of planets can be put in with equal spacing and has enough room?
planets-option =
    { $planets ->
        [one] one planet
       *[other] { $planets } planets
    }
planets-row =
    { $planets ->
        [one] one planet
       *[other] { $planets } planets
    }
column-planets = Number
column-assembles = Can be put in
column-clears = Has enough room
find-teeth-ask = Give one choice of teeth of sun, planet and ring that meets all of this, and show that it does.
torque-output-ask = What is the torque at { $out }? Give its size in N m to one decimal.
torque-holding-ask = What torque must hold { $held }? Give its size in N m to one decimal.
torque-speed-ask = How fast does { $out } turn? Give the size in rpm to one decimal, and check your torques with the power.
power-ask = What power goes in? Give watts; an answer within 1 % is right.
lever-draw-ask = Draw the speeds of all three members on the lever of the set: mark the speed of { $driver } and of the held member, and the straight line through both.
lever-read-ask = Read or compute how fast { $out } turns, in rpm, negative in the direction opposite to the input. An answer within a twentieth of the input speed is right.
recognise-table-ask = What does the gearbox do in each of these states? The input is turned. Choose among: neutral (the input can turn while the output need not), reduction, overdrive, reverse, direct drive, locked (the input cannot turn).
recognise-ask = { $engaged }. What does the gearbox do when the input is turned?
engaged-none = Neither A nor B is engaged
engaged-a = Only A is engaged
engaged-b = Only B is engaged
engaged-both = Both A and B are engaged
column-engaged = State
column-behaviour = Behaviour
behaviour-neutral = neutral: the input turns, the output need not
behaviour-reduction = reduction: the output turns slower, in the same direction
behaviour-overdrive = overdrive: the output turns faster, in the same direction
behaviour-reverse = reverse: the output turns in the opposite direction
behaviour-direct = direct drive: all turn as one
behaviour-locked = locked: the input cannot turn
derive-ask = Derive the ratio `i = { $driver-speed }/{ $out-speed }` as a formula in `Z_S` and `Z_R` for { $driver } driven, { $held } held and { $out } as output. Begin with the motion as seen from the carrier and say why each step holds.
derive-number-ask = What is the ratio for the teeth of this set? Give a fraction in lowest terms, negative for opposite directions.

## Worked steps.
willis-one-set = Seen from the carrier, sun and ring turn as over an idle gear: `Z_S * (n_S - n_C) = -Z_R * (n_R - n_C)`.
held-is-zero = With `{ $held } = 0` this gives `i = { $driver }/{ $out } = { $formula }`.
ratio-numbers = With the teeth put in: `i = { $put } = { $ratio }`.
ratio-line = The ratio is `i = { $formula } = { $put } = { $ratio }`.
speed-from-ratio = `{ $out } = { $driver }/i = { $speed }/{ $ratio } = { $value }` in rpm.
six-ways-line = { $driver } driven, { $held } held: `i = { $formula } = { $put } = { $ratio }`.
which-way-negative = Input and output turn in opposite directions only where the carrier is held, and `i = { $ratio }` is negative: the carrier is held.
which-way-positive = Input and output turn in opposite directions only where the carrier is held, and `i = { $ratio }` is positive: sun or ring is held.
which-way-size = { $driver } driven, { $held } held gives `i = { $formula } = { $put } = { $ratio }`; the other ways give other values.
two-driven-put = Sorted by member, and with the given speeds put in: `{ $put }`.
two-driven-result = Solved for { $member }: `{ $out } = { $value }` in rpm.
two-driven-check = Check, seen from the carrier: the sun turns at `{ $relative-sun }`, the ring at `{ $relative-ring }`, and `n_S - n_C = { $base } * (n_R - n_C)` holds.
planet-from-sun = Seen from the carrier, sun and planet are two external gears: `n_P - n_C = -(Z_S/Z_P) * (n_S - n_C)`.
planet-from-ring = Seen from the carrier, the planet runs inside the ring: `n_P - n_C = (Z_R/Z_P) * (n_R - n_C)`.
planet-put-sun = `-({ $wheel }/{ $planet }) * ({ $speed } - { $carrier }) = { $value }` in rpm.
planet-put-ring = `({ $wheel }/{ $planet }) * ({ $speed } - { $carrier }) = { $value }` in rpm.
assembly-rule = Planets with equal spacing can be put in when `(Z_S + Z_R)/N` is whole: `{ $sun } + { $ring } = { $sum }`, so `N` may be `{ $list }`.
neighbours-rule = Tips keep half a module apart when `(Z_S + Z_P) * sin(180 deg / N) - (Z_P + 2) >= 0.5`, in modules.
room-enough = `N = { $planets }`: `{ $between } * sin(180 deg / { $planets }) - { $tip } ~= { $room }`, which is enough.
room-scarce = `N = { $planets }`: `{ $between } * sin(180 deg / { $planets }) - { $tip } ~= { $room }`, which is too little.
most-planets = The largest number that meets both is `N = { $most }`.
find-teeth-base = From `i = { $formula } = { $ratio }` follows `Z_R/Z_S = { $rho }`.
find-teeth-coaxial = The planet fills the gap: `Z_P = (Z_R - Z_S)/2`, so `Z_R - Z_S` is even, and `Z_R = { $rho } * Z_S`.
find-teeth-phase =
    The { $planets ->
        [one] planet goes
       *[other] { $planets } planets go
    } in when `(Z_S + Z_R)/{ $planets }` is whole.
find-teeth-room = Tips keep apart when `(Z_S + Z_P) * sin(180 deg / { $planets }) - (Z_P + 2) >= 0.5`.
find-teeth-all = All right answers, as sun/planet/ring: { $list }.
torque-output = Power in is power out, so the output torque is `abs(i) * T_in = abs({ $ratio }) * { $torque } = { $value }` in N m.
torque-balance = All torques on the gearbox from outside add up to zero: `T_in + T_out + { $held } = 0` with `T_out = -i * T_in`.
torque-holding = `{ $held } = (i - 1) * T_in = ({ $ratio } - 1) * { $torque }`, of size `{ $value }` in N m.
power-check = Check: `{ $torque } * { $speed } = { $power }` goes in and `{ $out-torque } * { $out-speed } = { $power }` comes out, in N m times rpm.
power-watts = `P = T_in * 2 * pi * n_in / 60 = { $torque } * 2 * pi * { $speed } / 60 ~= { $value }` in W.
lever-arms = The carrier is the pivot between sun and ring; the arms are `Z_R : Z_S = { $ring } : { $sun }`, the longer one to the sun.
lever-line = { $driver } is marked at `{ $speed } "rpm"`, { $held } at 0; the straight line through both gives the third speed.
lever-read = `{ $out } = { $driver }/i` with `i = { $formula } = { $ratio }`, so `{ $speed }/{ $ratio } = { $value }` in rpm.
why-neutral = Nothing is held and nothing joined: the set has two freedoms, so the input turns the free member and the output need not turn.
why-gear = With { $held } held, `i = { $formula } = { $put } = { $ratio }`: { $behaviour }.
why-direct = Two members of a set that turn alike make the third turn with them: all turn as one, `i = 1`.
why-locked = The clutch makes all members turn alike, and the brake holds the { $held }: nothing can turn.
derive-seen-from-carrier = Seen from the carrier its pins stand still, and the set is a train of fixed axes: each speed is less by the carrier's, `n_S - n_C` and `n_R - n_C`.
derive-willis = The planet is an idle gear between sun and ring: its teeth cancel, the internal mesh keeps the direction and the external one turns it, so `(n_S - n_C)/(n_R - n_C) = -Z_R/Z_S`.
derive-sense-same = The ratio is positive: input and output turn in the same direction.
derive-sense-against = The ratio is negative: input and output turn in opposite directions.

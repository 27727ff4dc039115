# What items on gearboxes of several sets say.

## The gearbox.
given-gearbox =
    { $scene } has a gearbox of { $sets ->
        [one] one planetary gear set
       *[other] { $sets } planetary gear sets
    } on one axis, with one planet between sun and ring. In set 1 the members are called S1 (sun), R1 (ring) and C1 (carrier), and so on.
given-teeth = Set { $set }: sun { $sun } teeth, planets { $planet }, ring { $ring }.
given-input-one = { $members } is the input.
given-input = { $members } sit on one shaft, the input.
given-output-one = { $members } is the output.
given-output = { $members } sit on one shaft, the output.
given-shaft = { $members } sit on one shaft.
given-brake = Brake { $element } can hold { $first }.
given-clutch = Clutch { $element } can join { $first } and { $second }.
shaft-input = the input
shaft-output = the output
shaft-of = the shaft of { $members }
nothing-engaged = No element is engaged.
one-engaged = { $element } is engaged, nothing else.
several-engaged = { $elements } are engaged, nothing else.
input-turns = The input turns at `{ $speed } "rpm"`.
input-torque-given = The input is driven with a torque of `{ $torque } "N m"`. Losses are left out.
gears-given = Its gears and what they engage: { $table }.
ladder-given = { $scene } has a gearbox of which these forward gears are used, with their ratios: { $ratios }.
losses-given = Losses: in each set, { $loss } percent of the power that rolls in it is lost. What rolls in a set is `P_roll = abs(T_S * (n_S - n_C))` without losses, with `T_S` per input torque and speeds per input speed.
engaged-how-many =
    In a gear { $count ->
        [one] one element is
       *[other] { $count } elements are
    } engaged.

## What is asked.
column-element = { $element }
column-gear = Gear
column-shift = Shift
column-step = Step
table-empty = –
gear-row = { $gear }
shift-ratios-ask = The ticks tell which elements each gear engages. Give the ratio `i = n_in/n_out` of each gear as a fraction in lowest terms, negative where the output turns against the input.
shift-ticks-ask = The table gives the ratio `i = n_in/n_out` of each gear. Tick the elements that each gear engages; each gear engages the same number of elements. A row without any tick is no answer.
engaged-ratio-ask = Which elements are engaged when the ratio `i = n_in/n_out` is { $ratio }?
engaged-reverse-ask = Which elements are engaged when the output turns against the input?
engaged-slowest-ask = Which elements are engaged in the forward gear in which the output turns slowest?
coupled-ratio-ask = Write the speed equations of both sets and give the ratio `i = n_in/n_out` as a fraction in lowest terms, negative where the output turns against the input.
coupled-speed-ask =
    The input turns at `{ $speed } "rpm"`. How fast does the output turn? Give rpm { $places ->
        [0] as a whole number
        [one] to one decimal
       *[other] to { $places } decimals
    }, negative against the input.
derive-coupled-ask = Derive the ratio `i = n_in/n_out` of this gear as a formula in the base ratios `rho_1 = Z_R1/Z_S1` and `rho_2 = Z_R2/Z_S2`.
torque-out-ask = What is the torque at the output? Give its size in N m to one decimal.
torque-brake-ask = What torque must brake { $element } hold? Give its size in N m to one decimal.
fault-cannot = Element { $element } no longer engages. Which gears are left with their ratio?
fault-cannot-names = Element { $element } no longer engages. Which gears are left with their ratio? Name them, or write none.
fault-stuck = Element { $element } no longer lets go: it is engaged in every gear. Which gears are left with their ratio?
fault-stuck-names = Element { $element } no longer lets go: it is engaged in every gear. Which gears are left with their ratio? Name them, or write none.
names-option = { $names }
rolling-ask = What share of the input power rolls in both sets together? Give the sum of `P_roll` in percent of the input power to one decimal.
efficiency-ask = What is the efficiency of this gear, in percent to two decimals?
ladder-steps-ask = Give the step `phi` of each shift, the ratio of the lower gear over that of the next, to two decimals.
ladder-spread-ask = What is the spread, first ratio over top ratio? Give two decimals.
ladder-largest-ask = Between which gears is the step largest, so that the speed of the input changes most?
ladder-smallest-ask = Between which gears is the step smallest, so that the speed of the input changes least?
step-option = { $from } to { $to }
recognise-states-ask = What does the gearbox do in each of these states when the input is turned? Choose among: neutral (the input can turn while the output need not), reduction, overdrive, reverse, direct drive, locked (the input cannot turn), idle output (the input turns, the output is held still).
behaviour-idle = idle output: the input turns, the output is held
levers-draw-ask = Draw the levers of both sets with their speeds for this state. Members on one shaft have one speed.
levers-read-ask = Read or compute how fast the output turns, in rpm, negative against the input. An answer within a twentieth of the input speed is right.

## Worked steps.
gear-solved = Gear { $gear }, { $elements } engaged: `{ $equations }`, so `i = n_in/n_out = { $ratio }`.
engaged-count =
    { $count ->
        [one] One element is engaged in a gear, so each of them is tried.
       *[other] { $count } elements are engaged in a gear, so each choice of { $count } is tried.
    }
engaged-solved = With { $elements } engaged the sets say `{ $equations }`, so `i = { $ratio }`, and no other choice gives this.
set-equation = Set { $set }, with held members at rest and members on one shaft alike: `{ $equation }`.
unknown-solved = Solved together: `{ $symbol } = { $value }`.
ratio-solved = The ratio is `i = n_in/n_out = { $ratio }`.
output-speed = `n_out = n_in/i = { $speed }/{ $ratio } = { $value }` in rpm.
derive-joined = Members on one shaft have one speed, held members have none, and input and output are the speeds that are asked for.
derive-equation = Set { $set }: `{ $equation }`.
derive-result = The other unknown speeds are eliminated: `i = n_in/n_out = { $formula }`.
derive-put = With the base ratios of these teeth: `i = { $ratio }`.
fault-cannot-why = Every gear that needs { $element } is lost: without it one speed is free. Gears that do not engage it stay.
fault-stuck-why = Gears that engage { $element } stay. In the others there is one element too many: either it locks the gearbox, or what it joins turns alike anyhow.
fault-left = Left: { $gears }.
rolling-set = Set { $set }: `{ $symbol } = { $torque }` per input torque and `n_S - n_C = { $slip }` per input speed, so `P_roll = { $power }` of the input power.
efficiency-result = `eta = 1 - { $loss } * { $total }`, to two decimals `{ $value } "%"`.
step-line = { $from } to { $to }: `phi = { $above }/{ $below } ~= { $value }`.
spread-line = `{ $first }/{ $top } ~= { $value }`.
ladder-largest = The largest quotient counts, not the largest difference: { $step }.
ladder-smallest = The smallest quotient counts, not the smallest difference: { $step }.
why-live = { $state } The ratio is `i = { $ratio }`.
why-loose = { $state } One speed is free: the output need not turn.
why-idle = { $state } The output is held, while the input turns.
why-overheld = { $state } Too many speeds are tied: the input cannot turn.
lever-arms-of-set = Set { $set }: the carrier is the pivot, the arms are `Z_R : Z_S = { $ring } : { $sun }`.
levers-share = A held member is at 0, the input at its speed, and members on one shaft have one speed on both levers: two straight lines meet all of this.

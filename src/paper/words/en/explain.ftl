# A layout explained gear by gear. Values are put in; none is written here.

explain-title = { $title }: gear by gear
explain-untitled = a gearbox
number-is = { $value } = { $decimal }
number-about = { $value } ≈ { $decimal }
explain-symbols = Each set has a sun S, a ring R and a carrier C with its planets P; S1 is the sun of set 1, and so on. `omega` is a speed, told per speed of the input, so the input turns at 1; a minus means backwards. `Z` counts teeth, and `rho = Z_R/Z_S` is the base ratio of a set. The ratio of a gear is `i = omega_in/omega_out`: above one the output turns slower than the input, below one faster, below zero backwards.
explain-symbols-torque = `T` is a torque, told per torque of the input.
explain-sets-head = The sets
explain-shafts-head = The shafts
set-column = Set
sun-column = Teeth of the sun
planet-column = Of each planet
ring-column = Of the ring
base-column = Base ratio `rho`
shaft-column = Shaft
members-column = What sits on it
shaft-bare = nothing: only clutches reach it
set-paired = { $set } (paired planets)
explain-housing = { $members } { $count ->
        [one] is
       *[other] are
    } fixed in the housing and never { $count ->
        [one] turns
       *[other] turn
    }.
explain-no-gears = The file names no gears, so every live state is walked.
explain-gear-head = Gear { $gear }: { $engaged } engaged
explain-state-head = { $engaged } engaged
explain-nothing-engaged = nothing

## Who does what.
explain-broken = Set { $set } cannot be built with these teeth. What does not hold: { $conditions }. Ratios, speeds and torques below are those that it would have; the command show of coaxle says why in full.
explain-who-head = Who does what
who-brake = Brake { $element } holds { $shaft }.
who-clutch = Clutch { $element } joins { $first } and { $second }.
who-shaft = { $shaft } ({ $members })
who-shaft-bare = { $shaft }
who-set-block = Set { $set } turns as a block: its three members have one speed, and nothing rolls in it.
who-set-still = Set { $set } stands still: none of its three members turns.
who-set-idle = Set { $set } turns along without torque: it is idle in this gear.
who-set-open = Set { $set } turns; how much torque it carries is not determined, because more elements are engaged than needed.
who-set-works = Set { $set } works: { $members }.
member-in = { $member } is driven with the input
member-out = { $member } takes off to the output
member-held = { $member } is held
member-own = { $member } turns at a speed of its own

## Before any number.
explain-sense-head = Before any number
sense-block = Everything turns as one block: the output goes with the input, the same way and as fast.
sense-sun-ring = Only set { $set } works. Its sun is driven and rolls the planets inside the still ring, so the carrier follows the sun, the same way and slower.
sense-ring-sun = Only set { $set } works. Its ring is driven and rolls the planets around the still sun, so the carrier follows the ring, the same way and slower, but not by much.
sense-carrier-ring = Only set { $set } works. Its carrier drives the planets around inside the still ring, and they throw the sun ahead: the same way and faster.
sense-carrier-sun = Only set { $set } works. Its carrier drives the planets around the still sun, and they push the ring ahead: the same way and faster.
sense-sun-carrier = Only set { $set } works. Its carrier is held, so the planets only pass the motion on and turn it round: the ring goes backwards, and slower, since it has more teeth than the sun.
sense-ring-carrier = Only set { $set } works. Its carrier is held, so the planets only pass the motion on and turn it round: the sun goes backwards, and faster, since it has fewer teeth than the ring.
sense-formula = No glance at one set decides here. But the ratio as a formula in the base ratios, `i = { $formula }`, tells without any teeth, since every `rho` is above one: { $direction }, { $speed }.
sense-product = The ratio is a product of what single sets do with one member held, as if one ran behind the other: { $ways }. Take each by itself and multiply.
sense-forward = numerator and denominator have the same sign, so the output goes with the input
sense-backward = numerator and denominator have opposite signs, so the output goes backwards
sense-either = which way depends on the teeth
sense-slower = and the numerator is the larger one, so it goes slower
sense-faster = and the denominator is the larger one, so it goes faster
sense-either-speed = and whether slower or faster depends on the teeth

## The law of each set.
explain-law-head = The law of each set, row by row
explain-law = Seen from its carrier, the sun and the ring of a set turn like wheels of a plain train: `Z_S * (omega_S - omega_C) + Z_R * (omega_R - omega_C) = 0` (with paired planets, the sign between is minus). Every set gives one such row; joints and engaged elements say which speeds are equal and which are zero.
sentence-line = { $text }
formula-line = `{ $line }`
explain-checked = { $ratio } is { $sign ->
        [forward] positive: the output goes with the input
       *[backward] negative: the output goes backwards
    }, { $size ->
        [slower] and it turns slower.
        [same] and as fast.
       *[faster] and it turns faster.
    } That is what was expected before.
explain-found = { $ratio } is { $sign ->
        [forward] positive: the output goes with the input
       *[backward] negative: the output goes backwards
    }, { $size ->
        [slower] and it turns slower.
        [same] and as fast.
       *[faster] and it turns faster.
    }

## Superposition.
explain-super-head = Two simple motions, one on top of the other
explain-super = Any motion of a set is the sum of two simple ones: first all of it turns with its carrier, as a block; then the carrier is held in thought and the wheels roll. The planets turn about their pins in the second only.
super-set = Set { $set }
super-block = Turning with the carrier
super-roll = Rolling, carrier held
super-sum = Sum
super-planet = Planet about its pin
super-none = In this gear nothing rolls.

## The lever.
explain-lever-head = The lever
explain-lever = Each set is drawn as a bar with a pin for each member: sun and ring at distances from the carrier that go inversely with their teeth. Arrows across a bar are the speeds, and their tips lie on one line, because the law of the set is the law of that line. Forces on a bar balance as the torques of the set do.

## Torque.
explain-torque-head = Torque
explain-torque = Without losses the torques of a set are as one to `rho` to `1 + rho`, sun to ring to carrier, and the carrier's points the other way, so that the three add up to zero (with paired planets the ring's sign turns, and the carrier's is `rho - 1`).
torque-sun = Sun
torque-ring = Ring
torque-carrier = Carrier
torque-open = not determined
torque-brake = Brake { $element } must hold { $torque } times the input torque.
torque-clutch = Clutch { $element } passes on { $torque } times the input torque.
torque-open-element = What { $element } carries is not determined: more elements are engaged than needed.
torque-shaft = Shaft
torque-outside = From outside
torque-elements = From elements
torque-members = Its members take
explain-balance = On every shaft what comes from outside and from elements is what its members take:
torque-check = Check: the input gives one, the load takes { $output } (that is `-i`), the housing holds { $housing }, and together they are zero.

## Power.
explain-power-head = Where the power goes
power-set = In set { $set } a power of { $power } times the input's rolls through the teeth, and about { $lost } % of the input's power is lost there.
power-none = No tooth rolls on another, so the meshes lose nothing. Torques inside are static, as in a clamped joint: no power runs in circles through what does not roll.
power-loop = A power of { $power } times the input's runs round in a circle: it comes back to where it was, and only adds losses.
power-efficiency = With the usual losses of meshes the efficiency of this gear is about { $efficiency } %. This is an estimate, without bearings, seals and drag.
power-locked = With these losses the input cannot drive the output: the gear locks itself.
power-open = Losses are not determined, because more elements are engaged than needed.
power-planet = The planets of set { $set } turn about their pins at { $speed } times the input speed.

## Mistakes.
explain-mistakes-head = Mistakes that are made here
mistake-inverse = Output over input instead of input over output gives { $wrong }.
mistake-planet = Counting the planet's teeth in, as if `Z_R + Z_P` teeth were in the ring, gives { $wrong }. Planets pass motion on; they do not enter the ratio.
mistake-sign = Forgetting that sun and ring turn in opposite directions as seen from the carrier gives { $wrong }.
mistake-sign-locked = Forgetting that sun and ring turn in opposite directions as seen from the carrier leaves no motion at all.
mistake-carrier = Reckoning set { $set } as if its carrier stood still gives { $wrong }.
mistake-right = Right is { $ratio }.

## The end.
explain-steps-head = The ladder
explain-steps = From gear to gear the ratio falls by these steps; together they make the spread, { $spread }.
steps-from = From gear
steps-to = To gear
steps-step = Step
explain-next-head = Where to go on
explain-next = Speeds, conditions of the teeth, faults and shifts are told by coaxle show with --only; pictures are drawn with --draw.
super-count = { $set }
sense-nothing = More elements are engaged than needed; what to expect follows when those that add nothing are left out.

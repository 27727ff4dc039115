# The page of a study. Numbers come from the study's facts; none is written here.

told = { $value }
study-subtitle = Computed by Coaxle { $version }. Every number on this page stands in study.json; point at one to see where.
range = { $least } to { $most }
dash = –

## What is asked.
study-question-head = The question
study-question = A planetary gear set is small and strong, and it makes several ratios. Yet a gearbox with several gears has two, three or four sets, wired together by shafts, brakes and clutches. Why is one not enough, and what does each further set buy?
study-answer-head = The answer in short
study-answer-line = Up to { $sets } { $count ->
        [one] set
       *[other] sets
    } with up to { $elements } brakes and clutches: { $answer }.
study-answer-gears = { $gears } usable forward gears and a reverse
study-answer-proved = { $answer }, and it is proved that there are no more
study-answer-open = { $answer }; more is not proved impossible
study-answer-none-proved = no ladder of even two usable gears with a reverse, and it is proved that there is none
study-answer-none-open = none was found; that there is none is not proved
study-usable = Usable means here: the ratio `i = omega_in/omega_out` of first gear lies between { $first-least } and { $first-most }, that of top gear between { $top-least } and { $top-most }; from gear to gear the ratio falls by a step of { $step-least } to { $step-most }; and there is one reverse of a size between { $reverse-least } and { $reverse-most }. A smaller step is hardly felt, a larger one makes the engine fall out of its useful speeds.
study-ratio-words = A ratio above one reduces: the output turns slower than the input and with more torque. Below one it turns faster. A negative ratio reverses.

## One set.
study-one-head = One set
study-one-parts = A set has a sun S in the middle, a ring R around it with its teeth inside, and a carrier C that holds the planets, which mesh with both. The picture shows the set by which this chapter counts: { $sun } teeth in the sun, { $planet } in each planet, { $ring } in the ring.
study-one-willis = Sit on the carrier and look: sun and ring then turn like two wheels of a plain train, in opposite directions, and their speeds go inversely with their teeth. Seen from outside, with `omega` for speeds and `Z` for teeth, this is the one law of a set (it bears the name of R. Willis): `Z_S * (omega_S - omega_C) + Z_R * (omega_R - omega_C) = 0`. Planets mesh with both and do not enter it.
study-one-rho = With the base ratio `rho = Z_R/Z_S`, here { $rho }, it reads `omega_S + rho * omega_R = (1 + rho) * omega_C`. Two of the three speeds are free: drive one member, hold another, and the third must follow.
study-one-ways = Three members can be driven, two of the rest can be held: these are the six ways of a set.
way-driven = Driven
way-held = Held
way-output = Output
way-formula = Ratio
way-here = Here
way-range = With the teeth of this study
way-does = The output turns
way-slower = slower
way-faster = faster
way-slower-back = slower, backwards
way-faster-back = faster, backwards
member-S = sun
member-R = ring
member-C = carrier
study-one-block = There is a seventh way and an eighth. Lock any two members together, and the law leaves all three only one speed: the set turns as a block, direct drive, with the ratio { $direct } whichever two they are. Hold and lock nothing, and the set is { $neutral }: the input turns, and the output need not follow. That is neutral.
study-one-range = Teeth bound what is possible: the ring must have room for the planets beside the sun, wheels must not be undercut, planets must not touch. The { $sets } sets of this study have { $ratios } different base ratios from { $least } to { $most }.
study-one-same = A gearbox has one output shaft. So of the six ways only those count that take off the same member. The ladder below shows, for each member as output, the forward ratios that one set then has.
study-one-carrier = Take off the carrier: sun driven with the ring held, ring driven with the sun held, and direct drive. Their ratios are `1 + rho`, `1 + 1/rho` and `1`. The first step is `(1 + rho)/(1 + 1/rho) = rho`, the second `1 + 1/rho`.
study-one-step-far = With these teeth the first step is { $least } to { $most }. { $judged }
study-one-step-none = A step of at most { $limit } would be usable; no set of these teeth comes down to it. The two gears are too far apart.
study-one-step-some = A step of at most { $limit } would be usable, so only the sets with the largest suns come into question, and for most teeth the two gears are too far apart.
study-one-step-fine = All of these would be usable steps.
study-one-no-reverse = And the carrier as output never turns backwards: both its ways are positive. For a reverse another member would have to be taken off.
study-one-ring = Take off the ring: the sun driven with the carrier held turns it backwards, `-rho`. That is the reverse. But the only other ways are direct drive and the carrier driven with the sun held, `rho/(1 + rho)`, which is faster than the input: no forward gear reduces.
study-one-sun = Take off the sun, and nothing reduces at all.
study-one-none = The search agrees: of all { $layouts } ways to wire one set with up to { $elements } brakes and clutches, also with an input that only clutches reach, none has two usable gears and a reverse.
study-one-some = With the bands of this study one set still makes { $gears } gears.

## Counting.
study-count-head = Counting: how many gears could there be?
study-count-states = In a gear some elements are engaged, the others open. A layout of `n` sets on `m` shafts moves freely in `m - n` ways; the input's speed is one, so `k = m - n - 1` elements must be engaged to leave a single motion. Of `s` elements, `k` can be chosen in so many ways:
count-elements = Elements `s`
count-engaged = `k` = { $engaged }
study-count-limit = Each choice is a state, and a gear is a state; one of them must be the reverse. So { $elements } elements never make more than { $most } forward gears. The next table sets what there really is against this limit.
count-limit-column = Limit by counting
count-sets-column = Up to { $sets } { $count ->
        [one] set
       *[other] sets
    }
study-count-open = A question mark stands where the study did not prove that there are not more.
study-fates-head = Where the other states go
study-fates = Why do the limits stay out of reach? Take for each number of sets the layout with the most gears from { $elements } elements, and follow all its states:
fate-sets = Sets
fate-states = States of
fate-all = All states
fate-column = { $name }, { $sets } { $count ->
        [one] set
       *[other] sets
    }
fate-gears = Forward gears
fate-reverse = Reverse
fate-loose = Loose
fate-locked = Locked
fate-idle = Output held
fate-repeated = Same ratio again
fate-other = Another reverse
fate-beyond = Beyond the ladder
fate-between = Off the steps
study-fates-words = Loose: too few constraints, the input turns and the output need not follow. Locked: the elements contradict each other, and nothing can turn. Output held: all speeds are settled, and that of the output is zero. Same ratio again: two choices make the same gear, most often direct drive, for whichever clutches lock the sets. Beyond the ladder and off the steps: real gears whose ratio no step of the band reaches.
study-fates-more = With more sets fewer states are wasted: more of them have ratios of their own, because more base ratios enter each, and the teeth can be chosen so that the ratios fall into a ladder.

## Adding sets.
study-adding-head = { $sets ->
        [2] Two sets
        [3] Three sets
       *[other] Four sets
    }
study-adding-gears = With up to { $elements } elements there are now { $gears } usable gears{ $before }.
study-adding-before = , where fewer sets made { $gears }
study-adding-first = , where one set made none
study-adding-proved = It is proved that no such layout has more: every wiring was judged, one of each up to renumbering the sets.
study-adding-counted = No layout can have more: counting allows no more, and here every state but one is a forward gear, that one being the reverse.
study-adding-open = That no layout has more is not proved here; what was left out is told at the end.
study-adding-witness = The most even ladder of so many gears that was found among layouts that can be drawn without crossing shafts is { $name } ({ $file }). Its steps differ from equal ones by at most { $deviation } percent, and its spread, first ratio over top ratio, is { $spread }.
gear-column = Gear
engaged-column = Engaged
ratio-column = Ratio
value-column = As a decimal
step-column = Step to the next
study-adding-why = Why does this work where fewer sets fail? A brake or clutch now changes how the sets are coupled, not only which member of one set is held: the same sets run one behind the other in one gear, side by side in the next, as a block in a third. Each gear mixes the base ratios in its own way, so the ratios can be moved closer to each other than those of any one set.

## What each set buys.
study-curves-head = What each set buys
study-curves-gears = The largest number of usable gears, for each number of elements:
study-curves-spread = The widest spread for each number of gears, with up to { $elements } elements. Up to some number of gears the band itself is the limit: so many steps of at most { $step } and no more.
study-curves-even = And how even ladders can be: the largest difference of a step from equal steps, in percent, of the evenest ladder that was found:
study-curves-gaps = A curve has no point where layouts of so many sets were not searched for so many gears.
study-curves-found = Where a curve rests on sampled base ratios, its values are reached; better ones may exist.
curve-gears-title = Usable forward gears
curve-gears-up = largest number of gears
curve-gears-across = sets, at most
curve-spread-title = Widest spread
curve-spread-up = first ratio / top ratio
curve-even-title = Most even ladder
curve-even-up = largest difference of a step from equal steps, %
curve-over-gears = forward gears
curve-elements = { $count } elements
curve-sets = { $count ->
        [one] 1 set
       *[other] up to { $count } sets
    }
ladder-one-title = One set: forward ratios by output
ladder-one-rung = { $output } out, ρ = { $rho }
ladder-sets-title = The most even ladders, set by set

## Smooth shifts and nesting.
study-swap-head = Smooth shifts, and what can be put on one axis
study-swap = A shift is smooth when one element lets go while one other takes over: a single swap. Where every shift between neighbouring gears must be so, some ladders may fall. Others may fall because their shafts would have to cross: the nesting test draws each layout in the half plane above the axis and asks whether it can be done without crossings. It is necessary, not sufficient. The table shows what is left of the gears.
at-most = up to { $value }
swap-any = Any shift
swap-single = Single swaps
swap-nests = Must nest
swap-both = Both

## The price.
study-price-head = What it costs
study-price = Nothing of this is free. The layouts of the chapters above, by what they ask of the builder:
price-elements = Elements
price-open = Open elements, mean
price-planet = Fastest planet / input speed
price-torque = Largest element torque / input torque
price-worst = Worst efficiency
price-mean = Mean efficiency
study-price-words = Every set and element is parts, length and money. An open brake or clutch drags, so it counts how many are open on average.
study-price-planets = In some gears planets turn on their pins faster than the input itself, which wears their bearings.
study-price-estimates = Efficiencies are estimates from the mesh efficiencies of the brief, without bearings, seals and drag.
price-of = Layout

## The shortcut.
study-shortcut-head = The workshop shortcut, and where it fails
study-shortcut = In workshops a set is often reckoned like two wheels: count the carrier as a wheel with as many teeth as sun and ring together, `Z_C = Z_S + Z_R`, and the ratio is the teeth of the output over the teeth of the driven member, `i = Z_out/Z_in`. Why is that right? Hold the ring: `omega_R = 0` leaves `Z_S * omega_S = (Z_S + Z_R) * omega_C`. Hold the sun: `Z_R * omega_R = (Z_S + Z_R) * omega_C`. Hold the carrier: `Z_S * omega_S = -Z_R * omega_R`, with the sign turned. Each time one of three terms of the law is gone, and two wheels are left.
shortcut-teeth = Teeth that count
shortcut-value = Shortcut
shortcut-right = Law of the set
study-shortcut-holds = So it holds for one set with one member held, all six ways:
study-shortcut-fails = No term is gone when no member of the set is held. In gear { $gear } of layout { $name } the driven member of set { $set } turns with the input and another is the output; the third turns too, at a speed that the other sets decide. The shortcut would say { $shortcut } ({ $output-teeth } teeth over { $driven-teeth }). The ratio is { $ratio }.
study-shortcut-none = No layout of this study shows a gear where it fails.
study-shortcut-rule = The rule to keep: one set, one member held. As soon as two sets are coupled and no member of a set stands still, write the law of each set and solve.

## How it was found.
study-how-head = How this was found
study-how = The study made { $searches } searches over { $families } families of layouts (so many sets, shafts and elements each), { $layouts } layouts in all. Suns have { $sun-least } to { $sun-most } teeth, rings { $ring-least } to { $ring-most }, with { $planets } planets.
study-entries-head = Every entry
study-entries = For at most so many sets and elements, what is reached and by which layout (in the folder of layouts, under its name), where no fewer sets or elements reach it. Families: whether all were searched for so many gears, or some were left out. Base ratios: complete where every choice was tried or excluded by bounds, sampled where a pattern search sought them, so that more may be reached. The step deviation is the largest difference of a logarithm of a step from that of an equal one. Entries for single swaps and for layouts that nest stand in study.json.
entry-widest = Widest spread
entry-evenest = Least step deviation
entry-families = Families
entry-ratios = Base ratios
entry-all = all
entry-some = some
study-cautions-head = Before anything turns
listed = { $before }, { $next }
shortcut-quotient = { $output } over { $driven }
gears-open = { $gears } ?
nothing = {""}

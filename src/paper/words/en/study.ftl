# The page of a study. Numbers come from the study's facts; none is written here.

told = { $value }
study-subtitle = Computed by Coaxle { $version }. Every number on this page stands in study.json; point at one to see where.
range = { $least } to { $most }
dash = –

## What is asked.
study-question-head = The question
study-question = A planetary gear set is small and strong, and it makes several ratios. Yet a gearbox with more than a few gears has two, three or four sets, wired together by shafts, brakes and clutches. What can one set do, where does it end, and what does each further set buy?
study-answer-head = The answer in short
study-usable = Usable means here: the ratio `i = omega_in/omega_out` of first gear lies between { $first-least } and { $first-most }, that of top gear between { $top-least } and { $top-most }, and from gear to gear the ratio falls by a step of { $step-least } to { $step-most }. A smaller step is hardly felt, a larger one makes the engine fall out of its useful speeds.
study-usable-reverse = Two questions are asked of every number of sets: how many such forward gears there can be; and how many there can be with a reverse besides, of a size between { $reverse-least } and { $reverse-most }.
study-usable-no-reverse = No reverse is asked for.
study-answer-table = The largest numbers of usable gears from up to { $elements } brakes and clutches:
forward-column = Forward gears
with-reverse-column = Forward gears, with a reverse besides
word-none = none
word-proved = proved
word-open = not proved
word-all = all
word-some = some
word-single = every shift releases one element and applies one
word-any-shift = some shifts may exchange more than one element
word-nests = among layouts that can be drawn without crossing shafts
word-crosses = among layouts of which none could be drawn without crossing shafts
word-reverse = with a reverse
word-no-reverse = without a reverse
study-can-two = One set by itself can do this. Two speeds: drive the sun, take off the carrier, and a brake on the ring makes the ratio `1 + rho`; a clutch that locks the set makes direct drive. With the teeth of this study the step between them is { $least } to { $most }: one wide step, which serves where two speeds are enough.
study-can-three = Three usable forward gears: with the carrier as output and with brakes and clutches that drive the sun or the ring, one set has the ratios `1 + rho`, `1 + 1/rho` and `1`; all { $gears } lie in the band where the base ratio is { $ratios }.
study-cannot-three = With the carrier as output one set has the ratios `1 + rho`, `1 + 1/rho` and `1`. In a ladder of the band, with any base ratio of this study, the largest number of usable gears among them is: { $gears }.
study-can-but = Of such forward gears one set with up to { $elements } brakes and clutches makes at most: by any shift, { $all }; where each shift must release one element and apply one, { $smooth }; where the layout must nest, { $nested }.
study-can-reverse = And a reverse: hold the carrier, drive the sun, and the ring turns backwards, `-rho`.
study-cannot-both = What one set cannot do is both at once: usable forward gears with a reverse beside them: { $gears }, and that is proved. A gearbox has one output shaft. The carrier as output gives the forward gears, but it never turns backwards; the ring as output turns backwards, but no forward gear with it reduces.
study-cannot-both-open = Usable forward gears with a reverse beside them: { $gears } found. That there is none is not proved.
study-can-both = With the bands of this study one set also makes usable forward gears with a reverse beside them: { $gears }.
study-answer-why = Why do more sets make more gears? One set has one number to choose, its base ratio, and a handful of ratios that hang on it. Several sets can run by themselves, one behind the other, or coupled, and each of these makes ratios of its own:

## Why.
why-counts = Of the gears of { $name } these are: direct drive, { $direct }; one set alone, { $alone }; the product of what sets do alone, { $products }; sets coupled so that the ratio is no such product, { $coupled }.
why-identity = Gear { $product } is gear { $first } times gear { $second }, whatever the teeth: what the two gears do one after the other, it does at once.
why-kind-column = What it is
why-made-column = Made by
why-kind-direct = direct drive
why-kind-alone = one set alone
why-kind-product = a product
why-kind-coupled = sets coupled
why-made-direct = no base ratio enters
why-made-coupled = no product of what single sets do
why-way = set { $set } ({ $driven } driven, { $held } held, { $output } out)
why-more-steps = It has { $base-ratios } base ratio(s) to choose and { $steps } steps to meet: more steps than numbers, so the steps cannot be chosen one by one. The wiring must bring them.
why-enough = It has { $base-ratios } base ratio(s) to choose and { $steps } step(s) to meet.
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
study-one-step-none = A step of at most { $limit } would be usable; none of these sets comes down to it. The two gears are too far apart.
study-one-step-some = A step of at most { $limit } would be usable, so some of these sets come into question and others do not.
study-one-step-fine = Each of these would be a usable step.
study-one-no-reverse = And the carrier as output never turns backwards: both its ways are positive. For a reverse another member would have to be taken off.
study-one-ring = Take off the ring: the sun driven with the carrier held turns it backwards, `-rho`. That is the reverse. But the only other ways are direct drive and the carrier driven with the sun held, `rho/(1 + rho)`, which is faster than the input: no forward gear reduces.
study-one-sun = Take off the sun, and nothing reduces at all.
study-one-forward-some = The search agrees: of all { $layouts } ways to wire one set with up to { $elements } brakes and clutches, also with an input that only clutches reach, the best make { $gears } usable forward gears.
study-one-forward-none = The search agrees: of all { $layouts } ways to wire one set with up to { $elements } brakes and clutches, also with an input that only clutches reach, those with two usable forward gears are: { $gears }.
study-one-forward-open = Of all { $layouts } ways to wire one set with up to { $elements } brakes and clutches those found with two usable forward gears are: { $gears }.
study-one-reverse-some = With a reverse besides, the best make { $gears } usable forward gears.
study-one-reverse-none = With a reverse besides, those with two usable forward gears are: { $gears }.
study-one-reverse-open = With a reverse besides, those found with two usable forward gears are: { $gears }.
study-one-witness = The most even ladder of one set that was found { $nests } is { $name } ({ $file }):

## Counting.
study-count-head = Counting: how many gears could there be?
study-count-states = In a gear some elements are engaged, the others open. A layout of `n` sets on `m` shafts moves freely in `m - n` ways; the input's speed is one, so `k = m - n - 1` elements must be engaged to leave a single motion. Of `s` elements, `k` can be chosen in so many ways:
count-elements = Elements `s`
count-engaged = `k` = { $engaged }
study-count-limit = Each choice is a state, and a gear is a state. So { $elements } elements never make more than { $most-forward } forward gears, and never more than { $most-gears } where one state must be the reverse. The next tables set what there really is against these limits.
swap-forward-head = Forward gears alone
swap-reverse-head = Forward gears, with a reverse besides
count-limit-column = Limit by counting
count-sets-column = Up to { $sets } { $count ->
        [one] set
       *[other] sets
    }
study-count-open = A question mark stands where the study did not prove that there are not more.
study-fates-head = Where the other states go
study-fates = Why do the limits stay out of reach? Take for each number of sets the layout that its chapter shows, with the most gears from { $elements } elements, and follow all its states:
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
study-adding-gears = With up to { $elements } elements the largest number of usable forward gears is now { $gears }{ $before }. { $proof }
study-adding-reverse = With a reverse besides it is { $gears }{ $before }. { $proof }
study-adding-before = , with fewer sets { $gears }
study-adding-proved = That there are not more is { $verdict }: each wiring was judged, one of each up to renumbering the sets.
study-adding-counted = That there are not more is { $verdict } by counting alone: each state is a gear.
study-adding-open = That there are not more is { $verdict } here; what was left out is told at the end.
study-adding-witness = The most even ladder of so many gears that was found { $reverse }, { $nests }, is { $name } ({ $file }); { $swaps }. Its steps differ from equal ones by at most { $deviation } percent, and its spread, first ratio over top ratio, is { $spread }.
gear-column = Gear
engaged-column = Engaged
ratio-column = Ratio
value-column = As a decimal
step-column = Step to the next
study-adding-why = Why does this work where fewer sets fail? A brake or clutch now changes how the sets are coupled, not only which member of one set is held: the same sets can work by themselves in one gear, one behind the other in the next, coupled in a third, as a block in a fourth. So there are more ratios, and more base ratios by which to move them closer to each other.

## What each set buys.
study-curves-head = What each set buys
study-curves-gears = The largest number of usable gears, for each number of elements:
study-curves-bounds = An open mark with an arrow is a bound: so many were found, and that there are not more is not proved. A filled mark is proved.
study-curves-empty = There is nothing to draw: no ladder was found.
study-curves-spread = The widest spread for each number of gears, with up to { $elements } elements, { $reverse }. Up to some number of gears the band itself is the limit: so many steps of at most { $step } and no more.
study-curves-even = And how even ladders can be: the largest difference of a step from equal steps, in percent, of the evenest ladder that was found. The chapters above show layouts that nest; here those whose shafts cross count too, so that a value here may be smaller:
study-curves-gaps = A curve has no point where layouts of so many sets were not searched for so many gears.
study-curves-found = Where base ratios were sampled or a family was left out, a value is reached but may be bettered: an open mark, with its arrow to the better side.
curve-gears-title = Usable forward gears, no reverse asked for
curve-gears-reverse-title = Usable forward gears with a reverse besides
curve-gears-reverse-up = largest number of gears
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
study-price = More sets mean more wheels, more length and more to assemble. Whether they also mean more drag or lower efficiency is another matter, and the table tells it.
study-price-alike = To compare like with like, these layouts have the same number of forward gears, from different numbers of sets; each is the most even of those found that nest.
study-price-listed = No two numbers of sets have a layout of their own for the same number of gears, so these are listed side by side, not compared: they have different numbers of gears.
price-spread = Spread
price-even = Largest difference from equal steps, percent
price-wheels = Wheels with teeth
price-planets = Planets among them
price-slip = Largest slip of an open element / input speed
price-back = Efficiency of the reverse
price-elements = Elements
price-open = Open elements, mean
price-planet = Fastest planet about its pin (relative to its carrier) / input speed
price-torque = Largest element torque / input torque
price-worst = Worst efficiency, forward
price-mean = Mean efficiency, forward
study-price-words = Each set and element is parts, length and money. An open brake or clutch drags, the more the faster it slips, so the table has how many are open on average and the largest slip.
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
study-entries-none = Nothing was found here.
study-space = Searched were { $kinds } sets with { $least } to { $most } elements engaged in a gear; { $held }; { $bare }. Other kinds of layouts were not searched, and nothing is said of them.
study-held = also with members held in the housing permanently
study-held-none = without members held in the housing permanently
study-space-never = with inputs that are joined to a member
study-space-allowed = with inputs that are joined to a member, and with inputs that clutches alone reach
study-space-required = with inputs that clutches alone reach
entry-widest = Widest spread
entry-evenest = Least step deviation
entry-families = Families
entry-ratios = Base ratios
study-cautions-head = Before anything turns
listed = { $before }, { $next }
shortcut-quotient = { $output } over { $driven }
gears-open = { $gears } ?
nothing = {""}

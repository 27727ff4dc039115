// What a layout's page shows of the layout as such, the same in every gear.

const patternOf = (shown) => tableOf(
  ["gear", ...shown.elements.map((element) => [element.element, "element"]), ["ratio", "number"]],
  shown.gears.map((gear) => [
    gear.gear,
    ...shown.elements.map((element) => [gear.engaged.includes(element.element) ? element.element : "", "on"]),
    [gear.ratio ? stacked(gear.ratio.exact) : "–", "number"],
  ]), "Which elements each gear engages");

const teethOf = (shown) => shown.sets.map((set) => {
  const rows = set.conditions.map((condition) => [
    condition.name,
    [make("span", { class: condition.holds ? "holds" : condition.kind === "preference" ? "unmet" : "fails" }, condition.holds ? "holds" : condition.kind === "preference" ? "not met" : "fails")],
    condition.kind === "preference" ? "wished" : "needed",
    [condition.detail, "why"],
  ]);
  const planets = [set.planet, set.outer_planet].filter((teeth) => teeth != null).join(" and ") || "not known";
  return make("details", {},
    make("summary", {}, make("strong", {}, `Set ${set.set}`), make("span", {}, `${set.kind}: sun ${set.sun}, planets ${set.planets ?? "?"} × ${planets}, ring ${set.ring}; ρ = ${exactly(set.base_ratio.exact)}`)),
    tableOf(["condition", "", "", "how"], rows, `Conditions of set ${set.set}`));
});

const shiftsOf = (shown) => {
  const row = (shift) => [
    `${shift.from} → ${shift.to}`, shift.released.join(", ") || "nothing", shift.applied.join(", ") || "nothing", shift.kind,
    [shift.elements.filter((element) => shift.applied.includes(element.element)).map((element) => `${element.element}: ${short(numberOf(element.slip_before))}`).join("; ") || "–", "number"],
  ];
  const heads = ["shift", "released", "applied", "kind", ["slip brought to rest", "number"]];
  const near = shown.shifts.filter((shift) => shift.neighbours);
  const far = shown.shifts.filter((shift) => !shift.neighbours);
  return [
    make("p", { class: "hint" }, "Upwards, per input speed before the shift, the output keeping its speed."),
    tableOf(heads, near.map(row), "Shifts between neighbouring gears"),
    far.length ? make("details", {}, make("summary", {}, `${far.length} shifts that leave out gears`), tableOf(heads, far.map(row), "Shifts that leave out gears")) : null,
  ];
};

const faultsOf = (shown) => {
  const gears = shown.gears.map((gear) => gear.gear);
  const cell = (effect) => {
    if (!effect) return "–";
    const text = effect.effect === "changed" ? stacked(effect.ratio?.exact) : effect.effect === "lost" ? `lost: ${effect.status}` : effect.effect;
    return [make("span", { class: `effect ${effect.effect}`, title: effect.status }, text)];
  };
  const rows = shown.faults.map((fault) => [`${fault.element} ${fault.failure}`, ...gears.map((gear) => cell(fault.gears.find((effect) => effect.gear === gear)))]);
  const instead = shown.faults.flatMap((fault) => fault.instead.map((one) => make("li", {},
    `${fault.element} ${fault.failure}, gear ${one.gear} locks: with ${one.opened} open instead it has the ratio ${exactly(one.ratio.exact)}.`)));
  return [
    tableOf(["fault", ...gears], rows, "What becomes of the gears when an element fails"),
    instead.length ? make("details", {}, make("summary", {}, `${instead.length} ways out of a gear that locks`), make("ul", {}, ...instead)) : null,
  ];
};

const largestOf = (shown) => {
  const peak = (value) => (value ? `${short(value.value)} in ${value.gear}` : "–");
  const rows = [
    ...shown.largest.elements.map((element) => [`element ${element.element}`, `torque ${peak(element.torque)}`, `slip ${peak(element.slip)}`]),
    ...shown.largest.sets.map((set) => [`planets of set ${set.set}`, "", `about their pins ${peak(set.planet_speed)}`]),
    ...shown.largest.shafts.map((shaft) => [`shaft ${shaft.shaft}`, "", `speed ${peak(shaft.speed)}`]),
  ];
  return tableOf(["part", "load", "speed"], rows, "Largest loads and speeds");
};

const statesOf = (shown) => {
  const rows = shown.states.filter((state) => state.status !== undefined).map((state) => [
    state.engaged.join(" + "), state.status, [state.ratio ? stacked(state.ratio.exact) : "–", "number"], [state.reason, "why"],
  ]);
  return rows.length ? make("details", {}, make("summary", {}, `${rows.length} states that are no gear`), tableOf(["engaged", "status", ["ratio", "number"], "why"], rows, "States that are no gear")) : null;
};

// The fewest elements that keep the gears, and what losses are judged by.
const fewestOf = (shown) => {
  const fewest = shown.fewest_elements;
  if (!fewest) return null;
  const spare = fewest.left_out.length ? `${fewest.left_out.join(", ")} could be left out: ${fewest.kept.join(", ")} keep the ratio of every gear` : "No element can be left out without losing a gear";
  return make("p", {}, `${spare}${fewest.proved ? "" : " (not proved to be the fewest)"}.`);
};
const assumedOf = (shown) => make("p", { class: "hint" },
  `Losses are judged by mesh efficiencies of ${shown.assumed.mesh_external} for two outer gears and ${shown.assumed.mesh_internal} for a planet in its ring${shown.assumed.losses_by_teeth ? ", those of a set 30/20/70; others go by their teeth" : ""}. They leave out bearings, seals${ONE_RATIO ? " and oil" : ", oil and open elements"}.`);

// Pictures of all gears together, and whatever else the account has that nothing above shows.
const ALL_GEARS = ["speeds", "planet-speeds", "saw-tooth", "ladder"];
const picturesOf = (told) => {
  const further = Object.keys(told.pictures).filter((name) => !ALL_GEARS.includes(name) && name !== "stick" && !/^(stick|power|levers)-/.test(name));
  return [...ALL_GEARS, ...further].map((name) => pictureOf(told, name));
};

const wholeOf = (told) => {
  const { shown } = told;
  if (ONE_RATIO) {
    return [section("Teeth and their conditions", ...teethOf(shown), assumedOf(shown))];
  }
  return [
    section("All gears", patternOf(shown), ...picturesOf(told)),
    section("Teeth and their conditions", ...teethOf(shown)),
    section("Shifts", ...shiftsOf(shown)),
    section("When an element fails", ...faultsOf(shown)),
    section("Largest loads and speeds", largestOf(shown)),
    section("States", make("p", {}, `${shown.states.length} sets of engaged elements could be determinate; ${shown.gears.length} are gears.`), statesOf(shown), fewestOf(shown), assumedOf(shown)),
  ];
};

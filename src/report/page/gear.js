// What a layout's page shows of one gear; all of it changes with the gear selector.

// A picture of the account as an element: its lines are our own drawing, names in it are
// escaped by the program that wrote it.
const pictureOf = (told, name) => {
  const runs = told.pictures[name];
  if (!runs) return null;
  const lines = [];
  for (let k = 0; k < runs.length; k += 2) lines.push(...told.lines.slice(runs[k], runs[k] + runs[k + 1]));
  const figure = make("figure", { class: "plot picture", "data-picture": name, tabindex: "0" });
  figure.innerHTML = lines.join("\n");
  const box = figure.querySelector("svg").viewBox.baseVal;
  // Drawn at four units a pixel; never so small that its texts cannot be read.
  figure.style.setProperty("--natural", `${box.width / 4}px`);
  return figure;
};

const fileName = (gear) => gear.replace(/[^A-Za-z0-9]/gu, "-");

// Formulas are MathML of our own making.
const mathOf = (formula, before = "") => {
  const place = make("span");
  place.innerHTML = formula.mathml;
  return make("div", { class: "formula" }, before, place);
};

const section = (title, ...children) => make("section", {}, make("h3", {}, title), ...children);

// A poor efficiency stands in red letters, with a word why.
const warned = (text, poor) => (poor ? make("span", { class: "poor" }, text) : text);

const numbersOf = (shown, state) => {
  const step = shown.steps.find((other) => other.from === state.gear);
  const facts = [
    ["ratio i", state.ratio ? stacked(state.ratio.exact) : "none"],
    ["engaged", state.engaged.join(" + ") || "nothing"],
    ["efficiency", warned(state.self_locking ? "self-locking" : percent(state.efficiency), ONE_RATIO && (state.self_locking || state.efficiency < 0.5))],
    ["driven back", warned(state.back_drives === false ? "does not turn" : percent(state.back_efficiency), ONE_RATIO && state.back_drives === false)],
    ["rolling power", state.circulating_power == null ? "–" : `${short(state.circulating_power, 3)} × input`],
    ["largest branch", state.largest_branch_power == null ? "–" : `${short(state.largest_branch_power, 3)} × input`],
    ["step to next", step ? stacked(step.exact) : "–"],
  ].filter(([name]) => !ONE_RATIO || !["engaged", "step to next"].includes(name));
  return make("dl", { class: "facts small" }, ...facts.map(([name, value]) => make("div", {}, make("dt", {}, name), make("dd", {}, value))));
};

const motionOf = (shown, state) => {
  const number = (exact) => [stacked(exact), "number"];
  const heads = (...names) => names.map((name, k) => (k === 0 ? name : [name, "number"]));
  const members = (shaft) => shown.shafts.find((other) => other.shaft === shaft)?.members.join(", ") ?? "";
  const shafts = tableOf(
    ["shaft", "carries", ["speed", "number"], ["torque from outside", "number"]],
    state.shafts.map((shaft) => [shaft.shaft, members(shaft.shaft), number(shaft.speed), number(shaft.torque)]), "Speeds of the shafts");
  const elements = tableOf(
    ["element", "grips", "state", ["torque", "number"], ["slip", "number"], ["power", "number"]],
    state.elements.map((element) => {
      const grip = shown.elements.find((other) => other.element === element.element);
      return [element.element, `${element.kind}: ${grip?.shafts.join(" to ") ?? ""}`, element.engaged ? "engaged" : "open", number(element.torque), number(element.slip), number(element.power)];
    }), "Torques and slips of the elements");
  const sets = tableOf(
    heads("set", "sun torque", "carrier torque", "ring torque", "planets about pins", "rolling power", "lost"),
    state.sets.map((set) => [String(set.set), number(set.sun_torque), number(set.carrier_torque), number(set.ring_torque), number(set.planet_speed), [short(set.rolling_power), "number"], [set.lost_power == null ? "–" : percent(set.lost_power), "number"]]), "Torques and losses of the sets");
  const powers = tableOf(
    ["shaft", ["power through", "number"], "branches: what each gives to the shaft"],
    (state.power?.shafts ?? []).map((shaft) => [shaft.shaft, number(shaft.through), (shaft.branches ?? []).map((branch) => `${branch.branch} ${short(numberOf(branch.power), 3)}`).join(", ") || "not determined"]), "Power at the shafts");
  const loops = state.power?.loops ?? [];
  const circles = loops.map((loop) => make("li", {}, `${exactly(loop.power.exact)} × input power runs in a circle: ${loop.through.join(" → ")}`));
  return [shafts, state.elements.length ? elements : null, sets, state.power ? powers : null, circles.length ? make("ul", {}, ...circles) : null];
};

const derivationOf = (state) => {
  const steps = state.derivation?.steps ?? [];
  if (steps.length === 0) return null;
  const items = steps.map((step) => make("li", {}, make("p", {}, step.sentence), ...step.lines.map((line) => mathOf(line))));
  return make("details", { class: "derivation" }, make("summary", {}, `How it follows, in ${steps.length} steps`), make("ol", {}, ...items));
};

// Everything of one gear, ready to be put in place; `more` stands below its drawing.
const gearOf = (told, state, more = null) => {
  const { shown } = told;
  const name = fileName(state.gear);
  const stick = pictureOf(told, `stick-${name}`);
  const unwired = make("p", {}, shown.nests ? "There is no drawing of this gear." : "This layout does not pass the nesting test: it cannot be drawn in half section without one part crossing another, nor built so. Levers and tables show what it does.");
  const power = pictureOf(told, `power-${name}`);
  const levers = pictureOf(told, `levers-${name}`);
  return [
    make("p", { class: "reason" }, `${state.status[0].toUpperCase()}${state.status.slice(1)}: ${state.reason}${state.note ? ` (${state.note})` : ""}.`),
    numbersOf(shown, state),
    ONE_RATIO ? null : ladderOf(shown.gears, state.gear, panel.clientWidth - 40),
    stick ? section("Drawing", stick) : section("Drawing and power", unwired),
    more,
    stick ? section("Power", power ?? make("p", {}, "The power is not determined in this gear.")) : null,
    section("Levers", levers ?? make("p", {}, ONE_RATIO ? "It drives nothing." : "This gear drives nothing.")),
    section("The sets turning", turningOf(shown, state)),
    section("Speeds, torques, losses", make("p", { class: "hint" }, "Per input speed, input torque and input power; exact but for losses."), ...motionOf(shown, state)),
    section("Formula", ...(state.formulas ? [
      make("p", { class: "hint" }, "In base ratios ρ = ring teeth / sun teeth, and in teeth:"),
      mathOf(state.formulas.base_ratios, "i = "), mathOf(state.formulas.teeth, "i = "), derivationOf(state),
    ] : [make("p", {}, "No ratio, no formula.")])),
  ].filter((part) => part !== null);
};

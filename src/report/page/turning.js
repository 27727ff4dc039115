// The sets turning at their true relative speeds, seen along the axis.
//
// `speedsOf` is what any drawing of a turning set needs; `faceOf` is a plain one, circles in
// the sizes of the teeth. A face with true teeth goes in its place.

// Speeds of a set in a state, per input speed, none where they are not determined: sun,
// ring and carrier, and the planets themselves (carrier + their speed about their pins).
const speedsOf = (shown, state, set) => {
  const of = (member) => {
    if (shown.held.includes(member)) return 0;
    const seat = shown.shafts.find((shaft) => shaft.members.includes(member));
    const motion = seat && state.shafts.find((shaft) => shaft.shaft === seat.shaft);
    return motion ? numberOf(motion.speed) : null;
  };
  const [sun, ring, carrier] = ["S", "R", "C"].map((letter) => of(`${letter}${set.set}`));
  const motion = state.sets.find((other) => other.set === set.set) ?? {};
  const about = (speed) => (speed == null || carrier == null ? null : carrier + numberOf(speed));
  return { sun, ring, carrier, planet: about(motion.planet_speed), outer: about(motion.outer_planet_speed) };
};

// A drawing of a set and a function that turns it: angles in turns.
const faceOf = (set) => {
  const [sun, ring] = [set.sun, set.ring];
  const scale = 100 / ring;
  const paired = set.outer_planet != null;
  const planet = set.planet ?? (ring - sun) / 2;
  const places = { planet: (sun + planet) * scale, outer: (ring - (set.outer_planet ?? 0)) * scale };
  const count = set.planets ?? 3;
  // Outer planets touch the inner ones: the angle between them by the law of cosines.
  const apart = (planet + (set.outer_planet ?? 0)) * scale;
  const cosine = (places.planet ** 2 + places.outer ** 2 - apart ** 2) / (2 * places.planet * places.outer);
  const lag = paired ? Math.acos(Math.min(1, Math.max(-1, cosine))) / (2 * Math.PI) : 0;
  const wheel = (radius, style) => draw("g", { class: style }, draw("circle", { r: radius }), draw("line", { x2: radius, y2: 0 }));
  const text = (words, x, y) => draw("text", { x, y, "text-anchor": "middle", class: "teeth" }, String(words));
  const outside = draw("g", { class: "ring" }, draw("circle", { r: 100 }), draw("circle", { r: 112 }), draw("line", { x1: 100, x2: 112 }));
  const centre = wheel(sun * scale, "sun");
  const arms = draw("g", { class: "carrier" });
  const moons = [];
  for (let k = 0; k < count; k += 1) {
    const kinds = [["planet", planet, 0], ...(paired ? [["outer", set.outer_planet, lag]] : [])];
    for (const [kind, teeth, behind] of kinds) {
      const turn = k / count + behind;
      const at = [places[kind] * Math.cos(2 * Math.PI * turn), places[kind] * Math.sin(2 * Math.PI * turn)];
      const moon = wheel(teeth * scale, "planet");
      arms.append(draw("line", { x2: at[0], y2: at[1] }));
      moons.push({ moon, kind, turn });
    }
  }
  const picture = draw("svg", { viewBox: "-120 -120 240 240", role: "img", class: "face" }, draw("title", {}, `Set ${set.set} along its axis`));
  picture.append(outside, arms, ...moons.map(({ moon }) => moon), centre);
  const turn = (speeds, input) => {
    const angle = (speed) => (speed ?? 0) * input * 360;
    outside.setAttribute("transform", `rotate(${angle(speeds.ring)})`);
    centre.setAttribute("transform", `rotate(${angle(speeds.sun)})`);
    arms.setAttribute("transform", `rotate(${angle(speeds.carrier)})`);
    for (const { moon, kind, turn: start } of moons) {
      const round = 2 * Math.PI * (start + (speeds.carrier ?? 0) * input);
      const at = [places[kind] * Math.cos(round), places[kind] * Math.sin(round)];
      moon.setAttribute("transform", `translate(${at[0].toFixed(2)} ${at[1].toFixed(2)}) rotate(${angle(speeds[kind])})`);
    }
  };
  return { picture, turn };
};

const told = (speed) => (speed == null ? "not determined" : short(speed, 3));

// The sets of a layout in one state, with a button that starts and stops them. One clock a
// panel: `running` is the latest, and an earlier one stops by itself.
let running = 0;
const TURNS_A_SECOND = 0.1;
const turning = { on: !matchMedia("(prefers-reduced-motion: reduce)").matches, input: 0 };
const turningOf = (shown, state) => {
  const sets = shown.sets.map((set) => {
    const speeds = speedsOf(shown, state, set);
    const face = faceOf(set);
    const teeth = `Set ${set.set}: ${set.sun} teeth in the sun, ${[set.planet, set.outer_planet].filter((z) => z != null).join(" and ") || "?"} in a planet, ${set.ring} in the ring.`;
    const words = `Sun ${told(speeds.sun)}, carrier ${told(speeds.carrier)}, ring ${told(speeds.ring)}, planets ${told(speeds.planet)}${speeds.outer == null ? "" : ` and ${told(speeds.outer)}`}.`;
    const figure = make("figure", { class: "turning" }, face.picture, make("figcaption", {}, make("span", {}, teeth), " ", make("span", {}, words)));
    return { figure, turn: () => face.turn(speeds, turning.input) };
  });
  const still = () => sets.forEach((set) => set.turn());
  const button = make("button", { type: "button", class: "play" });
  const mine = (running += 1);
  let before = null;
  const frame = (now) => {
    if (mine !== running || !turning.on || !button.isConnected) return;
    turning.input += before === null ? 0 : (Math.min(now - before, 100) / 1000) * TURNS_A_SECOND;
    before = now;
    still();
    requestAnimationFrame(frame);
  };
  const start = () => {
    before = null;
    button.textContent = turning.on ? "stop" : "turn";
    button.setAttribute("aria-label", turning.on ? "stop the sets" : "let the sets turn");
    if (turning.on) requestAnimationFrame(frame);
  };
  button.addEventListener("click", () => { turning.on = !turning.on; start(); });
  still();
  // The button must stand on the page before the first frame.
  setTimeout(start, 0);
  return make("div", {},
    make("p", { class: "hint" }, "Speeds are per input speed, clockwise with the input, which turns once in ten seconds. Sizes are those of the teeth; planets turn about themselves at carrier plus pin speed. ", button),
    make("div", { class: "faces" }, ...sets.map((set) => set.figure)));
};

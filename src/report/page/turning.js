// The sets turning at their true relative speeds, seen along the axis.
//
// `speedsOf` is what a drawing of a turning set needs, `faceOf` draws one.

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

// The outline of a wheel as a path: its tooth, repeated; `round` closes it with a circle of
// that radius, so that it is a ring with a hole.
const wheelPath = (wheel, scale, round) => {
  const points = [];
  for (let k = 0; k < wheel.teeth; k += 1) {
    const angle = (2 * Math.PI * k) / wheel.teeth;
    const [cos, sin] = [Math.cos(angle) * scale, Math.sin(angle) * scale];
    for (const [x, y] of wheel.tooth.slice(1)) points.push(`${(x * cos - y * sin).toFixed(2)} ${(x * sin + y * cos).toFixed(2)}`);
  }
  const r = round == null ? null : (round * scale).toFixed(2);
  const circle = r == null ? "" : `M${r} 0A${r} ${r} 0 1 0 -${r} 0A${r} ${r} 0 1 0 ${r} 0Z`;
  return draw("path", { d: `M${points.join("L")}Z${circle}`, "fill-rule": "evenodd" });
};

const degrees = (radians) => (radians * 180) / Math.PI;

// A drawing of a set with its true teeth, all meshes in phase, and a function that turns it
// by its speeds times `input` turns; phases stay, because the speeds obey the set's law. A
// set whose planets are not known has no such drawing.
const faceOf = (set) => {
  const { wheels } = set;
  if (!wheels) return null;
  const scale = 112 / wheels.outside;
  const group = (style, ...parts) => draw("g", { class: style }, ...parts);
  const spoke = (from, to) => draw("line", { x1: from * scale, x2: to * scale });
  // A spoke on every wheel, so that the eye can follow it.
  const wheel = (data, style) => group(style, wheelPath(data, scale), spoke(0, data.pitch_radius * 0.8));
  const ring = group("ring", wheelPath(wheels.ring, scale, wheels.outside), spoke(wheels.ring.pitch_radius + 2, wheels.outside));
  const sun = wheel(wheels.sun, "sun");
  const arms = group("carrier");
  const moons = [];
  const add = (poses, data, kind) => poses.forEach(({ centre, turn }) => {
    const moon = group("planet", wheelPath(data, scale), spoke(0, data.pitch_radius * 0.8));
    arms.append(draw("line", { x2: centre[0] * scale, y2: centre[1] * scale }));
    moons.push({ moon, kind, centre, turn: degrees(turn) });
  });
  add(wheels.planets, wheels.planet, "planet");
  if (wheels.outer_planet) add(wheels.outer_planets, wheels.outer_planet, "outer");
  const picture = draw("svg", { viewBox: "-116 -116 232 232", role: "img", class: "face" }, draw("title", {}, `Set ${set.set} along its axis, with its teeth`));
  picture.append(ring, sun, ...moons.map(({ moon }) => moon), arms);
  const turn = (speeds, input) => {
    const angle = (speed) => (speed ?? 0) * input * 360;
    const carrier = angle(speeds.carrier);
    ring.setAttribute("transform", `rotate(${degrees(wheels.ring.turn) + angle(speeds.ring)})`);
    sun.setAttribute("transform", `rotate(${degrees(wheels.sun.turn) + angle(speeds.sun)})`);
    arms.setAttribute("transform", `rotate(${carrier})`);
    for (const { moon, kind, centre, turn: start } of moons) {
      const at = centre.map((length) => (length * scale).toFixed(3));
      // Placed by the carrier, then turned by what it turns more than the carrier.
      moon.setAttribute("transform", `rotate(${carrier}) translate(${at[0]} ${at[1]}) rotate(${start + angle(speeds[kind]) - carrier})`);
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
    const picture = face?.picture ?? make("p", { class: "hint" }, "The planets' teeth are not known, so there is no drawing.");
    const figure = make("figure", { class: "turning" }, picture, make("figcaption", {}, make("span", {}, teeth), " ", make("span", {}, words)));
    return { figure, turn: () => face?.turn(speeds, turning.input) };
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
    make("p", { class: "hint" }, "Speeds are per input speed, clockwise with the input, which turns once in ten seconds. Teeth are true and stay in mesh because the speeds obey them. ", button),
    make("div", { class: "faces" }, ...sets.map((set) => set.figure)));
};

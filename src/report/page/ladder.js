// A ladder of ratios on a log axis, forward above the line and reverse below it, the steps
// in per cent between; the chosen gear stands out. `room` is the width of its place, so that
// texts keep their size; `range` makes several comparable.
const ladderOf = (gears, chosen, room, range) => {
  const live = gears.filter((gear) => gear.ratio).map((gear) => ({ name: gear.gear, ratio: gear.ratio.value }));
  const [width, height, edge] = [Math.max(280, Math.min(640, room)), 118, 34];
  const sizes = live.map((gear) => Math.abs(gear.ratio));
  const [least, most] = range ?? [Math.min(...sizes), Math.max(...sizes)];
  const [low, high] = least < most ? [Math.log(least), Math.log(most)] : [Math.log(least) - 1, Math.log(least) + 1];
  // The first gear stands left, as the stair of gears is read.
  const at = (ratio) => edge + ((high - Math.log(Math.abs(ratio))) / (high - low)) * (width - 2 * edge);
  const picture = draw("svg", { width, height, viewBox: `0 0 ${width} ${height}`, role: "img", class: "ladder-strip" });
  picture.append(draw("title", {}, `Ratios: ${live.map((gear) => `${gear.name} ${short(gear.ratio, 3)}`).join(", ")}`));
  const text = (words, x, y, style) => picture.append(draw("text", { x, y, class: style, "text-anchor": "middle" }, words));
  const line = (x1, y1, x2, y2, style) => picture.append(draw("line", { x1, y1, x2, y2, class: style }));
  const level = 60;
  line(edge - 12, level, width - edge + 12, level, "axis");
  const forward = live.filter((gear) => gear.ratio > 0);
  forward.slice(1).forEach((gear, k) => {
    const [a, b] = [at(forward[k].ratio), at(gear.ratio)];
    if (b - a > 50) text(`${short((forward[k].ratio / gear.ratio - 1) * 100, 0)} %`, (a + b) / 2, level - 7, "quiet");
  });
  // Texts that would touch stand one row further out.
  const last = { up: [-99, -99], down: [-99, -99] };
  for (const gear of live) {
    const x = at(gear.ratio);
    const side = gear.ratio > 0 ? "up" : "down";
    const row = x - last[side][0] > 56 ? 0 : 1;
    last[side][row] = x;
    const sign = side === "up" ? -1 : 1;
    const is = gear.name === chosen;
    line(x, level, x, level + sign * (row ? 28 : 12), is ? "chosen" : "rung");
    picture.append(draw("circle", { cx: x, cy: level, r: is ? 6 : 3.5, class: is ? "chosen" : "rung" }));
    const base = side === "up" ? level - 17 - 16 * row : level + 24 + 16 * row;
    text(`${gear.name}: ${short(gear.ratio, 2)}`, Math.min(Math.max(x, 28), width - 28), base, is ? "chosen" : "name");
  }
  return make("figure", { class: "strip" }, picture);
};

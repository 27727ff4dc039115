// A ladder of ratios on a log axis, forward above the line and reverse below it, the steps
// in per cent between; the chosen gear stands out. `range` makes several comparable.
const ladderOf = (gears, chosen, range) => {
  const live = gears.filter((gear) => gear.ratio).map((gear) => ({ name: gear.gear, ratio: gear.ratio.value }));
  const [width, height, edge] = [640, 104, 30];
  const sizes = live.map((gear) => Math.abs(gear.ratio));
  const [least, most] = range ?? [Math.min(...sizes), Math.max(...sizes)];
  const [low, high] = least < most ? [Math.log(least), Math.log(most)] : [Math.log(least) - 1, Math.log(least) + 1];
  // The first gear stands left, as the stair of gears is read.
  const at = (ratio) => edge + ((high - Math.log(Math.abs(ratio))) / (high - low)) * (width - 2 * edge);
  const picture = draw("svg", { viewBox: `0 0 ${width} ${height}`, role: "img", class: "ladder-strip" });
  picture.append(draw("title", {}, `Ratios: ${live.map((gear) => `${gear.name} ${short(gear.ratio, 3)}`).join(", ")}`));
  const text = (words, x, y, style) => picture.append(draw("text", { x, y, class: style, "text-anchor": "middle" }, words));
  const line = (x1, y1, x2, y2, style) => picture.append(draw("line", { x1, y1, x2, y2, class: style }));
  line(edge - 12, 52, width - edge + 12, 52, "axis");
  const forward = live.filter((gear) => gear.ratio > 0);
  forward.slice(1).forEach((gear, k) => {
    const [a, b] = [at(forward[k].ratio), at(gear.ratio)];
    if (b - a > 34) text(`${short((forward[k].ratio / gear.ratio - 1) * 100, 0)} %`, (a + b) / 2, 45, "quiet");
  });
  // Texts that would touch stand one row further out.
  const last = { up: [-99, -99], down: [-99, -99] };
  for (const gear of live) {
    const x = at(gear.ratio);
    const side = gear.ratio > 0 ? "up" : "down";
    const row = x - last[side][0] > 44 || last[side][0] < last[side][1] ? 0 : 1;
    last[side][row] = x;
    const sign = side === "up" ? -1 : 1;
    const is = gear.name === chosen;
    line(x, 52, x, 52 + sign * (row ? 26 : 12), is ? "chosen" : "rung");
    picture.append(draw("circle", { cx: x, cy: 52, r: is ? 6 : 3.5, class: is ? "chosen" : "rung" }));
    const base = side === "up" ? 34 - 16 * row : 76 + 16 * row;
    text(`${gear.name}: ${short(gear.ratio, 2)}`, Math.min(Math.max(x, 26), width - 26), base, is ? "chosen" : "name");
  }
  return make("figure", { class: "strip" }, picture);
};

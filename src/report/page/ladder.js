// A ladder of ratios on a log axis, forward above the line and reverse below it, the steps
// in per cent between; the chosen gear stands out. `room` is the width of its place, so that
// texts keep their size; `range` makes several comparable.
const LABEL = 58;
const ROW = 16;

// For every gear the row of its label, 0 beside the axis: the first one with room.
const rowsOf = (places) => {
  const ends = [];
  return places.map((x) => {
    let row = ends.findIndex((end) => x - end >= LABEL);
    if (row < 0) row = ends.length;
    ends[row] = x;
    return row;
  });
};

const ladderOf = (gears, chosen, room, range) => {
  const live = gears.filter((gear) => gear.ratio).map((gear) => ({ name: gear.gear, ratio: gear.ratio.value }));
  const sizes = live.map((gear) => Math.abs(gear.ratio));
  const [width, edge] = [Math.max(280, Math.min(640, room)), 34];
  const [least, most] = range ?? [Math.min(...sizes), Math.max(...sizes)];
  const [low, high] = least < most ? [Math.log(least), Math.log(most)] : [Math.log(least) - 1, Math.log(least) + 1];
  // The first gear stands left, as the stair of gears is read.
  const at = (ratio) => edge + ((high - Math.log(Math.abs(ratio))) / (high - low)) * (width - 2 * edge);
  const side = (wanted) => {
    const all = live.filter((gear) => Math.sign(gear.ratio) === wanted).map((gear) => ({ ...gear, x: at(gear.ratio) })).sort((a, b) => a.x - b.x);
    const rows = rowsOf(all.map((gear) => gear.x));
    return { all, rows, most: Math.max(-1, ...rows) };
  };
  const [forward, reverse] = [side(1), side(-1)];
  const level = 30 + ROW * Math.max(0, forward.most);
  const height = level + 14 + ROW * (reverse.most + 1);
  const picture = draw("svg", { width, height, viewBox: `0 0 ${width} ${height}`, role: "img", class: "ladder-strip" });
  picture.append(draw("title", {}, `Ratios: ${live.map((gear) => `${gear.name} ${short(gear.ratio, 3)}`).join(", ")}`));
  const line = (x1, y1, x2, y2, style) => picture.append(draw("line", { x1, y1, x2, y2, class: style }));
  // Lines first, so that no line runs through a text.
  const texts = [];
  const text = (words, x, y, style) => texts.push(draw("text", { x, y, class: style, "text-anchor": "middle" }, words));
  line(edge - 12, level, width - edge + 12, level, "axis");
  for (const [{ all, rows }, sign] of [[forward, -1], [reverse, 1]]) {
    all.forEach((gear, k) => {
      const is = gear.name === chosen;
      line(gear.x, level, gear.x, level + sign * (10 + ROW * rows[k]), is ? "chosen" : "rung");
      picture.append(draw("circle", { cx: gear.x, cy: level, r: is ? 6 : 3.5, class: is ? "chosen" : "rung" }));
      const base = level + (sign < 0 ? -14 - ROW * rows[k] : 22 + ROW * rows[k]);
      text(`${gear.name}: ${short(gear.ratio, 2)}`, Math.min(Math.max(gear.x, 29), width - 29), base, is ? "chosen" : "name");
    });
  }
  forward.all.slice(1).forEach((gear, k) => {
    const before = forward.all[k];
    if (gear.x - before.x > 60) text(`${short((before.ratio / gear.ratio - 1) * 100, 0)} %`, (before.x + gear.x) / 2, level - 5, "quiet");
  });
  picture.append(...texts);
  return make("figure", { class: "strip" }, picture);
};

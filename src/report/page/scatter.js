// The field of points. It is painted twice, faint and full; brushing shows the full one
// inside the brush, so that a frame costs the same for any number of points.
const field = {
  canvas: byId("points"),
  x: null, y: null, colour: null, classes: null, edge: [],
  // The brush in values: [x from, x to, y from, y to], or null where all is kept.
  brush: null,
  current: -1,
  faint: null, full: null,
};

// A round step so that about so many ticks fit.
const ticksOf = (low, high, about, whole) => {
  const raw = (high - low) / about || 1;
  const power = 10 ** Math.floor(Math.log10(raw));
  let step = [1, 2, 5, 10].find((factor) => factor * power >= raw) * power;
  if (whole) step = Math.max(1, Math.round(step));
  const ticks = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + step * 1e-9; k += 1) ticks.push(k * step);
  return ticks;
};

// From values to pixels and back, with a little air around the points.
const scaleOf = (column, from, to) => {
  const air = (column.high - column.low) * 0.05 || 0.5;
  const [low, high] = [column.low - air, column.high + air];
  return {
    low, high,
    at: (value) => from + ((value - low) / (high - low)) * (to - from),
    value: (pixel) => low + ((pixel - from) / (to - from)) * (high - low),
  };
};

const measure = () => {
  const width = Math.max(240, field.canvas.parentElement.clientWidth);
  const height = Math.round(Math.min(560, Math.max(300, width * 0.56)));
  const left = width < 480 ? 48 : 64;
  Object.assign(field, { width, height, left, right: width - 14, top: 14, bottom: height - 48 });
  field.across = scaleOf(field.x, left, field.right);
  field.up = scaleOf(field.y, field.bottom, field.top);
};

// A mark of a class: the shapes differ as well as the colours.
const mark = (context, group, x, y, size) => {
  context.beginPath();
  if (group === 1) context.rect(x - size * 0.85, y - size * 0.85, size * 1.7, size * 1.7);
  else if (group === 2) { context.moveTo(x, y - size * 1.15); context.lineTo(x + size * 1.1, y + size * 0.8); context.lineTo(x - size * 1.1, y + size * 0.8); context.closePath(); }
  else if (group === 3) { context.moveTo(x, y - size * 1.25); context.lineTo(x + size * 1.25, y); context.lineTo(x, y + size * 1.25); context.lineTo(x - size * 1.25, y); context.closePath(); }
  else context.arc(x, y, size, 0, 2 * Math.PI);
};

const inkOf = (group) => colour(group < 0 ? "unclassed" : `class-${group + 1}`);

const layer = (paint) => {
  const ratio = Math.min(3, window.devicePixelRatio || 1);
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(field.width * ratio);
  canvas.height = Math.round(field.height * ratio);
  const context = canvas.getContext("2d");
  context.scale(ratio, ratio);
  paint(context);
  return canvas;
};

const paintAxes = (context) => {
  const { left, right, top, bottom, width, height, across, up } = field;
  context.fillStyle = colour("paper");
  context.fillRect(0, 0, width, height);
  context.font = "12px system-ui, 'DejaVu Sans', sans-serif";
  context.lineWidth = 1;
  const line = (x1, y1, x2, y2) => { context.beginPath(); context.moveTo(x1, y1); context.lineTo(x2, y2); context.stroke(); };
  context.textAlign = "center";
  context.textBaseline = "top";
  for (const tick of ticksOf(across.low, across.high, (right - left) / 90, field.x.whole)) {
    const x = Math.round(across.at(tick)) + 0.5;
    context.strokeStyle = colour("grid");
    line(x, top, x, bottom);
    context.fillStyle = colour("muted");
    context.fillText(short(tick), x, bottom + 6);
  }
  context.textAlign = "right";
  context.textBaseline = "middle";
  for (const tick of ticksOf(up.low, up.high, (bottom - top) / 55, field.y.whole)) {
    const y = Math.round(up.at(tick)) + 0.5;
    context.strokeStyle = colour("grid");
    line(left, y, right, y);
    context.fillStyle = colour("muted");
    context.fillText(short(tick), left - 6, y);
  }
  context.strokeStyle = colour("muted");
  line(left, bottom + 0.5, right, bottom + 0.5);
  line(left - 0.5, top, left - 0.5, bottom);
  const named = (column, room) => {
    const whole = `${column.title} (${column.higher ? "more" : "less"} is better)`;
    return context.measureText(whole).width < room ? whole : column.title;
  };
  context.fillStyle = colour("text");
  context.textAlign = "center";
  context.fillText(named(field.x, right - left), (left + right) / 2, height - 12);
  context.save();
  context.translate(11, (top + bottom) / 2);
  context.rotate(-Math.PI / 2);
  context.fillText(named(field.y, bottom - top), 0, 0);
  context.restore();
};

const place = (k) => [field.across.at(field.x.values[k]), field.up.at(field.y.values[k])];
const seen = (k) => !Number.isNaN(field.x.values[k]) && !Number.isNaN(field.y.values[k]);

const paintPoints = (context, strength) => {
  const inks = [-1, 0, 1, 2, 3].map(inkOf);
  context.globalAlpha = 0.45 * strength;
  const size = points.count > 4000 ? 2 : 3;
  for (let group = 3; group >= -1; group -= 1) {
    context.fillStyle = inks[group + 1];
    for (let k = 0; k < points.count; k += 1) {
      if (points.onFront[k] || field.classes.of[k] !== group || !seen(k)) continue;
      const [x, y] = place(k);
      context.fillRect(x - size / 2, y - size / 2, size, size);
    }
  }
  context.globalAlpha = strength;
  context.strokeStyle = colour("accent");
  context.lineWidth = 1.5;
  context.beginPath();
  field.edge.forEach((k, rank) => {
    const [x, y] = place(k);
    if (rank > 0) context.lineTo(x, place(field.edge[rank - 1])[1]);
    context[rank > 0 ? "lineTo" : "moveTo"](x, y);
  });
  context.stroke();
  const front = points.front.filter(seen);
  for (const k of [...front].reverse()) {
    const [x, y] = place(k);
    mark(context, field.classes.of[k], x, y, 5.5);
    context.fillStyle = inks[field.classes.of[k] + 1];
    context.fill();
    context.strokeStyle = colour("paper");
    context.lineWidth = 1.5;
    context.stroke();
  }
  paintNames(context, front);
};

// Names of the front's layouts where there is room, first come first served.
const paintNames = (context, front) => {
  context.font = "12px system-ui, 'DejaVu Sans', sans-serif";
  context.textAlign = "left";
  context.textBaseline = "middle";
  const taken = front.map((k) => { const [x, y] = place(k); return [x - 6, y - 6, x + 6, y + 6]; });
  for (const k of front) {
    const [x, y] = place(k);
    const wide = context.measureText(points.names[k]).width;
    const spots = [[x + 9, y - 9], [x + 9, y + 9], [x - 9 - wide, y - 9], [x - 9 - wide, y + 9]];
    const free = spots.find(([a, b]) => {
      const box = [a - 2, b - 7, a + wide + 2, b + 7];
      const inside = box[0] > field.left && box[2] < field.right && box[1] > field.top && box[3] < field.bottom;
      return inside && taken.every((t) => box[0] >= t[2] || box[2] <= t[0] || box[1] >= t[3] || box[3] <= t[1]);
    });
    if (!free) continue;
    taken.push([free[0] - 2, free[1] - 7, free[0] + wide + 2, free[1] + 7]);
    context.lineWidth = 3;
    context.strokeStyle = colour("paper");
    context.strokeText(points.names[k], ...free);
    context.fillStyle = colour("text");
    context.fillText(points.names[k], ...free);
  }
};

// Both layers anew: when axes, colours, size or the light change.
const repaint = () => {
  if (!points.known || field.x === null) return;
  measure();
  const { canvas } = field;
  field.full = layer((context) => { paintAxes(context); paintPoints(context, 1); });
  field.faint = layer((context) => { paintAxes(context); paintPoints(context, 0.22); });
  canvas.width = field.full.width;
  canvas.height = field.full.height;
  canvas.style.height = `${field.height}px`;
  show();
};

// One frame.
const show = () => {
  const context = field.canvas.getContext("2d");
  const ratio = field.canvas.width / field.width;
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.drawImage(field.brush ? field.faint : field.full, 0, 0);
  context.scale(ratio, ratio);
  if (field.brush) {
    const [x1, x2, y1, y2] = field.brush;
    const within = (value, from, to) => Math.min(Math.max(value, from), to);
    const [a, b] = [field.across.at(x1), field.across.at(x2)].map((at) => within(at, field.left, field.right));
    const [c, d] = [field.up.at(y2), field.up.at(y1)].map((at) => within(at, field.top, field.bottom));
    context.save();
    context.beginPath();
    context.rect(a, c, b - a, d - c);
    context.clip();
    context.drawImage(field.full, 0, 0, field.width, field.height);
    context.restore();
    context.strokeStyle = colour("accent");
    context.lineWidth = 1;
    context.setLineDash([5, 3]);
    context.strokeRect(a, c, b - a, d - c);
    context.setLineDash([]);
  }
  if (field.current >= 0 && seen(field.current)) {
    const [x, y] = place(field.current);
    context.strokeStyle = colour("text");
    context.lineWidth = 2;
    context.beginPath();
    context.arc(x, y, 10, 0, 2 * Math.PI);
    context.stroke();
  }
};

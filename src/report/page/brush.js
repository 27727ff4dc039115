// What pointer and keys do in the field, and what is kept by it.
const bounds = ["x-from", "x-to", "y-from", "y-to"].map(byId);

const kept = (k) => {
  if (!field.brush) return true;
  const [x1, x2, y1, y2] = field.brush;
  const [x, y] = [field.x.values[k], field.y.values[k]];
  // A value is as near as its packing.
  const [dx, dy] = [field.x, field.y].map((column) => (column.high - column.low) / 60000);
  return x >= x1 - dx && x <= x2 + dx && y >= y1 - dy && y <= y2 + dy;
};

// Rows of the front's table by place, once.
const rowOf = new Map([...document.querySelectorAll("table.sortable tbody tr")].map((row) => [row.cells[0].dataset.key, row]));

let behindWaits = 0;
const filter = () => {
  let [front, all] = [0, 0];
  for (let k = 0; k < points.count; k += 1) if (kept(k)) all += 1;
  for (const k of points.front) {
    const keep = kept(k);
    front += keep;
    const row = rowOf.get(points.names[k]);
    if (row && row.hidden === keep) row.hidden = !keep;
  }
  const share = `${front} of ${points.front.length} on the front, ${all.toLocaleString("en")} of ${points.count.toLocaleString("en")} in all`;
  byId("kept").textContent = field.brush ? `Kept: ${share}. The table below shows these only.` : `All are kept: ${share.replace(/ of \S+/g, "")}.`;
  clearTimeout(behindWaits);
  behindWaits = setTimeout(listBehind, 150);
};

// The best that is kept behind the front, in the order of the first axis.
const MOST_BEHIND = 25;
const listBehind = () => {
  const list = byId("behind");
  const all = [];
  if (field.brush) for (let k = 0; k < points.count; k += 1) if (!points.onFront[k] && seen(k) && kept(k)) all.push(k);
  list.hidden = all.length === 0;
  if (list.hidden) return;
  const sign = field.x.higher ? -1 : 1;
  all.sort((a, b) => sign * (field.x.values[a] - field.x.values[b]));
  const columns = [...new Set([field.x, field.y, field.colour])];
  const rows = all.slice(0, MOST_BEHIND).map((k) => [
    make("button", { type: "button", class: "link", click: (event) => openLayout(points.names[k], event.currentTarget) }, points.names[k]),
    ...columns.map((column) => [scoreText(column, column.values[k]), poorScore(column, column.values[k]) ? "number poor" : "number"]),
  ]);
  const table = tableOf(["layout", ...columns.map((column) => [column.words, "number"])], rows, "Kept layouts behind the front");
  list.querySelector("summary").textContent = `Kept behind the front: ${all.length.toLocaleString("en")}${all.length > MOST_BEHIND ? `, the first ${MOST_BEHIND} by ${field.x.words}` : ""}`;
  list.lastElementChild.replaceWith(table);
};

const setBrush = (brush, from) => {
  field.brush = brush;
  if (from !== "bounds") bounds.forEach((input, k) => { input.value = brush ? Number(brush[k].toPrecision(5)) : ""; });
  show();
  filter();
};

const fromBounds = () => {
  const given = bounds.map((input) => (input.value === "" ? null : Number(input.value)));
  const open = [-Infinity, Infinity, -Infinity, Infinity];
  setBrush(given.every((value) => value === null) ? null : given.map((value, k) => value ?? open[k]), "bounds");
};

const nearest = (x, y) => {
  let [best, least] = [-1, 14 * 14];
  for (let k = 0; k < points.count; k += 1) {
    if (!seen(k)) continue;
    const [a, b] = place(k);
    // The front is easier to hit than what lies behind it.
    const away = ((a - x) ** 2 + (b - y) ** 2) * (points.onFront[k] ? 1 : 6);
    if (away < least) [best, least] = [k, away];
  }
  return best;
};

const point = (k) => {
  field.current = k;
  const told = [...new Set([field.x, field.y, field.colour])].map((column) => `${column.words} ${scoreText(column, column.values[k])}`);
  byId("readout").textContent = k < 0 ? "" : `${points.names[k]}${points.onFront[k] ? "" : " (behind the front)"}: ${told.join(", ")}`;
  requestAnimationFrame(show);
};

const spot = (event) => {
  const box = field.canvas.getBoundingClientRect();
  return [event.clientX - box.left, event.clientY - box.top];
};

const watchPointer = () => {
  const { canvas } = field;
  let start = null;
  let dragged = false;
  canvas.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    [start, dragged] = [spot(event), false];
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    const [x, y] = spot(event);
    if (!start) {
      const k = nearest(x, y);
      canvas.style.cursor = k < 0 ? "crosshair" : "pointer";
      if (k >= 0 && k !== field.current) point(k);
      return;
    }
    dragged = dragged || Math.hypot(x - start[0], y - start[1]) > 6;
    if (!dragged) return;
    const [x1, x2] = [start[0], x].sort((a, b) => a - b);
    const [y1, y2] = [start[1], y].sort((a, b) => a - b);
    setBrush([field.across.value(x1), field.across.value(x2), field.up.value(y2), field.up.value(y1)]);
  });
  canvas.addEventListener("pointerup", (event) => {
    if (!start) return;
    const [x, y] = start;
    start = null;
    if (dragged) return;
    const k = nearest(x, y);
    if (k >= 0) { point(k); openLayout(points.names[k], canvas); } else if (field.brush) setBrush(null);
  });
  canvas.addEventListener("pointercancel", () => { start = null; });
};

const watchKeys = () => {
  field.canvas.addEventListener("keydown", (event) => {
    const row = points.front.filter((k) => seen(k) && kept(k)).sort((a, b) => field.x.values[a] - field.x.values[b]);
    const at = row.indexOf(field.current);
    const go = { ArrowRight: at + 1, ArrowUp: at + 1, ArrowLeft: at - 1, ArrowDown: at - 1, Home: 0, End: row.length - 1 }[event.key];
    if (go !== undefined && row.length) point(row[Math.min(Math.max(go, 0), row.length - 1)]);
    else if ((event.key === "Enter" || event.key === " ") && field.current >= 0) openLayout(points.names[field.current], field.canvas);
    else if (event.key === "Escape" && field.brush) setBrush(null);
    else return;
    event.preventDefault();
  });
  bounds.forEach((input) => input.addEventListener("input", fromBounds));
  byId("keep-all").addEventListener("click", () => setBrush(null));
};

const legend = () => {
  const signs = ["●", "■", "▲", "◆"];
  const names = field.classes.ends.map(([first, last], group) => {
    const told = [...new Set([first, last].map((value) => scoreText(field.colour, value)))].join(" to ");
    const sign = make("span", { "aria-hidden": "true" }, signs[group]);
    // Not as an attribute: the page's policy forbids styles in elements.
    sign.style.color = `var(--class-${group + 1})`;
    return make("li", {}, sign, ` ${told}`);
  });
  byId("classes").replaceChildren(
    make("li", {}, `${field.colour.words}:`), ...names,
    make("li", {}, make("span", { class: "edge", "aria-hidden": "true" }), " nothing beats these on both axes"),
    make("li", {}, "large marks: the front; small: layouts behind it"),
  );
};

const choose = () => {
  const chosen = (id) => points.columns[Number(byId(id).value)];
  Object.assign(field, { x: chosen("axis-x"), y: chosen("axis-y"), colour: chosen("colour") });
  field.classes = classesOf(field.colour);
  field.edge = edgeOf(field.x, field.y);
  byId("bounds-x").textContent = field.x.title;
  byId("bounds-y").textContent = field.y.title;
  byId("points-name").textContent = `${points.count.toLocaleString("en")} layouts as points: across ${field.x.title}, upwards ${field.y.title}, colour ${field.colour.title}.`;
  legend();
  repaint();
  setBrush(null);
};

const startField = async () => {
  await readPoints();
  const usable = points.columns.map((_, k) => k).filter((k) => points.columns[k].usable);
  if (usable.length === 0) return;
  document.documentElement.classList.add("explored");
  byId("scatter").hidden = false;
  // What has one value only divides nothing.
  const telling = usable.filter((k) => points.columns[k].low < points.columns[k].high);
  const wanted = [...new Set([...points.objectives.filter((k) => telling.includes(k)), ...telling, ...usable])];
  ["axis-x", "axis-y", "colour"].forEach((id, rank) => {
    const chosen = wanted[Math.min(rank, wanted.length - 1)];
    byId(id).append(...usable.map((k) => make("option", { value: k, selected: k === chosen }, points.columns[k].title)));
    byId(id).addEventListener("change", choose);
  });
  watchPointer();
  watchKeys();
  choose();
  new ResizeObserver(() => { if (field.canvas.parentElement.clientWidth !== field.width) repaint(); }).observe(field.canvas.parentElement);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", repaint);
  performance.mark("field painted");
};

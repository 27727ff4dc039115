// The page of one layout, beside the report.
const panel = byId("panel");
const accounts = new Map();

// The account of a layout, unpacked once; none where the report holds none.
const accountOf = (id) => {
  const packed = byId(`account-${id}`);
  if (!packed) return Promise.resolve(null);
  if (!accounts.has(id)) accounts.set(id, unpackText(packed.textContent).then(inLongWords).then(JSON.parse));
  return accounts.get(id);
};

let opener = null;
const openLayout = async (id, from) => {
  opener = from ?? opener;
  const told = await accountOf(id);
  running += 1;
  panel.replaceChildren(...[headOf(id), ...(told ? bodyOf(id, told) : [...behindOf(id), buildingOf(id)]), scoresOf(id)].filter((part) => part != null));
  panel.dataset.layout = id;
  panel.hidden = false;
  document.body.classList.add("beside");
  panel.scrollTop = 0;
  for (const row of rowOf.values()) row.classList.toggle("opened", row.cells[0].dataset.key === id);
  if (points.known && points.place.has(id)) point(points.place.get(id));
  byId("panel-name").focus();
  // The report beside it is narrower now: what was clicked stays in sight.
  opener?.scrollIntoView({ block: "nearest" });
};

const closeLayout = () => {
  running += 1;
  panel.hidden = true;
  panel.replaceChildren();
  document.body.classList.remove("beside");
  rowOf.forEach((row) => row.classList.remove("opened"));
  opener?.focus();
  opener = null;
};

// Before and after in the order of the front.
const neighbour = (id, by) => {
  const names = [...rowOf.keys()];
  const at = names.indexOf(id);
  return at < 0 ? null : names[at + by];
};

const headOf = (id) => {
  const details = byId(`layout-${id}`);
  const to = (name, words) => (name ? make("button", { type: "button", click: () => openLayout(name) }, words) : null);
  const spoken = details?.querySelector("summary span")?.textContent ?? "behind the front";
  return make("header", { class: "panel-head" },
    make("div", {}, make("h2", { id: "panel-name", tabindex: "-1" }, `Layout ${id}`), make("p", { class: "hint" }, spoken)),
    make("div", { class: "buttons" }, to(neighbour(id, -1), "previous"), to(neighbour(id, 1), "next"), make("button", { type: "button", class: "close", click: closeLayout }, "close")));
};

// What its entry below tells a builder of a reduction.
const buildingOf = (id) => byId(`layout-${id}`)?.querySelector(".building")?.cloneNode(true);

// The gear selector and what changes with it, then what stays.
const bodyOf = (id, told) => {
  const { shown } = told;
  const place = make("div", { class: "gear-page", "aria-live": "off" });
  const choose = (state) => { place.dataset.gear = state.gear; place.replaceChildren(...gearOf(told, state, buildingOf(id))); };
  const radios = shown.gears.map((state, k) => {
    const input = make("input", { type: "radio", name: "gear", value: state.gear, checked: k === 0, change: () => choose(state) });
    return make("label", {}, input, make("span", {}, state.gear));
  });
  const selector = make("fieldset", { class: "gears" }, make("legend", {}, "Gear"), ...radios);
  if (shown.gears.length) choose(shown.gears[0]);
  return [shown.gears.length === 1 && ONE_RATIO ? null : selector, place, ...wholeOf(told), repeatOf(id)];
};

const repeatOf = (id) => {
  const details = byId(`layout-${id}`);
  const file = details.querySelector("pre.file").textContent;
  const link = make("a", { class: "button", download: `${id}.toml` }, `save ${id}.toml`);
  link.href = URL.createObjectURL(new Blob([file], { type: "text/plain" }));
  return section("To repeat and to keep",
    make("p", {}, "In the folder of this report:"),
    make("pre", { class: "command" }, details.querySelector("pre.command").textContent),
    make("p", {}, "The layout as a file: ", link),
    make("details", {}, make("summary", {}, "read it here"), make("pre", {}, file)));
};

const behindOf = (id) => [make("p", {}, rowOf.has(id)
  ? "The front has more layouts than this page can tell of in full; the command in its entry below tells all of this one."
  : `This layout meets the request, but others beat it. The report keeps its scores; its wiring and gears stand in candidates.csv in the row ${id}.`)];

const scoresOf = (id) => {
  const k = points.known ? points.place.get(id) : undefined;
  if (k === undefined) return null;
  const rows = points.columns.map((column) => {
    const value = column.values[k];
    const better = column.values.reduce((sum, other) => sum + (column.higher ? other > value : other < value), 0);
    const rank = Number.isNaN(value) ? "–" : better === 0 ? "none is better" : `${better.toLocaleString("en")} better`;
    return [column.words, [scoreText(column, value), poorScore(column, value) ? "number poor" : "number"], [rank, "number"]];
  });
  return section("Scores", tableOf(["criterion", ["score", "number"], ["among all", "number"]], rows, `Scores of ${id}`));
};

addEventListener("keydown", (event) => {
  if (event.key === "Escape" && !panel.hidden && event.target !== field.canvas) closeLayout();
});
// A name in the table opens the page; without this script it leads to the entry below.
for (const [id, row] of rowOf) {
  row.querySelector("a").addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    openLayout(id, event.currentTarget);
  });
  row.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && event.target === row) openLayout(id, row);
  });
}

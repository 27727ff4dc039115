// Up to three layouts side by side.
const compared = [];
const MOST = 3;

const compare = async () => {
  const place = byId("compare");
  place.hidden = compared.length === 0;
  for (const [id, row] of rowOf) {
    const box = row.querySelector("input.tick");
    box.checked = compared.includes(id);
    box.disabled = !box.checked && compared.length >= MOST;
  }
  if (place.hidden) return;
  const ids = [...compared];
  const told = await Promise.all(ids.map(accountOf));
  const gears = told.map((one) => (one ? one.shown.gears.filter((gear) => gear.ratio) : []));
  const sizes = gears.flat().map((gear) => Math.abs(gear.ratio.value));
  const range = sizes.length ? [Math.min(...sizes), Math.max(...sizes)] : null;
  const rows = [ONE_RATIO ? ["ratio", ...told.map((one) => (one ? stacked(one.shown.gears[0]?.ratio?.exact) : "not in the report"))] : [make("span", {}, "ladder", make("small", {}, "all on one scale")), ...gears.map((list) => (list.length ? ladderOf(list, null, 320, range) : "not in the report"))]];
  rows.push(["drawing", ...told.map((one) => (one && pictureOf(one, "stick")) ?? "does not nest")]);
  rows.push(["wiring", ...told.map((one) => [one?.shown.canonical ?? "–", "spelling"])]);
  rows.push([make("span", {}, "teeth", make("small", {}, "sun / planet / ring")), ...told.map((one) => one?.shown.sets.map((set) => [set.sun, set.planet ?? "?", set.outer_planet, set.ring].filter((teeth) => teeth != null).join("/")).join(", ") ?? "–")]);
  for (const column of points.columns.filter((one) => one.usable)) {
    const values = ids.map((id) => column.values[points.place.get(id)]);
    const known = values.filter((value) => !Number.isNaN(value));
    // What reads the same is the same.
    const best = scoreText(column, column.higher ? Math.max(...known) : Math.min(...known));
    const differ = known.some((value) => scoreText(column, value) !== best);
    rows.push([make("span", {}, column.words, make("small", {}, `${column.higher ? "more" : "less"} is better`)), ...values.map((value) => {
      const text = scoreText(column, value);
      return [differ && text === best ? make("strong", {}, text, make("span", { class: "best" }, " best")) : text, poorScore(column, value) ? "number poor" : "number"];
    })]);
  }
  if (ids.join() !== compared.join()) return;
  const heads = ids.map((id) => [make("button", { type: "button", class: "link", click: (event) => openLayout(id, event.currentTarget) }, id)]);
  place.lastElementChild.replaceWith(tableOf(["", ...heads], rows, "Layouts side by side"));
};

for (const [id, row] of rowOf) {
  const box = make("input", { type: "checkbox", class: "tick", "aria-label": `${id} side by side with others` });
  box.addEventListener("change", () => {
    const at = compared.indexOf(id);
    if (at >= 0) compared.splice(at, 1);
    else if (compared.length < MOST) compared.push(id);
    compare();
  });
  row.cells[0].prepend(box);
}

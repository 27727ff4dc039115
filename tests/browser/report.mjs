// Opens reports in a browser and uses them as a reader would, by pointer and by keys alone.
//
//   node tests/browser/report.mjs LARGE.html REPORT.html …
//
// Needs playwright-core where node finds it, and a Chromium (CHROMIUM, or its usual place).
// The first page is the one whose speed is measured; SHOTS names a folder for screenshots.
import assert from "node:assert/strict";
import { createRequire } from "node:module";
import path from "node:path";
import { pathToFileURL } from "node:url";

const require = createRequire(path.join(process.env.NODE_PLACE ?? process.cwd(), "x.js"));
const { chromium } = require("playwright-core");

const [large, ...reports] = process.argv.slice(2);
const FIRST_PAINT_MS = 1000;
const FRAME_MS = 50;
let passed = 0;

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});

// A page that is watched for errors and for anything it asks of a network.
const opened = async (file, options) => {
  const context = await browser.newContext({ acceptDownloads: true, ...options });
  const page = await context.newPage();
  const url = pathToFileURL(path.resolve(file)).href;
  const faults = [];
  page.on("console", (message) => { if (["error", "warning"].includes(message.type())) faults.push(`console: ${message.text()}`); });
  page.on("pageerror", (error) => faults.push(`error: ${error.stack}`));
  page.on("request", (request) => { if (request.url() !== url && !request.url().startsWith("blob:")) faults.push(`request: ${request.url()}`); });
  await page.goto(url);
  await page.waitForSelector("html.explored");
  return { page, faults, close: async () => { assert.deepEqual(faults, []); await context.close(); } };
};

const check = async (name, work) => {
  await work();
  passed += 1;
  console.log(`  ok: ${name}`);
};

const rows = (page) => page.locator("table.sortable tbody tr:visible").count();
const title = (page) => page.locator("#panel-name").textContent();

// What the panel shows of the chosen gear: each picture, the turning sets, figures, formula.
const shown = (page) => page.evaluate(() => {
  const parts = {};
  for (const figure of document.querySelectorAll(".gear-page .picture")) parts[figure.dataset.picture.split("-")[0]] = figure.innerHTML;
  // A reduction has one ratio, so no ladder.
  parts.ladder = document.querySelector(".gear-page .strip")?.innerHTML ?? "none";
  parts.turning = [...document.querySelectorAll(".turning figcaption")].map((one) => one.textContent).join();
  parts.numbers = document.querySelector(".gear-page .facts").textContent;
  parts.speeds = [...document.querySelectorAll(".gear-page table")].map((one) => one.textContent).join();
  parts.formula = [...document.querySelectorAll(".gear-page > section > .formula")].map((one) => one.innerHTML).join();
  return parts;
});

// Every part differs between two gears; both have the same parts.
const differs = (before, after) => {
  assert.deepEqual(Object.keys(after), Object.keys(before));
  for (const [part, text] of Object.entries(before)) assert.notEqual(after[part], text, `${part} is the same in another gear`);
};

const isReduction = (page) => page.evaluate(() => document.body.classList.contains("one-ratio"));

// A reduction has nothing to choose; its page tells a builder all that its entry does.
const buildingTold = async (page, id) => {
  assert.equal(await page.locator("#panel .gears").count(), 0);
  const [inPanel, inEntry] = await page.evaluate((id) => ["#panel", `#layout-${id}`].map((place) => document.querySelector(`${place} .building`)?.textContent), [id]);
  assert.ok(inEntry.includes("Building it") && inEntry.includes("Proof of mesh"));
  assert.equal(inPanel, inEntry);
  assert.ok(!(await page.locator("#panel").textContent()).includes("engaged"), "a reduction engages nothing");
};

const shot = async (page, name) => {
  if (process.env.SHOTS) await page.screenshot({ path: path.join(process.env.SHOTS, `${name}.png`) });
};

// Where a point of the front lies on the screen, as the script itself has it.
const pointOf = (page, rank) => page.evaluate((rank) => {
  field.canvas.scrollIntoView({ block: "center" });
  const box = field.canvas.getBoundingClientRect();
  const [x, y] = place(points.front[rank]);
  return { x: box.left + x, y: box.top + y, name: points.names[points.front[rank]] };
}, rank);

// The first layout of the front that nests, or else the first: it has every picture.
const fullest = (page) => page.evaluate(() => {
  const nests = points.columns.find((column) => column.name === "nests");
  const place = points.front.find((k) => nests && nests.values[k] > 0.5) ?? points.front[0];
  return { name: points.names[place], nests: Boolean(nests && nests.values[place] > 0.5) };
});

const byPointer = async (file, name, width, scheme) => {
  const { page, close } = await opened(file, { viewport: { width, height: 900 }, colorScheme: scheme });
  await shot(page, `${name}-${width}-${scheme}-top`);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "the report is wider than the window");
  const all = await rows(page);
  assert.ok(all > 0, "the front is empty");
  // A drag around the first point of the front leaves it, and not what lies elsewhere.
  const at = await pointOf(page, 0);
  await page.mouse.move(at.x - 8, at.y - 8);
  await page.mouse.down();
  await page.mouse.move(at.x + 4, at.y + 4);
  await page.mouse.move(at.x + 8, at.y + 8);
  await page.mouse.up();
  const kept = await rows(page);
  const inside = await page.evaluate(() => points.front.filter(kept).map((k) => points.names[k]));
  assert.ok(inside.includes(at.name));
  // The table has those of the front that the page shows; the plot has all.
  const listed = await page.evaluate((names) => names.filter((name) => rowOf.has(name)), inside);
  assert.equal(kept, listed.length);
  assert.ok(kept < all || all === 1, "brushing hides nothing");
  await shot(page, `${name}-${width}-${scheme}-brush`);
  await page.click("#keep-all");
  assert.equal(await rows(page), all);
  // A click on a point opens its layout beside the report, or over it on a small screen.
  const point = await pointOf(page, 0);
  await page.mouse.click(point.x, point.y);
  await page.waitForSelector("#panel:not([hidden])");
  const hit = (await title(page)).replace("Layout ", "");
  const apart = await page.evaluate(([a, b]) => Math.hypot(...place(points.place.get(a)).map((x, k) => x - place(points.place.get(b))[k])), [hit, point.name]);
  assert.ok(apart < 14, `${point.name} was clicked, ${hit} opened`);
  const full = await fullest(page);
  await page.click("#panel .close");
  await page.click(`table.sortable tbody th[data-key="${full.name}"] a`);
  await page.waitForSelector(`#panel[data-layout="${full.name}"]`);
  const first = await shown(page);
  assert.equal("stick" in first && "power" in first, full.nests);
  assert.ok("levers" in first);
  await shot(page, `${name}-${width}-${scheme}-panel`);
  if (await isReduction(page)) {
    await buildingTold(page, full.name);
  } else {
    await page.locator(".gears label").nth(1).click();
    differs(first, await shown(page));
  }
  await shot(page, `${name}-${width}-${scheme}-gear`);
  assert.ok(await page.evaluate(() => { const panel = document.getElementById("panel"); return panel.scrollWidth <= panel.clientWidth; }), "the layout's page is wider than its place");
  const [download] = await Promise.all([page.waitForEvent("download"), page.click("#panel a[download]")]);
  assert.equal(download.suggestedFilename(), `${full.name}.toml`);
  await page.click("#panel .close");
  // Two ticks put two layouts side by side, a third and no fourth.
  for (const k of [0, 1, 2].filter((k) => k < all)) await page.locator("input.tick").nth(k).check();
  await page.waitForFunction((heads) => document.querySelectorAll("#compare thead th").length === heads, Math.min(all, 3) + 1);
  if (all > 3) assert.ok(await page.locator("input.tick").nth(3).isDisabled());
  await page.locator("#compare").scrollIntoViewIfNeeded();
  await shot(page, `${name}-${width}-${scheme}-compare`);
  await close();
};

const byKeys = async (file) => {
  const { page, close } = await opened(file, { viewport: { width: 1440, height: 900 } });
  const until = async (selector) => {
    for (let k = 0; k < 400; k += 1) {
      await page.keyboard.press("Tab");
      if (await page.evaluate((selector) => document.activeElement?.matches(selector), selector)) return;
    }
    assert.fail(`no way by keys to ${selector}`);
  };
  const all = await rows(page);
  await until("#axis-x");
  const before = await page.locator("#points-name").textContent();
  await page.keyboard.press("ArrowDown");
  assert.notEqual(await page.locator("#points-name").textContent(), before, "an axis is chosen by keys");
  await page.keyboard.press("ArrowUp");
  await until("#points");
  await page.keyboard.press("Home");
  assert.match(await page.locator("#readout").textContent(), /^\S+: /);
  await page.keyboard.press("Enter");
  await page.waitForSelector("#panel:not([hidden])");
  if (!(await isReduction(page))) {
    const first = await shown(page);
    await until(".gears input");
    await page.keyboard.press("ArrowRight");
    differs(first, await shown(page));
  }
  await page.keyboard.press("Escape");
  assert.ok(await page.locator("#panel").isHidden());
  assert.equal(await page.evaluate(() => document.activeElement.id), "points", "focus goes back");
  // The bounds brush: from the middle of the front's first criterion.
  await until("#x-from");
  const middle = await page.evaluate(() => { const values = points.front.map((k) => field.x.values[k]).sort((a, b) => a - b); return values[Math.floor(values.length / 2)]; });
  await page.keyboard.type(String(middle));
  const kept = await rows(page);
  assert.ok(kept >= 1 && (kept < all || all === 1), `${kept} of ${all} kept`);
  await until("#keep-all");
  await page.keyboard.press("Enter");
  assert.equal(await rows(page), all);
  await until("table.sortable input.tick");
  await page.keyboard.press("Space");
  await page.waitForSelector("#compare:not([hidden]) thead th");
  await until("table.sortable tbody a");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#panel:not([hidden])");
  assert.equal(await page.evaluate(() => document.activeElement.id), "panel-name");
  await close();
};

const onPaper = async (file, name) => {
  const { page, close } = await opened(file, { viewport: { width: 1440, height: 900 } });
  await page.waitForSelector("html.drawn", { timeout: 60_000 });
  const paper = await page.pdf({ format: "A4", path: process.env.SHOTS ? path.join(process.env.SHOTS, `${name}.pdf`) : undefined });
  assert.ok(paper.length > 20_000);
  await close();
};

const standsStill = async (file) => {
  const { page, close } = await opened(file, { reducedMotion: "reduce", viewport: { width: 1440, height: 900 } });
  await page.click("table.sortable tbody th a");
  const turned = () => page.evaluate(() => document.querySelector(".face").innerHTML);
  await page.waitForSelector(".face");
  const before = await turned();
  await page.waitForTimeout(300);
  assert.equal(await turned(), before, "the sets turn although less motion is wished");
  await page.click(".play");
  await page.waitForTimeout(300);
  assert.notEqual(await turned(), before, "the button lets them turn");
  await close();
};

const speed = async () => {
  const { page, close } = await opened(large, { viewport: { width: 1440, height: 900 } });
  const paint = await page.evaluate(() => ({
    first: performance.getEntriesByName("first-contentful-paint")[0].startTime,
    field: performance.getEntriesByName("field painted")[0].startTime,
    count: points.count,
  }));
  assert.ok(paint.count >= 20_000, `${paint.count} candidates`);
  // Frames as the pointer would ask for them: work between two frames, no waiting.
  const frames = await page.evaluate(async () => {
    const times = [];
    for (let k = 0; k < 60; k += 1) {
      await new Promise(requestAnimationFrame);
      const start = performance.now();
      const part = 0.2 + 0.01 * k;
      setBrush([field.x.low, field.x.low + part * (field.x.high - field.x.low), field.y.low, field.y.low + part * (field.y.high - field.y.low)]);
      document.body.offsetHeight;
      times.push(performance.now() - start);
    }
    return times.sort((a, b) => a - b);
  });
  const [median, worst] = [frames[30], frames[59]];
  console.log(`  ${paint.count} candidates: first paint ${paint.first.toFixed(0)} ms, points painted ${paint.field.toFixed(0)} ms, brushing ${median.toFixed(1)} ms a frame (worst ${worst.toFixed(1)} ms)`);
  assert.ok(paint.first < FIRST_PAINT_MS, "first paint takes too long");
  assert.ok(median < FRAME_MS, "brushing takes too long");
  await close();
};

for (const file of reports) {
  const name = path.basename(path.dirname(path.resolve(file)));
  for (const [width, scheme] of [[1440, "light"], [1440, "dark"], [360, "light"], [360, "dark"]]) {
    await check(`${name}: by pointer, ${width} px, ${scheme}`, () => byPointer(file, name, width, scheme));
  }
  await check(`${name}: by keys alone`, () => byKeys(file));
  await check(`${name}: on paper`, () => onPaper(file, name));
}
await check("less motion", () => standsStill(reports[0]));
await check("speed", speed);
await browser.close();
console.log(`${passed} passed, 0 failed`);

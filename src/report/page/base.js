"use strict";
// The page reads in full without this script; what is hidden until it runs stands in the
// class "live". Words of other people are only ever set as text, never as markup.
document.documentElement.classList.add("live");

// A reduction has one gear and nothing to engage.
const ONE_RATIO = document.body.classList.contains("one-ratio");

const byId = (id) => document.getElementById(id);

// An element with attributes (functions are listeners) and children (texts stay texts).
const make = (name, attributes = {}, ...children) => {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "function") element.addEventListener(key, value);
    else if (value === true) element.setAttribute(key, "");
    else if (value !== false && value != null) element.setAttribute(key, value);
  }
  element.append(...children.filter((child) => child != null));
  return element;
};

// The same for the drawings that the script makes itself.
const SVG = "http://www.w3.org/2000/svg";
const draw = (name, attributes = {}, ...children) => {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children);
  return element;
};

// A table from rows of cells; a cell is a text, a node, or [content, class]. The first cell
// of a row names it.
const tableOf = (heads, rows, label) => {
  const put = (name, cell, attributes) => {
    const [content, style] = Array.isArray(cell) ? cell : [cell, null];
    return make(name, { ...attributes, class: style }, content ?? "–");
  };
  const head = make("thead", {}, make("tr", {}, ...heads.map((cell) => put("th", cell, { scope: "col" }))));
  const line = (cells) => make("tr", {}, ...cells.map((cell, place) => (place === 0 ? put("th", cell, { scope: "row" }) : put("td", cell, {}))));
  const table = make("table", {}, head, make("tbody", {}, ...rows.map(line)));
  return make("div", { class: "scroll", role: "region", "aria-label": label, tabindex: "0" }, table);
};

// What the report packed: Base64 around a raw deflate stream.
const unpack = async (text) => {
  const bytes = Uint8Array.from(atob(text.trim()), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
};
const unpackText = async (text) => new TextDecoder().decode(await unpack(text));

// Its first line has words, each of which is one letter in what follows. They are words of
// JSON texts, so quotes in them are to be escaped again.
const inLongWords = (text) => {
  const end = text.indexOf("\n");
  const words = JSON.parse(text.slice(0, end)).map((word) => JSON.stringify(word).slice(1, -1));
  const letter = (found) => words[found.codePointAt(0) - 0xe000] ?? found;
  return words.length ? text.slice(end + 1).replace(/[\ue000-\ue0ff]/g, letter) : text.slice(end + 1);
};

// Numbers for readers: few decimals, none that say nothing, a true minus sign.
const short = (value, digits = 4) => {
  if (value == null || !Number.isFinite(value)) return "–";
  const text = Math.abs(value) >= 1e6 ? value.toExponential(2) : String(Number(value.toFixed(digits)));
  return text.replace("-", "−");
};
const numberOf = (exact) => {
  if (exact == null) return null;
  const [above, below = "1"] = exact.split("/");
  return Number(above) / Number(below);
};
// "27/11" with its size behind it; whole numbers stand alone.
const exactly = (exact) => {
  if (exact == null) return "–";
  const shown = exact.replace("-", "−");
  return exact.includes("/") ? `${shown} = ${short(numberOf(exact))}` : shown;
};
// The size above, the fraction small below it: narrow enough for tables.
const stacked = (exact) => {
  if (exact == null) return "–";
  if (!exact.includes("/")) return exact.replace("-", "−");
  return make("span", { class: "stacked" }, short(numberOf(exact)), make("small", {}, exact.replace("-", "−")));
};
const percent = (share) => (share == null ? "–" : `${short(share * 100, 2)} %`);

// Colours of the page as it is shown now, for what is painted point by point.
const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();

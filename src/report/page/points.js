// All candidates: their scores in columns, their names, which of them are the front.
const points = JSON.parse(byId("index").textContent);
points.known = false;

const readPoints = async () => {
  const [bytes, names] = await Promise.all([unpack(byId("scores").textContent), unpackText(byId("names").textContent)]);
  const steps = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  points.columns.forEach((column, place) => {
    const unit = (column.high - column.low) / 65534;
    column.values = new Float64Array(points.count);
    for (let k = 0; k < points.count; k += 1) {
      const step = steps.getUint16(2 * (place * points.count + k), true);
      column.values[k] = step === 65535 ? NaN : column.low + step * unit;
    }
    column.title = column.unit ? `${column.words}, ${column.unit}` : column.words;
    column.usable = column.values.some((value) => !Number.isNaN(value));
  });
  points.names = names.split("\n");
  points.place = new Map(points.names.map((name, place) => [name, place]));
  points.onFront = new Uint8Array(points.count);
  points.front.forEach((place) => { points.onFront[place] = 1; });
  points.known = true;
};

// A score as text; on the front it is as near as the packing, a thirty-thousandth of the range.
const scoreText = (column, value) => {
  if (Number.isNaN(value)) return "not known";
  if (column.name === "nests") return value > 0.5 ? "yes" : "no";
  return `${short(value, column.whole ? 0 : 3)} ${column.unit}`.trim();
};

// An efficiency that stands in red letters in the table of the front does so everywhere.
const poorScore = (column, value) => ONE_RATIO && ((column.name === "efficiency" && value < 0.5) || (column.name === "back_efficiency" && value === 0));

// At most four classes, best first: one a value where few values occur, else four ranges
// with about as many different values each.
const classesOf = (column) => {
  const sign = column.higher ? -1 : 1;
  const distinct = [...new Set(column.values)].filter((value) => !Number.isNaN(value)).sort((a, b) => sign * (a - b));
  const groups = Math.min(4, distinct.length);
  const ends = Array.from({ length: groups }, (_, group) => {
    const members = distinct.filter((_, rank) => Math.floor((rank * groups) / distinct.length) === group);
    return [members[0], members[members.length - 1]];
  });
  const of = (value) => (Number.isNaN(value) ? -1 : ends.findIndex(([, last]) => sign * (value - last) <= 0));
  return { ends, of: Int8Array.from(column.values, of) };
};

// The line that joins what nothing beats on two axes, as places in the order of x.
const edgeOf = (x, y) => {
  const places = [];
  for (let k = 0; k < points.count; k += 1) {
    if (!Number.isNaN(x.values[k]) && !Number.isNaN(y.values[k])) places.push(k);
  }
  const [across, up] = [x, y].map((column) => (column.higher ? -1 : 1));
  places.sort((a, b) => across * (x.values[a] - x.values[b]) || up * (y.values[a] - y.values[b]));
  let best = Infinity;
  return places.filter((k) => {
    const cost = up * y.values[k];
    if (cost >= best) return false;
    best = cost;
    return true;
  });
};

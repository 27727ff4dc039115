// Links into folded entries, and paper, which cannot be clicked.
const unfold = () => {
  const target = location.hash ? byId(decodeURIComponent(location.hash.slice(1))) : null;
  if (target && target.tagName === "DETAILS") target.open = true;
};
addEventListener("hashchange", unfold);
unfold();

// What is folded is printed unfolded, but for tables of factors.
let folded = [];
addEventListener("beforeprint", () => {
  folded = [...document.querySelectorAll("main details:not([open]):not(.factors)")];
  folded.forEach((details) => { details.open = true; });
});
addEventListener("afterprint", () => folded.forEach((details) => { details.open = false; }));

// Every entry gets its drawing, one after the other when nothing else is to be done.
const drawEntries = async () => {
  for (const id of rowOf.keys()) {
    const told = await accountOf(id);
    const picture = told && pictureOf(told, "stick");
    if (picture) byId(`layout-${id}`).querySelector("figure.drawn").replaceWith(picture);
    // What is unpacked takes memory; the page of a layout unpacks its own again.
    accounts.delete(id);
    await new Promise((resolve) => setTimeout(resolve, 0));
  }
  document.documentElement.classList.add("drawn");
};

// The pictures besides the first are our own drawings, packed.
const drawPlots = async () => {
  const plots = JSON.parse(await unpackText(byId("plots").textContent));
  const matrix = byId("plot-matrix");
  if (matrix) plots.matrix = await unpackText(matrix.textContent);
  for (const figure of document.querySelectorAll("[data-plot]")) {
    if (plots[figure.dataset.plot]) figure.innerHTML = plots[figure.dataset.plot];
  }
};
drawPlots();

startField().then(() => setTimeout(drawEntries, 300));

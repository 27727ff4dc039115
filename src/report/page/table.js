// Tables that can be sorted by a click on a column's name.
for (const table of document.querySelectorAll("table.sortable")) {
  const body = table.tBodies[0];
  const heads = [...table.tHead.rows[0].cells];
  const key = (row, column) => row.cells[column].dataset.key;
  const compare = (a, b) => {
    const [x, y] = [Number(a), Number(b)];
    return Number.isNaN(x) || Number.isNaN(y) ? a.localeCompare(b, "en", { numeric: true }) : x - y;
  };
  heads.forEach((head, column) => {
    head.querySelector("button").addEventListener("click", () => {
      const down = head.getAttribute("aria-sort") === "ascending";
      heads.forEach((other) => other.removeAttribute("aria-sort"));
      head.setAttribute("aria-sort", down ? "descending" : "ascending");
      const rows = [...body.rows];
      // A missing value comes last either way.
      rows.sort((a, b) => {
        const [x, y] = [key(a, column), key(b, column)];
        if (x === "" || y === "") return (x === "") - (y === "");
        return down ? compare(y, x) : compare(x, y);
      });
      body.append(...rows);
    });
  });
}

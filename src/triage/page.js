// The table of all sites: filtered, sorted, and shown a part at a time, so that it stays quick with many sites.
"use strict";
(() => {
  const data = JSON.parse(document.getElementById("sites").textContent);
  const body = document.querySelector("#table tbody");
  const heads = [...document.querySelectorAll("#table th button")];
  const filter = document.getElementById("filter");
  const count = document.getElementById("count");
  const PART = 200;
  const cell = (row, column) => {
    const value = row[column];
    return data.columns[column].words ? data.words[value] : value === null ? "" : String(value);
  };
  const number = (column) => !data.columns[column].words;
  const found = data.rows.map((row) => data.columns.map((_, c) => cell(row, c)).join("\n").toLowerCase());
  let order = data.rows.map((_, n) => n);
  let shown = order;
  let first = 0;
  let sorted = { column: -1, down: false };

  function draw() {
    const part = document.createDocumentFragment();
    for (const n of shown.slice(first, first + PART)) {
      const line = document.createElement("tr");
      data.columns.forEach((_, c) => {
        const field = document.createElement("td");
        const text = cell(data.rows[n], c);
        field.className = number(c) ? "n" : text.length > 40 ? "long" : "one";
        field.textContent = text;
        line.append(field);
      });
      part.append(line);
    }
    body.replaceChildren(part);
    const last = Math.min(first + PART, shown.length);
    count.textContent = shown.length ? `${first + 1} to ${last} of ${shown.length} sites` : "no site has these words";
    document.getElementById("back").disabled = first === 0;
    document.getElementById("on").disabled = last >= shown.length;
  }

  function choose() {
    const words = filter.value.toLowerCase().split(/\s+/).filter(Boolean);
    shown = order.filter((n) => words.every((word) => found[n].includes(word)));
    first = 0;
    draw();
  }

  function sort(column) {
    sorted = { column, down: sorted.column === column && !sorted.down };
    const sign = sorted.down ? -1 : 1;
    const compare = new Intl.Collator("en", { numeric: true }).compare;
    // Cells without a value stand last, whatever the direction.
    const keys = data.rows.map((row) => (number(column) ? row[column] : cell(row, column) || null));
    order.sort((a, b) => {
      const [x, y] = [keys[a], keys[b]];
      if (x === null || y === null) return (x === null) - (y === null) || a - b;
      return sign * (number(column) ? x - y : compare(x, y)) || a - b;
    });
    heads.forEach((head, n) => {
      const way = n === column ? (sorted.down ? "descending" : "ascending") : "none";
      head.closest("th").setAttribute("aria-sort", way);
      head.querySelector("span").textContent = n === column ? (sorted.down ? " ▼" : " ▲") : "";
    });
    choose();
  }

  heads.forEach((head, n) => head.addEventListener("click", () => sort(n)));
  filter.addEventListener("input", choose);
  document.getElementById("back").addEventListener("click", () => { first -= PART; draw(); });
  document.getElementById("on").addEventListener("click", () => { first += PART; draw(); });
  for (const link of document.querySelectorAll("button[data-filter]")) {
    link.addEventListener("click", () => {
      filter.value = link.dataset.filter;
      choose();
      filter.scrollIntoView();
    });
  }
  draw();
})();

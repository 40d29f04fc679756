/** Sorts a real table by its headed columns; the order it came in is one of the orders. */
(function () {
  "use strict";

  const language = document.documentElement.lang || undefined;
  const collator = new Intl.Collator(language, { numeric: true, sensitivity: "base" });

  /** What a cell sorts by: data-value, else the instant of a time, else its words. */
  function value(row, column) {
    const cell = row.cells[column];
    if (!cell) return "";
    if (cell.dataset.value !== undefined) return cell.dataset.value;
    const time = cell.querySelector("time[datetime]");
    return time ? time.dateTime : cell.textContent.trim().replace(/\s+/g, " ");
  }

  const readers = {
    text: (words) => words,
    date: (words) => words,
    number: function (words) {
      const read = Number.parseFloat(words.replace(/\u2212/g, "-").replace(/[^\d.+-]/g, ""));
      return Number.isFinite(read) ? read : null;
    },
  };

  function compare(kind, first, second) {
    if (kind === "number") return first - second;
    if (kind === "date") return first < second ? -1 : Number(first > second);
    return collator.compare(first, second);
  }

  function sort(body, column, kind, falling) {
    const rows = Array.from(body.rows, function (row) {
      return { row: row, value: readers[kind](value(row, column)) };
    });
    const empty = (entry) => entry.value === null || entry.value === "";
    rows.sort(function (first, second) {
      // Empty cells stand last whichever way one sorts.
      if (empty(first) || empty(second)) return Number(empty(first)) - Number(empty(second));
      const order = compare(kind, first.value, second.value);
      return falling ? -order : order;
    });
    body.append(...rows.map((entry) => entry.row));
  }

  Logbook.each("table[data-sortable]", function (table) {
    const heads = Array.from(table.querySelectorAll("thead th[data-sort]"));
    heads.forEach(function (head) {
      const kind = readers[head.dataset.sort] ? head.dataset.sort : "text";
      const words = head.textContent.trim();
      const button = Logbook.make("button", { type: "button" });
      button.append(...head.childNodes);
      head.append(button);
      button.addEventListener("click", function () {
        const falling = head.getAttribute("aria-sort") === "ascending";
        heads.forEach((other) => other.removeAttribute("aria-sort"));
        head.setAttribute("aria-sort", falling ? "descending" : "ascending");
        Array.from(table.tBodies).forEach((body) => sort(body, head.cellIndex, kind, falling));
        Logbook.say(Logbook.word(falling ? "sorted-down" : "sorted-up", { column: words }));
      });
    });
  });
})();

/** Rows that repeat (trees and plants, readings): adding and removing, with Django's own counts kept true. */
(function () {
  "use strict";

  Logbook.rows = Logbook.rows || {};

  /** The management form's count within a set of rows. */
  function total(rows) {
    return rows.querySelector("input[name$='-TOTAL_FORMS']");
  }

  /** Puts a row's number into every name, id and reference of it. */
  function number(root, from, to) {
    root.querySelectorAll("*").forEach(function (element) {
      Array.from(element.attributes).forEach(function (attribute) {
        if (attribute.value.includes(from)) element.setAttribute(attribute.name, attribute.value.split(from).join(to));
      });
      if (element instanceof HTMLTemplateElement) number(element.content, from, to);
    });
  }

  /**
   * Adds one empty row.
   * @param {Element} rows the [data-rows] element @returns {Element|null} the new row
   */
  Logbook.rows.add = function (rows) {
    const template = rows.querySelector("template[data-row-template]");
    const count = total(rows);
    if (!template || !count) return null;
    const most = Number((rows.querySelector("input[name$='-MAX_NUM_FORMS']") || {}).value || 1000);
    if (Number(count.value) >= most) return null;
    const copy = template.content.cloneNode(true);
    number(copy, "__prefix__", count.value);
    const row = copy.firstElementChild;
    template.before(copy);
    count.value = String(Number(count.value) + 1);
    Logbook.added(row);
    return row;
  };

  /** Takes a row out: a stored one is marked for deletion, a new one goes and those after it move up. */
  function remove(rows, row) {
    const mark = row.querySelector("input[name$='-DELETE']");
    const stored = row.querySelector("input[name$='-id']");
    if (mark && stored && stored.value) {
      if (mark.type === "checkbox") mark.checked = true;
      else mark.value = "on";
      row.hidden = true;
      return;
    }
    const count = total(rows);
    const all = Array.from(rows.querySelectorAll("[data-row]"));
    const prefix = count.name.replace(/-TOTAL_FORMS$/, "");
    const at = all.indexOf(row);
    row.remove();
    all.slice(at + 1).forEach(function (later, step) {
      number(later, prefix + "-" + (at + step + 1) + "-", prefix + "-" + (at + step) + "-");
    });
    count.value = String(Number(count.value) - 1);
  }

  Logbook.each("[data-rows]", function (rows) {
    const add = rows.querySelector("[data-row-add]");
    if (add) {
      add.hidden = false;
      add.addEventListener("click", function () {
        const row = Logbook.rows.add(rows);
        if (!row) return;
        const first = row.querySelector("input:not([type=hidden]), select, textarea");
        if (first) first.focus();
        Logbook.say(Logbook.word("row-added"));
      });
    }
    rows.addEventListener("click", function (event) {
      const button = event.target.closest("[data-row-remove]");
      const row = button && button.closest("[data-row]");
      if (!row) return;
      remove(rows, row);
      rows.dispatchEvent(new Event("change", { bubbles: true }));
      Logbook.say(Logbook.word("row-removed"));
      if (add) add.focus();
    });
  });

  Logbook.each("[data-row-remove]", (button) => (button.hidden = false));
})();

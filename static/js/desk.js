/** The referees' desk by keys: along the queue, and to each act. A key goes to an act; it never does it. */
(function () {
  "use strict";

  Logbook.each("[data-desk]", function (desk) {
    const items = () => Array.from(desk.querySelectorAll("[data-desk-item]")).filter((item) => !item.hidden);
    const link = (item) => item.querySelector("[data-desk-open]");

    function current() {
      const all = items();
      const focused = all.findIndex((item) => item.contains(document.activeElement));
      return focused >= 0 ? focused : all.findIndex((item) => item.hasAttribute("data-here"));
    }

    function go(step) {
      const all = items();
      if (!all.length) return;
      const at = current();
      // Past the last row (or the first) the key leads on to the next page.
      const turn = document.querySelector(step > 0 ? ".pager a[rel=next]" : ".pager a[rel=prev]");
      if (turn && at >= 0 && !all[at + step]) {
        turn.focus();
        return;
      }
      const target = all[at < 0 ? 0 : Math.min(all.length - 1, Math.max(0, at + step))];
      all.forEach((item) => item.toggleAttribute("data-here", item === target));
      link(target).focus();
      target.scrollIntoView({ block: "nearest" });
    }

    Logbook.key("j", Logbook.word("desk-next"), () => go(1));
    Logbook.key("k", Logbook.word("desk-previous"), () => go(-1));
    Logbook.key("o", Logbook.word("desk-open"), function () {
      const at = current();
      if (at >= 0) link(items()[at]).click();
    });
  });

  /** The words of an act, without the key shown in it. */
  function actWords(element) {
    const copy = element.cloneNode(true);
    copy.querySelectorAll("kbd").forEach((key) => key.remove());
    return copy.textContent.trim().replace(/\s+/g, " ");
  }

  Logbook.each("[data-key]", function (element) {
    const key = element.dataset.key;
    element.setAttribute("aria-keyshortcuts", key);
    Logbook.key(key, element.dataset.keyWords || actWords(element), function () {
      for (let fold = element.closest("details"); fold; fold = fold.parentElement.closest("details")) fold.open = true;
      if (element.matches("a[href]")) {
        element.click();
        return;
      }
      // A confirmed name is a weighty thing: the key brings one to the act, Enter does it.
      const field = element.matches("summary")
        ? element.parentElement.querySelector("input:not([type=hidden]), select, textarea, button")
        : element;
      (field || element).focus();
      element.scrollIntoView({ block: "nearest" });
    });
  });
})();

/** A word of the vocabulary opens its drawing and sentence in place; without this script it is a link to its page. */
(function () {
  "use strict";

  const Logbook = window.Logbook;
  /** @type {Map<string, Promise<Document>>} pages of characters already asked for, by address without its state */
  const pages = new Map();

  /** The page of a character, asked for once. @param {URL} address @returns {Promise<Document>} */
  function pageOf(address) {
    const path = address.pathname;
    if (!pages.has(path)) {
      const asked = Logbook.fetch(path + "?brief")
        .then((response) => response.text())
        .then((text) => new DOMParser().parseFromString(text, "text/html"));
      asked.catch(() => pages.delete(path));
      pages.set(path, asked);
    }
    return pages.get(path);
  }

  /** A copy of a part of that page, without what only the page needs. @param {Element} part @returns {Element} */
  function copyOf(part) {
    const copy = document.importNode(part, true);
    copy.querySelectorAll("details, .soft.small").forEach((element) => element.remove());
    [copy, ...copy.querySelectorAll("[id]")].forEach((element) => element.removeAttribute("id"));
    return copy;
  }

  /** What the page says of the word: one state, or the character with all its states. */
  function parts(page, state) {
    const one = state && page.getElementById(state);
    if (one) {
      const copy = Logbook.make("div", { class: "state state--alone" });
      copy.append(...copyOf(one).childNodes);
      return [copy];
    }
    const wanted = page.querySelectorAll("[data-character-about], [data-character-states]");
    return Array.from(wanted, copyOf);
  }

  function open(link, page, address) {
    const title = page.querySelector("h1");
    const close = Logbook.make("button", { type: "button", class: "button button--plain" }, Logbook.word("close"));
    const heading = Logbook.make("a", { href: address.pathname }, title.textContent);
    const dialog = Logbook.make(
      "dialog",
      { class: "character-leaf", "aria-labelledby": "character-leaf-title" },
      Logbook.make("h2", { id: "character-leaf-title" }, heading),
      ...parts(page, decodeURIComponent(address.hash.slice(1))),
      Logbook.make("p", { class: "acts" }, close),
    );
    close.addEventListener("click", () => dialog.close());
    dialog.addEventListener("click", function (event) {
      if (event.target === dialog) dialog.close();
    });
    dialog.addEventListener("close", function () {
      dialog.remove();
      link.focus();
    });
    document.body.append(dialog);
    dialog.showModal();
    close.focus({ preventScroll: true });
    dialog.scrollTop = 0;
  }

  Logbook.each("[data-character-word]", function (link) {
    link.setAttribute("aria-haspopup", "dialog");
    link.addEventListener("click", function (event) {
      if (event.ctrlKey || event.metaKey || event.shiftKey || event.altKey || event.button) return;
      event.preventDefault();
      const address = new URL(link.href);
      pageOf(address)
        .then((page) => open(link, page, address))
        .catch(() => window.location.assign(link.href));
    });
  });
})();

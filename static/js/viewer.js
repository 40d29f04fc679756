/** Photographs large: opened from their thumbnails, gone through and enlarged by keys, caption and caution with them. */
(function () {
  "use strict";

  const ZOOMS = 3;

  function button(word, key) {
    return Logbook.make(
      "button",
      { type: "button", class: "button button--plain", "aria-keyshortcuts": key },
      Logbook.word(word),
    );
  }

  function start(group) {
    const links = Array.from(group.querySelectorAll("a[href]")).filter((link) => link.querySelector("img"));
    if (!links.length) return;
    let here = 0;
    let zoom = 0;

    const count = Logbook.make("p", { class: "num" });
    const picture = Logbook.make("img", { alt: "" });
    const ground = Logbook.make("div", { class: "viewer-ground", tabindex: "0" }, picture);
    const caption = Logbook.make("div", { class: "viewer-caption", "aria-live": "polite" });
    const previous = button("viewer-previous", "ArrowLeft");
    const next = button("viewer-next", "ArrowRight");
    const nearer = button("viewer-nearer", "+");
    const farther = button("viewer-farther", "-");
    const close = button("close", "Escape");
    const bar = Logbook.make("div", { class: "viewer-bar" }, previous, next, count, farther, nearer, close);
    const dialog = Logbook.make("dialog", { class: "viewer", "aria-label": Logbook.word("viewer-title") }, bar, ground, caption);

    function enlarge(level) {
      zoom = Math.min(ZOOMS, Math.max(0, level));
      // The point in the middle stays in the middle.
      const middle = [
        (ground.scrollLeft + ground.clientWidth / 2) / (ground.scrollWidth || 1),
        (ground.scrollTop + ground.clientHeight / 2) / (ground.scrollHeight || 1),
      ];
      ground.dataset.zoom = String(zoom);
      ground.scrollLeft = middle[0] * ground.scrollWidth - ground.clientWidth / 2;
      ground.scrollTop = middle[1] * ground.scrollHeight - ground.clientHeight / 2;
      nearer.disabled = zoom === ZOOMS;
      farther.disabled = zoom === 0;
    }

    function show(index) {
      here = (index + links.length) % links.length;
      const link = links[here];
      picture.src = link.href;
      picture.alt = link.querySelector("img").alt;
      const written = link.closest("figure") && link.closest("figure").querySelector("figcaption");
      caption.replaceChildren(...(written ? Array.from(written.childNodes, (node) => node.cloneNode(true)) : []));
      count.textContent = Logbook.word("viewer-count", { number: here + 1, count: links.length });
      const single = links.length === 1;
      previous.disabled = next.disabled = single;
      enlarge(0);
    }

    previous.addEventListener("click", () => show(here - 1));
    next.addEventListener("click", () => show(here + 1));
    nearer.addEventListener("click", () => enlarge(zoom + 1));
    farther.addEventListener("click", () => enlarge(zoom - 1));
    close.addEventListener("click", () => dialog.close());
    picture.addEventListener("click", () => enlarge(zoom === 0 ? 1 : 0));
    dialog.addEventListener("close", () => links[here].focus());
    dialog.addEventListener("keydown", function (event) {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      // Enlarged, the arrows move over the picture; letters still turn the page.
      const flat = zoom === 0;
      if (event.key === "n" || (flat && event.key === "ArrowRight")) show(here + 1);
      else if (event.key === "p" || (flat && event.key === "ArrowLeft")) show(here - 1);
      else if (event.key === "+" || event.key === "=") enlarge(zoom + 1);
      else if (event.key === "-") enlarge(zoom - 1);
      else if (event.key === "0") enlarge(0);
      else return;
      event.preventDefault();
    });

    links.forEach(function (link, index) {
      link.addEventListener("click", function (event) {
        if (event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
        event.preventDefault();
        if (!dialog.isConnected) document.body.append(dialog);
        dialog.showModal();
        show(index);
        ground.focus();
      });
    });

    const open = group.dataset.viewerKey;
    if (open) Logbook.key(open, Logbook.word("viewer-title"), () => links[0].click());
  }

  Logbook.each("[data-viewer]", start);
})();

/** A field for a name that finds names of the checklist as one types; what is written stays as written. */
(function () {
  "use strict";

  const WAIT = 150;
  const LEAST = 2;
  let count = 0;

  /** The hidden input that holds the chosen name's key: by id, else by name within the form. */
  function keyInput(input) {
    const wanted = input.dataset.nameKey;
    if (!wanted) return null;
    const form = input.form;
    return document.getElementById(wanted) || (form && form.elements.namedItem(wanted)) || null;
  }

  /** A name with its italics. @param {{name: string, parts?: [string, boolean][]}} result @returns {HTMLElement} */
  function nameElement(result) {
    const name = Logbook.make("span", { class: "name" });
    (result.parts || [[result.name, true]]).forEach(function ([text, italic]) {
      name.append(italic ? Logbook.make("i", {}, text) : text);
    });
    return name;
  }

  function dangerElement(danger) {
    const key = "danger-" + danger;
    return Logbook.make("span", { class: "danger" }, Logbook.hasWord(key) ? Logbook.word(key) : danger);
  }

  /** One line of the list. @param {Object} result @param {string} id @returns {HTMLElement} */
  function optionElement(result, id) {
    const option = Logbook.make(
      "li",
      { class: "lookup-option", role: "option", id: id, "aria-selected": "false" },
      nameElement(result),
    );
    const beside = result.english || result.via;
    if (beside && beside !== result.name) option.append(Logbook.make("span", { class: "name-english" }, beside));
    if (result.danger) option.append(dangerElement(result.danger));
    if (result.accepted && result.accepted !== result.name) {
      const leads = Logbook.word("lookup-leads", { name: result.accepted });
      option.append(Logbook.make("span", { class: "lookup-leads" }, leads));
    }
    return option;
  }

  /** Makes one input a combobox. @param {HTMLInputElement} input */
  function start(input) {
    const id = "lookup-" + (count += 1);
    const key = keyInput(input);
    const list = Logbook.make("ul", {
      class: "lookup-list",
      role: "listbox",
      id: id,
      "aria-label": Logbook.word("lookup-list"),
    });
    const note = Logbook.make("p", { class: "lookup-note", role: "status" });
    const holder = Logbook.make("div", { class: "lookup" });
    let results = [];
    let here = -1;
    let timer = 0;
    let asked = null;

    list.hidden = true;
    input.before(holder);
    holder.append(input, list);
    holder.after(note);
    Object.entries({
      role: "combobox",
      autocomplete: "off",
      autocapitalize: "none",
      spellcheck: "false",
      "aria-autocomplete": "list",
      "aria-expanded": "false",
      "aria-controls": id,
    }).forEach(([name, value]) => input.setAttribute(name, value));

    function close() {
      list.hidden = true;
      here = -1;
      input.setAttribute("aria-expanded", "false");
      input.removeAttribute("aria-activedescendant");
    }

    function mark(index) {
      here = index;
      Array.from(list.children).forEach(function (option, at) {
        option.setAttribute("aria-selected", String(at === index));
      });
      const option = list.children[index];
      if (!option) return;
      input.setAttribute("aria-activedescendant", option.id);
      option.scrollIntoView({ block: "nearest" });
    }

    function take(index) {
      const result = results[index];
      if (!result) return;
      input.value = result.name;
      if (key) key.value = result.key;
      note.textContent =
        result.accepted && result.accepted !== result.name
          ? Logbook.word("lookup-kept", { name: result.accepted })
          : "";
      close();
      input.dispatchEvent(new CustomEvent("logbook:named", { bubbles: true, detail: result }));
      input.dispatchEvent(new Event("change", { bubbles: true }));
    }

    function show() {
      list.replaceChildren(...results.map((result, index) => optionElement(result, id + "-" + index)));
      const any = results.length > 0;
      list.hidden = !any;
      input.setAttribute("aria-expanded", String(any));
      here = -1;
      input.removeAttribute("aria-activedescendant");
      note.textContent = any
        ? Logbook.word("lookup-found", { count: results.length })
        : Logbook.word("lookup-none");
    }

    async function ask() {
      const text = input.value.trim();
      if (asked) asked.abort();
      if (text.length < LEAST) {
        results = [];
        note.textContent = "";
        close();
        return;
      }
      asked = new AbortController();
      const url = new URL(input.dataset.nameLookup, window.location.href);
      url.searchParams.set("q", text);
      try {
        const response = await Logbook.fetch(url, { signal: asked.signal });
        const answer = await response.json();
        if (input.value.trim() !== text || document.activeElement !== input) return;
        results = answer.results || [];
        show();
      } catch (fault) {
        if (fault.name === "AbortError") return;
        results = [];
        close();
        note.textContent = Logbook.word("lookup-offline");
      }
    }

    input.addEventListener("input", function () {
      // The key belonged to the words that stood here; other words, no key.
      if (key) key.value = "";
      clearTimeout(timer);
      timer = setTimeout(ask, WAIT);
    });

    input.addEventListener("keydown", function (event) {
      const open = !list.hidden;
      if (event.key === "ArrowDown" || event.key === "ArrowUp") {
        event.preventDefault();
        if (!open) {
          if (results.length) show();
          else ask();
          return;
        }
        const step = event.key === "ArrowDown" ? 1 : -1;
        mark((here + step + results.length + (here < 0 && step < 0 ? 1 : 0)) % results.length);
      } else if (event.key === "Enter" && open && here >= 0) {
        event.preventDefault();
        take(here);
      } else if (event.key === "Escape" && open) {
        event.preventDefault();
        close();
      } else if (event.key === "Tab" && open && here >= 0) {
        take(here);
      }
    });

    // Before the input loses focus, so that a tap on a line counts.
    list.addEventListener("pointerdown", (event) => event.preventDefault());
    list.addEventListener("click", function (event) {
      const option = event.target.closest("[role=option]");
      if (option) take(Array.from(list.children).indexOf(option));
    });
    input.addEventListener("blur", function () {
      clearTimeout(timer);
      if (asked) asked.abort();
      close();
    });
  }

  Logbook.each("input[data-name-lookup]", start);
})();

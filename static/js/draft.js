/**
 * Keeps a form's draft: on the server every few seconds, on this device when the server cannot be reached.
 * data-draft-key names the copy on this device, data-draft-owner whose it is; data-draft-like: a copy whose key begins
 * so may be taken up here too, with the identity it was typed under, so that a sending whose answer was lost stays one.
 */
(function () {
  "use strict";

  const EVERY = 4000;
  const STORE = "logbook-draft:";
  const DAYS_KEPT = 60;

  /** The form's fields without files, passwords and the token. @param {HTMLFormElement} form @returns {[string, string][]} */
  function fields(form) {
    const secret = new Set(["csrfmiddlewaretoken"]);
    form.querySelectorAll("input[type=password]").forEach((input) => secret.add(input.name));
    return Array.from(new FormData(form)).filter(([name, value]) => typeof value === "string" && !secret.has(name));
  }

  function store(key, value) {
    if (!key) return false;
    try {
      if (value === null) localStorage.removeItem(STORE + key);
      else localStorage.setItem(STORE + key, JSON.stringify(value));
      return true;
    } catch {
      return false;
    }
  }

  function stored(key) {
    try {
      return JSON.parse(localStorage.getItem(STORE + key));
    } catch {
      return null;
    }
  }

  /** The copy of this form on this device, else the latest of its like. @returns {{key: string, draft: Object}|null} */
  function left(form) {
    const own = form.dataset.draftKey || "";
    const like = form.dataset.draftLike || "";
    let found = null;
    try {
      Object.keys(localStorage).forEach(function (name) {
        if (!name.startsWith(STORE)) return;
        const key = name.slice(STORE.length);
        const draft = stored(key);
        const at = draft ? Date.parse(draft.at) : NaN;
        if (!(Date.now() - at < DAYS_KEPT * 86400000)) {
          localStorage.removeItem(name);
          return;
        }
        if (!Array.isArray(draft.fields) || String(draft.owner || "") !== String(form.dataset.draftOwner || "")) return;
        const fits = key === own || (like && key.startsWith(like));
        if (fits && (!found || key === own || (found.key !== own && at > Date.parse(found.draft.at)))) found = { key, draft };
      });
    } catch {
      // A browser that stores nothing has nothing to offer.
    }
    return found;
  }

  /** Gives the form, and all it sends to, the identity of a draft typed elsewhere. */
  function readdress(form, from, to) {
    if (from === to) return;
    [form].concat(Array.from(form.querySelectorAll("*"))).forEach(function (element) {
      Array.from(element.attributes).forEach(function (attribute) {
        if (attribute.value.includes(from)) element.setAttribute(attribute.name, attribute.value.split(from).join(to));
      });
    });
  }

  /** Puts a draft's values back, with as many rows as it had. */
  function takeUp(form, pairs) {
    const values = new Map();
    pairs.forEach(([name, value]) => values.set(name, (values.get(name) || []).concat(value)));
    if (Logbook.rows) {
      form.querySelectorAll("[data-rows]").forEach(function (rows) {
        const count = rows.querySelector("input[name$='-TOTAL_FORMS']");
        const wanted = Number(((count && values.get(count.name)) || [0])[0]);
        while (count && Number(count.value) < wanted && Logbook.rows.add(rows));
      });
    }
    Array.from(form.elements).forEach(function (element) {
      if (!element.name || element.type === "file" || /-(TOTAL|INITIAL)_FORMS$/.test(element.name)) return;
      const found = values.get(element.name);
      if (element.type === "checkbox" || element.type === "radio") {
        element.checked = Boolean(found && found.includes(element.value));
      } else if (element.multiple) {
        Array.from(element.options).forEach((option) => (option.selected = Boolean(found && found.includes(option.value))));
      } else if (found && element.name !== "csrfmiddlewaretoken") {
        element.value = found.length > 1 ? found.shift() : found[0];
      }
    });
    // Photographs that had arrived already wait on the server; the form names them again.
    pairs.filter(([name]) => /^photo_(uuid|view-)/.test(name)).forEach(function ([name, value]) {
      const there = Array.from(form.elements).some((element) => element.name === name && element.value === value);
      if (!there) form.append(Logbook.make("input", { type: "hidden", name: name, value: value }));
    });
    form.dispatchEvent(new Event("change", { bubbles: true }));
    form.querySelectorAll("[data-form-choice]").forEach((choice) => choice.dispatchEvent(new Event("change", { bubbles: true })));
  }

  function start(form) {
    // Asked each time: a draft taken up brings its own.
    const url = () => form.dataset.draftUrl;
    const key = () => form.dataset.draftKey || "";
    const copy = (pairs, when) => ({ at: when.toISOString(), owner: form.dataset.draftOwner || "", fields: pairs });
    const state = form.querySelector("[data-draft-state]") || document.querySelector("[data-draft-state]");
    let kept = JSON.stringify(fields(form));
    let sent = false;
    let busy = false;
    // An earlier draft waits for the reader's word: nothing may write over it or drop it meanwhile.
    let waiting = null;
    let here = false;

    function say(text) {
      if (state) state.textContent = text;
    }

    function keepHere(pairs) {
      const when = new Date();
      if (!waiting && store(key(), copy(pairs, when))) {
        here = true;
        say(Logbook.word("draft-here", { time: Logbook.clock(when) }));
      }
    }

    async function keep() {
      const pairs = fields(form);
      const now = JSON.stringify(pairs);
      if (sent || busy || now === kept) return;
      busy = true;
      try {
        if (!navigator.onLine) throw new TypeError("offline");
        await Logbook.fetch(url(), { method: "POST", body: new URLSearchParams(pairs) });
        kept = now;
        here = false;
        if (!waiting) store(key(), null);
        say(Logbook.word("draft-kept", { time: Logbook.clock() }));
      } catch (fault) {
        // Whatever the reason, what was typed is kept where it can be.
        keepHere(pairs);
        if (!fault.status) kept = now;
        else say(Logbook.word("draft-none", { reason: Logbook.word("photo-refused") }));
      } finally {
        busy = false;
      }
    }

    /** The page goes away: one last sending that outlives it. */
    function keepAtLeaving() {
      const pairs = fields(form);
      if (sent || JSON.stringify(pairs) === kept) return;
      const body = new URLSearchParams(pairs);
      body.append("csrfmiddlewaretoken", Logbook.csrf());
      const queued = navigator.onLine && navigator.sendBeacon && navigator.sendBeacon(url(), body);
      if (!queued) keepHere(pairs);
      else kept = JSON.stringify(pairs);
    }

    function offer({ key: found, draft }) {
      const time = Logbook.clock(new Date(draft.at));
      const take = Logbook.make("button", { type: "button", class: "button button--plain" }, Logbook.word("draft-take"));
      const drop = Logbook.make("button", { type: "button", class: "button button--quiet" }, Logbook.word("draft-drop"));
      const words = Logbook.make("p", {}, Logbook.word("draft-found", { time: time }));
      const box = Logbook.make("div", { class: "notice" }, words, Logbook.make("p", { class: "acts" }, take, drop));
      take.addEventListener("click", function () {
        const uuid = draft.fields.find(([name]) => name === "uuid");
        const mine = form.elements.namedItem("uuid");
        if (uuid && mine) readdress(form, mine.value, uuid[1]);
        takeUp(form, draft.fields);
        box.remove();
        waiting = null;
        keep();
      });
      drop.addEventListener("click", function () {
        store(found, null);
        box.remove();
        waiting = null;
      });
      // A copy under this very key must not be written over meanwhile.
      waiting = found === key() ? box : null;
      form.prepend(box);
    }

    const earlier = left(form);
    if (earlier && !form.querySelector("[data-form-errors]")) offer(earlier);

    setInterval(keep, EVERY);
    window.addEventListener("online", function () {
      if (here) kept = "";
      keep();
    });
    window.addEventListener("pagehide", keepAtLeaving);
    document.addEventListener("visibilitychange", function () {
      if (document.visibilityState === "hidden") keepAtLeaving();
    });
    // On the document, so that a script which holds the form back (photographs under way) has spoken first.
    document.addEventListener("submit", function (event) {
      if (event.target !== form || event.defaultPrevented) return;
      sent = true;
      // A sending that dies on the way leaves a copy; the page that follows a success takes it away.
      if (!waiting) store(key(), copy(fields(form), new Date()));
    });
    window.addEventListener("pageshow", (event) => event.persisted && (sent = false));
  }

  Logbook.each("form[data-draft-url]", start);
})();

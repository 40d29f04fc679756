/** The shared part of every page: the namespace, words, requests, keys. Classic deferred script, no dependencies. */
(function () {
  "use strict";

  const Logbook = (window.Logbook = window.Logbook || {});
  const OFF = "logbook-keys-off";

  /** @type {Map<string, {words: string, act: function(KeyboardEvent): void}>} keys in the order they were laid */
  const keys = new Map();
  /** @type {{selector: string, start: function(Element): void, seen: WeakSet<Element>}[]} */
  const parts = [];
  let live = null;

  /**
   * A word or sentence in the reader's language, from templates/parts/_words.html.
   * @param {string} key @param {Object<string, string|number>} [values] fills {braces}
   * @returns {string} the key itself where the page holds no such word
   */
  Logbook.word = function (key, values) {
    const store = document.getElementById("logbook-words");
    const entry = store && store.content.querySelector('[data-word="' + key + '"]');
    let text = entry ? entry.textContent : key;
    Object.entries(values || {}).forEach(function ([name, value]) {
      text = text.split("{" + name + "}").join(String(value));
    });
    return text;
  };

  /** Whether the page holds a word of this key. @param {string} key @returns {boolean} */
  Logbook.hasWord = function (key) {
    const store = document.getElementById("logbook-words");
    return Boolean(store && store.content.querySelector('[data-word="' + key + '"]'));
  };

  /**
   * An element with attributes and children; text is always text.
   * @param {string} tag @param {Object<string, string|null>} [attributes] null leaves an attribute out
   * @param {...(Node|string)} children @returns {HTMLElement}
   */
  Logbook.make = function (tag, attributes, ...children) {
    const element = document.createElement(tag);
    Object.entries(attributes || {}).forEach(function ([name, value]) {
      if (value !== null && value !== undefined) element.setAttribute(name, value);
    });
    element.append(...children);
    return element;
  };

  /** The cross-site token, from a form on the page or the cookie. @returns {string} */
  Logbook.csrf = function () {
    const input = document.querySelector("input[name=csrfmiddlewaretoken]");
    if (input) return input.value;
    const found = document.cookie.match(/(?:^|;\s*)csrftoken=([^;]+)/);
    return found ? decodeURIComponent(found[1]) : "";
  };

  /**
   * A request to the logbook itself, with its token where it writes.
   * @param {string} url @param {RequestInit} [options] @returns {Promise<Response>} rejected where not ok
   */
  Logbook.fetch = async function (url, options) {
    const settings = Object.assign({ credentials: "same-origin" }, options);
    const headers = new Headers(settings.headers || {});
    headers.set("Accept", "application/json");
    headers.set("X-Requested-With", "XMLHttpRequest");
    if (settings.method && settings.method !== "GET") headers.set("X-CSRFToken", Logbook.csrf());
    settings.headers = headers;
    const response = await fetch(url, settings);
    if (!response.ok) {
      const fault = new Error(String(response.status));
      fault.status = response.status;
      throw fault;
    }
    return response;
  };

  /** Says a sentence to a screen reader, without moving anything. @param {string} text */
  Logbook.say = function (text) {
    if (!live) {
      live = Logbook.make("div", { class: "visually-hidden", role: "status" });
      document.body.append(live);
    }
    live.textContent = text;
  };

  /** The time of day as the reader's language writes it. @param {Date} [when] @returns {string} such as 14:05 */
  Logbook.clock = function (when) {
    const language = document.documentElement.lang || undefined;
    return (when || new Date()).toLocaleTimeString(language, { hour: "2-digit", minute: "2-digit" });
  };

  /** An identity made on this device, so that a resend never makes a second thing. @returns {string} UUID */
  Logbook.uuid = function () {
    if (window.crypto.randomUUID) return window.crypto.randomUUID();
    const bytes = window.crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  };

  /**
   * Starts a part on every element that fits, now and when rows are added later.
   * @param {string} selector @param {function(Element): void} start
   */
  Logbook.each = function (selector, start) {
    const part = { selector, start, seen: new WeakSet() };
    parts.push(part);
    startIn(document, part);
  };

  /** Starts all parts within newly added content. @param {ParentNode} root */
  Logbook.added = function (root) {
    parts.forEach((part) => startIn(root, part));
  };

  function startIn(root, part) {
    const own = root instanceof Element && root.matches(part.selector) ? [root] : [];
    own.concat(Array.from(root.querySelectorAll(part.selector))).forEach(function (element) {
      if (part.seen.has(element)) return;
      part.seen.add(element);
      part.start(element);
    });
  }

  /**
   * Lays a one-letter key for this page; '?' lists it. Letters never act while one types or a dialog is open.
   * @param {string} key @param {string} words what it does @param {function(KeyboardEvent): void} act
   */
  Logbook.key = function (key, words, act) {
    keys.set(key, { words, act });
  };

  function typing(target) {
    if (!(target instanceof Element)) return false;
    if (target.closest("textarea, select, [contenteditable], [role=application], .leaflet-container")) return true;
    const input = target.closest("input");
    return Boolean(input) && !["checkbox", "radio", "button", "submit", "reset"].includes(input.type);
  }

  /** Whether one-letter keys are on; a reader may switch them off. @returns {boolean} */
  function keysOn() {
    try {
      return localStorage.getItem(OFF) !== "1";
    } catch {
      return true;
    }
  }

  function setKeys(on) {
    try {
      if (on) localStorage.removeItem(OFF);
      else localStorage.setItem(OFF, "1");
    } catch {
      // A browser that stores nothing keeps the keys on.
    }
  }

  document.addEventListener("keydown", function (event) {
    if (event.ctrlKey || event.metaKey || event.altKey || event.defaultPrevented || event.isComposing) return;
    if (!keysOn() || typing(event.target) || document.querySelector("dialog[open], :popover-open")) return;
    const entry = keys.get(event.key);
    if (!entry) return;
    event.preventDefault();
    entry.act(event);
  });

  /** The list of this page's keys: those laid by scripts, then those written in the page's own dl[data-keys]. */
  function keyList() {
    const list = Logbook.make("dl", { class: "keys" });
    keys.forEach(function (entry, key) {
      const term = Logbook.make("dt", {}, Logbook.make("kbd", {}, key));
      list.append(Logbook.make("div", {}, term, Logbook.make("dd", {}, entry.words)));
    });
    document.querySelectorAll("dl[data-keys]").forEach(function (written) {
      Array.from(written.children).forEach((pair) => list.append(pair.cloneNode(true)));
    });
    return list;
  }

  /** Opens the list of keys. */
  Logbook.showKeys = function () {
    const word = Logbook.word;
    const box = Logbook.make("input", { type: "checkbox" });
    box.checked = keysOn();
    box.addEventListener("change", () => setKeys(box.checked));
    const close = Logbook.make("button", { type: "button", class: "button button--plain" }, word("close"));
    const dialog = Logbook.make(
      "dialog",
      { "aria-labelledby": "keys-title" },
      Logbook.make("h2", { id: "keys-title" }, word("keys-title")),
      keyList(),
      Logbook.make("label", { class: "choice" }, box, word("keys-on")),
      Logbook.make("p", { class: "acts" }, close),
    );
    close.addEventListener("click", () => dialog.close());
    dialog.addEventListener("close", () => dialog.remove());
    document.body.append(dialog);
    dialog.showModal();
    close.focus();
  };

  const search = document.querySelector("[data-search]");
  if (search) {
    Logbook.key("/", Logbook.word("keys-search"), function () {
      search.focus();
      search.select();
    });
  }
  Logbook.key("?", Logbook.word("keys-help"), Logbook.showKeys);

  Logbook.each("[data-keys-open]", function (button) {
    button.hidden = false;
    button.addEventListener("click", Logbook.showKeys);
  });

  // After a fault the summary is what one reads first.
  Logbook.each("[data-form-errors]", (summary) => summary.focus());

  // The server says that a draft has become a find: the copy on this device goes.
  Logbook.each("[data-draft-done]", function (mark) {
    try {
      localStorage.removeItem("logbook-draft:" + mark.dataset.draftDone);
    } catch {
      // Nothing was stored.
    }
  });

  // Content swapped in by htmx starts its parts too.
  document.addEventListener("htmx:load", (event) => Logbook.added(event.target));
})();

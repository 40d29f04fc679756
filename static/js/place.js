/**
 * The phone's own position, with how good it is, written into the field where one could type it: what stands there
 * counts, whoever wrote it. Typing over it takes the phone's name off it.
 */
(function () {
  "use strict";

  const OPTIONS = { enableHighAccuracy: true, timeout: 30000, maximumAge: 10000 };

  function field(holder, name) {
    const id = holder.dataset[name];
    return id ? document.getElementById(id) : null;
  }

  function write(input, value) {
    if (!input) return;
    input.value = value;
    input.dispatchEvent(new Event("input", { bubbles: true }));
    input.dispatchEvent(new Event("change", { bubbles: true }));
  }

  function start(holder) {
    const button = holder.querySelector("[data-place-here]");
    const state = holder.querySelector("[data-place-state]");
    if (!button) return;
    const say = (text) => state && (state.textContent = text);
    const text = field(holder, "text");
    const source = field(holder, "source");
    button.hidden = false;
    if (text && source) {
      // Events made by scripts (here and on the map) are not trusted; only the writer's own are.
      text.addEventListener("input", function (event) {
        if (!event.isTrusted || !source.value) return;
        source.value = "";
        write(field(holder, "accuracy"), "");
        say("");
      });
    }

    function found(position) {
      const { latitude, longitude, accuracy } = position.coords;
      // Never finer than the phone says: the radius is rounded up to whole metres.
      const metres = Math.ceil(accuracy);
      if (source) source.value = "phone";
      write(field(holder, "accuracy"), String(metres));
      write(text, latitude.toFixed(6) + ", " + longitude.toFixed(6));
      button.disabled = false;
      say(Logbook.word("place-found", { metres: metres }));
    }

    function failed(fault) {
      button.disabled = false;
      say(Logbook.word(fault.code === fault.PERMISSION_DENIED ? "place-denied" : "place-none"));
    }

    button.addEventListener("click", function () {
      if (!window.isSecureContext || !navigator.geolocation) {
        say(Logbook.word("place-insecure"));
        return;
      }
      button.disabled = true;
      say(Logbook.word("place-asking"));
      navigator.geolocation.getCurrentPosition(found, failed, OPTIONS);
    });
  }

  Logbook.each("[data-place]", start);
})();

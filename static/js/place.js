/** The phone's own position, with how good it is, written into the fields of a place. */
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
    button.hidden = false;

    function found(position) {
      const { latitude, longitude, accuracy } = position.coords;
      // Never finer than the phone says: the radius is rounded up to whole metres.
      const metres = Math.ceil(accuracy);
      const lat = field(holder, "lat");
      const text = field(holder, "text");
      write(field(holder, "accuracy"), String(metres));
      write(field(holder, "lon"), longitude.toFixed(6));
      write(lat, latitude.toFixed(6));
      if (!lat && text) write(text, latitude.toFixed(6) + ", " + longitude.toFixed(6));
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

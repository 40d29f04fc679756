/** A map with the sites' boundaries; a tap sets the place. Without a tile server: plain ground with a graticule. */
(function () {
  "use strict";

  const STEPS = [30, 10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001];
  const TAP_PIXELS = 12;
  const NAMES_FROM = 11;
  const NEAR = 14;
  const ACROSS = 96;
  const DOWN = 72;

  function number(value, otherwise) {
    const read = Number.parseFloat(value);
    return Number.isFinite(read) ? read : otherwise;
  }

  /** Text as an element, so that nothing from data is ever read as markup. */
  function words(text, name) {
    return Logbook.make("span", { class: name || "" }, text);
  }

  /** Text as Leaflet's attribution wants it: it reads markup, so none is left. */
  function escaped(text) {
    const marks = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };
    return text.replace(/[&<>"]/g, (mark) => marks[mark]);
  }

  /** The finest step whose lines stand at least so many pixels apart. @param {number} span degrees in view */
  function stepFor(span, pixels, least) {
    const wide = STEPS.filter((one) => (one / span) * pixels >= least);
    return wide.length ? wide[wide.length - 1] : STEPS[0];
  }

  /** Lines of latitude and longitude, with their degrees at the edge. */
  function graticule(map) {
    const lines = L.layerGroup().addTo(map);

    function label(at, value, step, east) {
      const digits = Math.max(0, Math.ceil(-Math.log10(step)));
      const side = east ? (value < 0 ? " W" : " E") : value < 0 ? " S" : " N";
      const name = "map-degree-words" + (east ? " map-degree-words--east" : "");
      const text = words(Math.abs(value).toFixed(digits) + "°" + side, name);
      const icon = L.divIcon({ className: "map-degree", html: text, iconSize: null });
      L.marker(at, { icon: icon, interactive: false, keyboard: false }).addTo(lines);
    }

    function draw() {
      lines.clearLayers();
      const view = map.getBounds();
      const size = map.getSize();
      const [south, north, west, east] = [view.getSouth(), view.getNorth(), view.getWest(), view.getEast()];
      if (!size.x || !size.y || north <= south) return;
      const style = { className: "map-line", interactive: false };
      const up = stepFor(north - south, size.y, DOWN);
      const along = stepFor(east - west, size.x, ACROSS);
      for (let count = Math.ceil(south / up); count * up <= north; count += 1) {
        L.polyline([[count * up, west], [count * up, east]], style).addTo(lines);
        label([count * up, west], count * up, up, false);
      }
      for (let count = Math.ceil(west / along); count * along <= east; count += 1) {
        L.polyline([[south, count * along], [north, count * along]], style).addTo(lines);
        label([north, count * along], count * along, along, true);
      }
    }

    map.on("moveend", draw);
    draw();
  }

  /** The boundaries of sites, each with its name. @returns {Promise<L.LatLngBounds|null>} what they reach over */
  async function boundaries(map, url) {
    const response = await Logbook.fetch(url);
    const layer = L.geoJSON(await response.json(), {
      style: () => ({ className: "map-site" }),
      pointToLayer: (feature, at) => L.circleMarker(at, { radius: 6, className: "map-site" }),
      onEachFeature: function (feature, shape) {
        const name = feature.properties && feature.properties.name;
        if (name) shape.bindTooltip(words(name), { permanent: true, direction: "center", className: "map-name" });
      },
    }).addTo(map);
    return layer.getLayers().length ? layer.getBounds() : null;
  }

  function marker(holder, at) {
    const data = holder.dataset;
    if (!data.icon) return L.circleMarker(at, { radius: 7, className: "map-point", interactive: false });
    const icon = L.icon({
      iconUrl: data.icon,
      iconRetinaUrl: data.icon2x || data.icon,
      shadowUrl: data.iconShadow || null,
      iconSize: [25, 41],
      iconAnchor: [12, 41],
      shadowSize: [41, 41],
    });
    return L.marker(at, { icon: icon, keyboard: false, interactive: false, alt: "" });
  }

  /** The place itself: a point, the reach of its uncertainty, and the fields they are written into. */
  function place(holder, map) {
    const input = (name) => (holder.dataset[name] ? document.getElementById(holder.dataset[name]) : null);
    const text = input("targetText");
    const source = input("targetSource");
    const accuracy = input("targetAccuracy");
    let point = null;
    let reach = null;
    let writing = false;

    function show(at, metres) {
      if (point) point.setLatLng(at);
      else point = marker(holder, at).addTo(map);
      if (reach) reach.remove();
      reach = metres > 0 ? L.circle(at, { radius: metres, className: "map-reach", interactive: false }).addTo(map) : null;
    }

    function clear() {
      if (point) point.remove();
      if (reach) reach.remove();
      point = reach = null;
    }

    /** Shows what stands in the field: degrees at once; a grid reference is read by the server. */
    async function fromField() {
      if (writing) return;
      const typed = text.value.trim();
      const degrees = typed.match(/^(-?\d{1,2}\.\d+), (-?\d{1,3}\.\d+)$/);
      if (degrees) {
        look([number(degrees[1], 0), number(degrees[2], 0)], accuracy ? number(accuracy.value, 0) : 0);
        return;
      }
      clear();
      if (!typed || !holder.dataset.read) return;
      const url = new URL(holder.dataset.read, window.location.href);
      url.searchParams.set("text", typed);
      try {
        const answer = await (await Logbook.fetch(url)).json();
        if (text.value.trim() === typed && answer.outcome === "read") look([answer.lat, answer.lon], answer.uncertainty_m || 0);
      } catch {
        // Without the server the words stand, only the map does not show them.
      }
    }

    function look(at, metres) {
      show(at, metres);
      if (!map.getSize().x) return;
      if (!map.getBounds().contains(at) || map.getZoom() < NEAR) map.setView(at, Math.max(map.getZoom(), NEAR), { animate: false });
    }

    /** @param {L.LatLng} at a place tapped: as good as a fingertip at this scale, never better */
    function set(at) {
      const where = at.wrap();
      const beside = map.containerPointToLatLng(map.latLngToContainerPoint(at).add([TAP_PIXELS, 0]));
      const metres = Math.max(5, Math.round(at.distanceTo(beside)));
      writing = true;
      const written = where.lat.toFixed(6) + ", " + where.lng.toFixed(6);
      [[source, "map"], [accuracy, String(metres)], [text, written]].forEach(function ([field, value]) {
        if (!field) return;
        field.value = value;
        field.dispatchEvent(new Event("input", { bubbles: true }));
        field.dispatchEvent(new Event("change", { bubbles: true }));
      });
      writing = false;
      show(where, metres);
    }

    if (text) {
      map.on("click", (event) => set(event.latlng));
      map.getContainer().addEventListener("keydown", function (event) {
        if (event.key !== "Enter" || event.target !== map.getContainer()) return;
        event.preventDefault();
        set(map.getCenter());
      });
      [text, accuracy].forEach((field) => field && field.addEventListener("change", fromField));
      fromField();
    } else if (holder.hasAttribute("data-point")) {
      show(map.getCenter(), number(holder.dataset.accuracy, 0));
    }
    return { at: () => point && point.getLatLng() };
  }

  function start(holder) {
    if (!window.L) return;
    const data = holder.dataset;
    holder.hidden = false;
    const calm = window.matchMedia("(prefers-reduced-motion: reduce)").matches;
    const map = L.map(holder, {
      center: [number(data.lat, 54), number(data.lon, -2.5)],
      zoom: number(data.zoom, 6),
      zoomControl: false,
      zoomAnimation: !calm,
      fadeAnimation: !calm,
      markerZoomAnimation: !calm,
    });
    map.attributionControl.setPrefix("Leaflet");
    L.control
      .zoom({
        position: "topright",
        zoomInTitle: Logbook.word("map-zoom-in"),
        zoomOutTitle: Logbook.word("map-zoom-out"),
      })
      .addTo(map);
    const far = () => holder.classList.toggle("map--far", map.getZoom() < NAMES_FROM);
    map.on("zoomend", far);
    far();
    L.control.scale({ imperial: false }).addTo(map);
    holder.setAttribute("role", "application");
    if (!holder.hasAttribute("aria-label")) holder.setAttribute("aria-label", Logbook.word("map-label"));
    if (data.tiles) {
      const attribution = escaped(data.attribution || "");
      L.tileLayer(data.tiles, { attribution: attribution, maxZoom: number(data.maxZoom, 19) }).addTo(map);
    } else {
      map.attributionControl.addAttribution(escaped(Logbook.word("map-plain")));
      graticule(map);
    }
    const fold = holder.closest("details");
    if (fold) fold.hidden = false;
    let sites = null;
    const shown = place(holder, map);

    /** Where to look first: at the place, else at all the sites. A map in a folded part has no size until it opens. */
    function look() {
      map.invalidateSize();
      if (!map.getSize().x) return;
      const at = shown && shown.at();
      if (at) map.setView(at, Math.max(map.getZoom(), NEAR), { animate: false });
      else if (sites && holder.hasAttribute("data-fit")) map.fitBounds(sites, { padding: [16, 16], animate: false });
    }

    if (data.geojson) {
      boundaries(map, data.geojson)
        .then(function (bounds) {
          sites = bounds;
          if (holder.hasAttribute("data-fit")) look();
        })
        .catch(() => holder.classList.add("map--bare"));
    }
    if (fold) fold.addEventListener("toggle", look);
  }

  Logbook.each("[data-map]", start);
})();

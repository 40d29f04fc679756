/** A map with the sites' boundaries; a tap sets the place. Without a tile server: plain ground with a graticule. */
(function () {
  "use strict";

  const STEPS = [30, 10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001];
  const TAP_PIXELS = 12;
  const NAMES_FROM = 11;
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

  /** The boundaries of sites, each with its name. @returns {Promise<void>} */
  async function boundaries(map, url, fit) {
    const response = await Logbook.fetch(url);
    const layer = L.geoJSON(await response.json(), {
      style: () => ({ className: "map-site" }),
      pointToLayer: (feature, at) => L.circleMarker(at, { radius: 6, className: "map-site" }),
      onEachFeature: function (feature, shape) {
        const name = feature.properties && feature.properties.name;
        if (name) shape.bindTooltip(words(name), { permanent: true, direction: "center", className: "map-name" });
      },
    }).addTo(map);
    if (fit && layer.getLayers().length) map.fitBounds(layer.getBounds(), { padding: [16, 16], animate: false });
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
    const lat = input("targetLat");
    const lon = input("targetLon");
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

    function fromFields() {
      if (writing || !lat || !lon) return;
      const at = [number(lat.value, NaN), number(lon.value, NaN)];
      if (!at.every(Number.isFinite) || Math.abs(at[0]) > 90 || Math.abs(at[1]) > 180) return;
      show(at, accuracy ? number(accuracy.value, 0) : 0);
      if (!map.getBounds().contains(at)) map.panTo(at, { animate: false });
    }

    /** @param {L.LatLng} at a place tapped: as good as a fingertip at this scale, never better */
    function set(at) {
      const where = at.wrap();
      const beside = map.containerPointToLatLng(map.latLngToContainerPoint(at).add([TAP_PIXELS, 0]));
      const metres = Math.max(5, Math.round(at.distanceTo(beside)));
      writing = true;
      [[lat, where.lat.toFixed(6)], [lon, where.lng.toFixed(6)], [accuracy, String(metres)]].forEach(function ([field, value]) {
        if (!field) return;
        field.value = value;
        field.dispatchEvent(new Event("input", { bubbles: true }));
        field.dispatchEvent(new Event("change", { bubbles: true }));
      });
      writing = false;
      show(where, metres);
    }

    if (lat && lon) {
      map.on("click", (event) => set(event.latlng));
      map.getContainer().addEventListener("keydown", function (event) {
        if (event.key !== "Enter" || event.target !== map.getContainer()) return;
        event.preventDefault();
        set(map.getCenter());
      });
      [lat, lon, accuracy].forEach((field) => field && field.addEventListener("change", fromFields));
      fromFields();
    } else if (holder.hasAttribute("data-point")) {
      show(map.getCenter(), number(holder.dataset.accuracy, 0));
    }
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
    place(holder, map);
    if (data.geojson) {
      boundaries(map, data.geojson, holder.hasAttribute("data-fit")).catch(() => holder.classList.add("map--bare"));
    }
    // A map within a folded part has no size until it opens.
    const fold = holder.closest("details");
    if (fold) fold.addEventListener("toggle", () => map.invalidateSize());
  }

  Logbook.each("[data-map]", start);
})();

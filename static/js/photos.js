/**
 * Photographs being added: previews, the view each one shows, and sending one by one with progress.
 * A sent one leaves photo_uuid and photo_view-UUID in the form; one not sent stays in the file field with
 * photograph_view, so that sending the form carries it. Without this script the file field alone does the work.
 */
(function () {
  "use strict";

  const MEGABYTE = 1024 * 1024;

  /** @typedef {{file: File, uuid: string, state: string, line: HTMLElement, view: HTMLSelectElement|null,
   *   bar: HTMLProgressElement, words: HTMLElement, again: HTMLElement, xhr: XMLHttpRequest|null}} Shot */

  function start(holder) {
    const input = holder.querySelector("input[type=file]");
    const list = holder.querySelector("[data-photo-list]");
    const views = holder.querySelector("template[data-photo-views]");
    if (!input || !list) return;
    // Asked each time: a draft taken up brings its own address.
    const address = () => holder.dataset.uploadUrl || "";
    const url = Boolean(address());
    const most = Number(holder.dataset.maxMb || 0);
    const form = input.form;
    /** @type {Shot[]} */
    const shots = [];
    let waiting = null;
    holder.classList.add("photo-choice--live");

    /** The file field holds exactly what the form itself must carry. */
    function keepInField() {
      const transfer = new DataTransfer();
      shots.filter((shot) => shot.state !== "kept" && shot.state !== "refused").forEach((shot) => transfer.items.add(shot.file));
      input.files = transfer.files;
    }

    function say(shot, text) {
      shot.words.textContent = text;
    }

    function makeView(shot) {
      if (!views) return null;
      const select = views.content.querySelector("select").cloneNode(true);
      select.removeAttribute("id");
      select.name = "photograph_view";
      select.setAttribute("aria-label", Logbook.word("photo-view", { name: shot.file.name }));
      const index = Math.min(shots.length, select.options.length - 1);
      if (holder.hasAttribute("data-views-in-order")) select.selectedIndex = index;
      return select;
    }

    function makeLine(shot) {
      const picture = Logbook.make("img", { alt: "", width: "160", height: "120" });
      picture.src = URL.createObjectURL(shot.file);
      picture.addEventListener("load", () => URL.revokeObjectURL(picture.src));
      // Some kinds of photograph cannot be shown by the browser that sends them; the name stands alone then.
      picture.addEventListener("error", () => picture.remove());
      const name = Logbook.make("span", { class: "photo-chosen-name" }, shot.file.name);
      const away = Logbook.word("photo-remove", { name: shot.file.name });
      const remove = Logbook.make("button", { type: "button", class: "button button--quiet" }, away);
      remove.addEventListener("click", () => drop(shot));
      shot.again.addEventListener("click", function () {
        shot.state = "waiting";
        shot.again.hidden = true;
        next();
      });
      const frame = Logbook.make("div", { class: "photo-frame" }, picture, name);
      shot.line.append(frame);
      if (shot.view) shot.line.append(shot.view);
      shot.line.append(shot.bar, shot.words, shot.again, remove);
    }

    function add(file) {
      const shot = {
        file: file,
        uuid: Logbook.uuid(),
        state: url ? "waiting" : "plain",
        line: Logbook.make("li", {}),
        view: null,
        bar: Logbook.make("progress", { class: "progress-bar", max: "100", value: "0", "aria-label": file.name }),
        words: Logbook.make("p", { class: "photo-chosen-state" }),
        again: Logbook.make("button", { type: "button", class: "button button--plain" }, Logbook.word("photo-again")),
        xhr: null,
      };
      shot.again.hidden = true;
      shot.bar.hidden = !url;
      shot.view = makeView(shot);
      makeLine(shot);
      shots.push(shot);
      list.append(shot.line);
      if (url) say(shot, Logbook.word("photo-waiting"));
      if (most && file.size > most * MEGABYTE) fail(shot, Logbook.word("photo-large", { size: most }));
    }

    function drop(shot) {
      if (shot.xhr) shot.xhr.abort();
      const sent = shot.state === "kept";
      shots.splice(shots.indexOf(shot), 1);
      shot.line.remove();
      if (sent && holder.dataset.deleteUrl) {
        const body = new URLSearchParams({ uuid: shot.uuid });
        // Where the server cannot be told, the photograph is simply not named in the form.
        Logbook.fetch(holder.dataset.deleteUrl, { method: "POST", body: body }).catch(() => {});
      }
      keepInField();
      input.focus();
      next();
    }

    function fail(shot, reason) {
      shot.state = "failed";
      shot.xhr = null;
      shot.bar.hidden = true;
      shot.again.hidden = false;
      say(shot, Logbook.word("photo-failed", { reason: reason }));
      Logbook.say(shot.words.textContent);
    }

    /** What the server has judged and will not take is not sent again, neither by itself nor with the form. */
    function refuse(shot, reason) {
      fail(shot, reason);
      shot.state = "refused";
      shot.again.hidden = true;
      if (shot.view) shot.view.remove();
      keepInField();
    }

    function keep(shot, answer) {
      shot.state = "kept";
      shot.uuid = answer.uuid || shot.uuid;
      shot.xhr = null;
      shot.bar.hidden = true;
      say(shot, Logbook.word("photo-kept"));
      if (shot.view) shot.view.name = "photo_view-" + shot.uuid;
      shot.line.append(Logbook.make("input", { type: "hidden", name: "photo_uuid", value: shot.uuid }));
      keepInField();
      if (form) form.dispatchEvent(new Event("change", { bubbles: true }));
    }

    function send(shot) {
      const body = new FormData();
      body.append("photograph", shot.file, shot.file.name);
      body.append("uuid", shot.uuid);
      if (shot.view) body.append("view", shot.view.value);
      const xhr = (shot.xhr = new XMLHttpRequest());
      shot.state = "sending";
      shot.bar.hidden = false;
      xhr.open("POST", address());
      xhr.setRequestHeader("X-CSRFToken", Logbook.csrf());
      xhr.setRequestHeader("Accept", "application/json");
      xhr.upload.addEventListener("progress", function (event) {
        if (!event.lengthComputable) return;
        const percent = Math.floor((100 * event.loaded) / event.total);
        shot.bar.value = percent;
        say(shot, Logbook.word("photo-sending", { percent: percent }));
      });
      xhr.addEventListener("load", function () {
        let answer = {};
        try {
          answer = JSON.parse(xhr.responseText);
        } catch {
          // An answer that is not JSON is told below as a refusal.
        }
        if (xhr.status >= 200 && xhr.status < 300) keep(shot, answer);
        else if (xhr.status === 422) refuse(shot, answer.message || Logbook.word("photo-refused"));
        else fail(shot, answer.message || Logbook.word("photo-refused"));
        next();
      });
      xhr.addEventListener("error", function () {
        fail(shot, Logbook.word("photo-unreachable"));
        next();
      });
      xhr.send(body);
    }

    /** One at a time: a wood has little signal, and one finished photograph is worth five half sent. */
    function next() {
      if (!url || shots.some((shot) => shot.state === "sending")) return;
      const shot = shots.find((one) => one.state === "waiting");
      if (shot) send(shot);
      else if (waiting) {
        const submitter = waiting.submitter;
        waiting = null;
        form.requestSubmit(submitter);
      }
    }

    const busy = () => shots.some((shot) => shot.state === "sending" || shot.state === "waiting");

    input.addEventListener("change", function () {
      const chosen = Array.from(input.files);
      if (!chosen.length) return;
      const known = new Set(shots.map((shot) => shot.file.name + shot.file.size + shot.file.lastModified));
      chosen.filter((file) => !known.has(file.name + file.size + file.lastModified)).forEach(add);
      keepInField();
      next();
    });

    if (form && url) {
      form.addEventListener("submit", function (event) {
        if (!busy()) return;
        event.preventDefault();
        waiting = { submitter: event.submitter };
        Logbook.say(Logbook.word("photo-leave"));
      });
      window.addEventListener("beforeunload", function (event) {
        if (busy()) event.preventDefault();
      });
    }
  }

  Logbook.each("[data-photos]", start);
})();

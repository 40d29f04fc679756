/** Shows the parts of a form that belong to the chosen form of fungus: bracket, bolete, rust ... */
(function () {
  "use strict";

  /** Whether a part holds something typed or a fault; such a part is never put out of sight. */
  function inUse(part) {
    if (part.querySelector(".field-error")) return true;
    return Array.from(part.querySelectorAll("input, select, textarea")).some(function (field) {
      if (field.type === "hidden") return false;
      if (field.type === "checkbox" || field.type === "radio") return field.checked && field.value !== "";
      return field.value !== "" && field.value !== "unknown";
    });
  }

  function start(choice) {
    const scope = choice.closest("form") || document;

    function apply() {
      const radio = choice.matches("select, input") ? null : choice.querySelector("input:checked");
      const chosen = choice.matches("select, input") ? choice.value : (radio && radio.value) || "";
      scope.querySelectorAll("[data-forms]").forEach(function (part) {
        const forms = part.dataset.forms.split(/\s+/);
        const fits = chosen ? forms.includes(chosen) : part.hasAttribute("data-forms-default");
        part.hidden = !fits && !inUse(part);
      });
    }

    choice.addEventListener("change", apply);
    // A name of the checklist brings its form along, where none was chosen.
    scope.addEventListener("logbook:named", function (event) {
      const form = event.detail && event.detail.form;
      if (!form || !choice.matches("select") || choice.value) return;
      if (!Array.from(choice.options).some((option) => option.value === form)) return;
      choice.value = form;
      apply();
    });
    apply();
  }

  Logbook.each("[data-form-choice]", start);
})();

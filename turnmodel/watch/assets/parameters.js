// The parameters as sliders and fields: what is moved is asked for, what was built is shown.

const RESTING = 700; // a control that was moved less than so long ago [ms] is left to the hand on it

function createParameters(form, ask) {
  const rows = new Map();
  let shown = [];
  let asked = {};
  let asking = false;

  // One question at a time: while one is on its way the newest values wait.
  async function send() {
    if (asking) return;
    asking = true;
    while (Object.keys(asked).length) {
      const now = asked;
      asked = {};
      await ask(now);
    }
    asking = false;
  }

  function show(parameters) {
    shown = parameters;
    const same = parameters.length === rows.size && parameters.every(({ name, kind, low }) => rows.get(name)?.kind === kind && rows.get(name).slides === (low !== null));
    if (!same) {
      rows.clear();
      form.replaceChildren(...parameters.map(build));
    }
    parameters.forEach((parameter) => rows.get(parameter.name).show(parameter));
  }

  function build({ name, kind, low }) {
    const row = element("div", { className: "parameter" });
    const title = element("label", { htmlFor: `value-${name}`, textContent: name.replaceAll("_", " ") });
    const field = element("input", { id: `value-${name}`, name, autocomplete: "off", type: FIELD_OF[kind] });
    const slider = element("input", { type: "range", ariaLabel: `${title.textContent}, slider`, autocomplete: "off" });
    const said = element("p", { className: "said", id: `said-${name}` });
    const numeric = kind === "number" || kind === "whole";
    const slides = low !== null;
    field.setAttribute("aria-describedby", said.id);
    let touched = -Infinity;
    let resting = 0;

    const touch = () => (touched = performance.now());
    function moved(value) {
      asked[name] = value;
      send();
    }
    field.addEventListener("input", touch);
    slider.addEventListener("input", touch);
    field.addEventListener("input", () => {
      if (kind === "truth") return moved(String(field.checked));
      if (numeric && (field.value === "" || !field.validity.valid)) return;
      if (slides) reach(field.value);
      moved(field.value);
    });
    slider.addEventListener("input", () => {
      field.value = tidy(slider.value);
      moved(field.value);
    });
    const tidy = (text) => String(Number(Number(text).toPrecision(12)));
    const reach = (value) => {
      slider.min = Math.min(slider.min, value);
      slider.max = Math.max(slider.max, value);
      slider.value = value;
    };

    row.append(title, field, ...(slides ? [slider] : []), said);
    rows.set(name, {
      kind,
      slides,
      release() {
        touched = -Infinity;
      },
      show(parameter) {
        const { value, default: own, low, high, step, unwritable } = parameter;
        const differs = value !== own;
        row.classList.toggle("differs", differs);
        said.textContent = [differs && `The script says ${told(own)}.`, unwritable && `Not written back: ${unwritable}.`]
          .filter(Boolean)
          .join(" ");
        clearTimeout(resting);
        const left = touched + RESTING - performance.now();
        if (left > 0) {
          resting = setTimeout(() => this.show(parameter), left);
          return;
        }
        if (kind === "truth") field.checked = value;
        else field.value = numeric ? tidy(value) : value;
        if (numeric) field.step = kind === "whole" ? 1 : "any";
        if (!slides) return;
        Object.assign(slider, { step: "any", min: low, max: high });
        reach(value);
        slider.step = step;
      },
    });
    return row;
  }

  return {
    show,
    differ: () => shown.some(({ value, default: own }) => value !== own),
    release: () => rows.forEach((row) => row.release()),
  };
}

const FIELD_OF = { number: "number", whole: "number", text: "text", truth: "checkbox" };
const told = (value) => (value === true ? "yes" : value === false ? "no" : String(value));
const element = (tag, properties) => Object.assign(document.createElement(tag), properties);

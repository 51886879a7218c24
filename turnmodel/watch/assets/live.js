// Follows the news: what was built is shown in place, the view stays as it is.

const SAID = 8000; // what was done is said for so long [ms]

const at = (id) => document.getElementById(id);

async function ask(what, values = {}) {
  try {
    const answer = await fetch(what, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify(values),
    });
    return answer.ok ? await answer.json() : {};
  } catch {
    return {}; // the stream of news tells that nobody answers
  }
}

const fields = createParameters(at("fields"), (values) => {
  at("written").textContent = "";
  return ask("set", values);
});
const model = {}; // the stage keeps it, so what is in it is exchanged
let viewer = null;
let laidOut = "";
let inPlace = "";
let wanted = "";
let fetching = false;
let troubled = false;

async function follow(shape) {
  wanted = shape.model;
  if (fetching) return;
  fetching = true;
  while (inPlace !== wanted) {
    const name = wanted;
    const answer = await fetch(`model.glb?${name}`).catch(() => null);
    if (!answer?.ok) break;
    const bytes = new Uint8Array(await answer.arrayBuffer());
    inPlace = name;
    show(readGlb(bytes), latest.stage);
  }
  fetching = false;
}

function show(next, stage) {
  Object.assign(model, next);
  if (stage === laidOut) {
    viewer?.load(model);
    at("stage").querySelector('input[name="apart"]').dispatchEvent(new Event("input"));
  } else {
    laidOut = stage;
    lay(stage);
  }
  document.body.dataset.model = inPlace;
}

// Other states or parts: the stage is laid out anew, and set as the old one was.
function lay(stage) {
  const old = at("stage");
  const kept = old ? [...old.querySelectorAll("input")].map(({ name, value, checked }) => ({ name, value, checked })) : [];
  const view = viewer && { ...viewer.view };
  old?.querySelector("canvas").getContext("webgl2")?.getExtension("WEBGL_lose_context")?.loseContext();
  at("place").innerHTML = stage;
  at("stage").querySelectorAll("input").forEach((input) => {
    const before = kept.find(({ name, value }) => name === input.name && (input.type === "range" || value === input.value));
    if (before && input.type === "range") input.value = before.value;
    else if (before && (input.type !== "radio" || before.checked)) input.checked = before.checked;
  });
  viewer = openStage(at("stage"), model);
  if (view) viewer?.look(view);
}

let latest = null;
let fading = 0;
const hear = {
  shape(shape) {
    latest = shape;
    document.title = `${shape.design}, live`;
    at("design").textContent = shape.design;
    ["states", "parts"].forEach((name) => {
      at(name).querySelector(".told").innerHTML = shape[name];
      at(name).hidden = false;
    });
    follow(shape);
  },
  parameters(parameters) {
    at("parameters").hidden = parameters.length === 0;
    fields.show(parameters);
  },
  findings({ summary, findings }) {
    const open = at("found").querySelector("details")?.open ?? false;
    at("summary").innerHTML = summary;
    at("found").innerHTML = findings;
    const notes = at("found").querySelector("details");
    if (notes) notes.open = open;
  },
  troubles(troubles) {
    troubled = troubles.length > 0;
    at("troubles").replaceChildren(...troubles.map(trouble));
    document.body.classList.toggle("troubled", troubled);
  },
  build({ state, set }) {
    at("stop").hidden = state !== "slow";
    at("reset").disabled = !set;
    document.body.dataset.build = state;
  },
};

function trouble({ text, mend, file, line, lines }) {
  const box = element("div", { className: "trouble" });
  box.append(element("p", { className: "severity", textContent: file ? `${file}, line ${line}` : "The script" }));
  box.append(element("p", { className: "message", textContent: text }));
  if (mend) box.append(element("p", { className: "mend", textContent: mend[0].toUpperCase() + mend.slice(1) }));
  if (lines.length) {
    const code = element("pre", { tabIndex: 0 });
    lines.forEach(([number, words]) => {
      const row = element("span", { className: number === line ? "meant" : "" });
      row.append(element("i", { textContent: String(number).padStart(4) }), `  ${words}\n`);
      code.append(row);
    });
    box.append(code);
  }
  return box;
}

function tellState() {
  const state = document.body.dataset.build;
  const shows = latest ? ", the last good object is shown" : "";
  const words = {
    slow: "Still running",
    building: latest ? at("said").textContent : "Building the first time",
    done: troubled ? `Not built${shows}` : "Up to date",
  }[state];
  if (at("said").textContent !== words) at("said").textContent = words;
  at("write").disabled = troubled || !fields.differ();
}

const news = new EventSource("news");
news.addEventListener("message", ({ data }) => {
  const said = JSON.parse(data);
  document.body.classList.remove("ended");
  ["shape", "parameters", "findings", "troubles", "build"].forEach((subject) => {
    if (subject in said) hear[subject](said[subject]);
  });
  tellState();
});
news.addEventListener("error", () => {
  document.body.classList.add("ended");
  at("said").textContent = "turnmodel watch has ended: start it again and open the address it prints";
  at("stop").hidden = true;
});

at("stop").addEventListener("click", () => ask("stop"));
at("reset").addEventListener("click", () => {
  fields.release();
  at("written").textContent = "";
  ask("reset");
});
at("write").addEventListener("click", async () => {
  const { written, refused } = await ask("write");
  at("written").textContent = refused
    ? `Nothing was written. ${refused.map(({ text, mend }) => [text, mend].filter(Boolean).join("; ")).join(". ")}.`
    : `Written: ${(written || []).join(", ").replaceAll("_", " ")}.`;
  clearTimeout(fading);
  if (!refused) fading = setTimeout(() => at("written").replaceChildren(), SAID);
});

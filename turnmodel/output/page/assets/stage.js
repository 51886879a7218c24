// The stage: the canvas and what moves it, by pointer, by key and by slider.

const STEP = Math.PI / 18; // a press of an arrow key turns by 10 degrees

function openStage(stage, model) {
  const canvas = stage.querySelector("canvas");
  const viewer = createViewer(canvas);
  if (!viewer) {
    stage.classList.add("flat");
    return null;
  }
  viewer.load(model);
  byPointer(canvas, viewer);
  byKey(canvas, viewer);
  bySlider(stage, viewer, model);
  return viewer;
}

function byPointer(canvas, viewer) {
  const held = new Map();
  const spread = () => {
    const [a, b] = [...held.values()];
    return Math.hypot(a.x - b.x, a.y - b.y);
  };
  canvas.addEventListener("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    held.set(event.pointerId, { x: event.clientX, y: event.clientY });
  });
  canvas.addEventListener("pointermove", (event) => {
    const last = held.get(event.pointerId);
    if (!last) return;
    const before = held.size === 2 ? spread() : 0;
    const [dx, dy] = [event.clientX - last.x, event.clientY - last.y];
    held.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (held.size === 1) viewer.turn(dx / 130, dy / 130);
    else if (held.size === 2 && before > 0) viewer.zoom(spread() / before);
  });
  const release = (event) => held.delete(event.pointerId);
  canvas.addEventListener("pointerup", release);
  canvas.addEventListener("pointercancel", release);
  canvas.addEventListener(
    "wheel",
    (event) => {
      // A wheel belongs to the page until the object has been taken hold of.
      if (!event.ctrlKey && document.activeElement !== canvas) return;
      event.preventDefault();
      viewer.zoom(Math.exp(-event.deltaY / 400));
    },
    { passive: false },
  );
  canvas.addEventListener("blur", () => held.clear());
}

function byKey(canvas, viewer) {
  canvas.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const by = event.shiftKey ? STEP / 5 : STEP;
    const act = {
      ArrowLeft: () => viewer.turn(-by, 0),
      ArrowRight: () => viewer.turn(by, 0),
      ArrowUp: () => viewer.turn(0, -by),
      ArrowDown: () => viewer.turn(0, by),
      "+": () => viewer.zoom(1.2),
      "=": () => viewer.zoom(1.2),
      "-": () => viewer.zoom(1 / 1.2),
      Home: () => viewer.look(),
    }[event.key];
    if (!act) return;
    event.preventDefault();
    act();
  });
}

function bySlider(stage, viewer, model) {
  const said = stage.querySelector("[data-said]");
  const slider = (name) => stage.querySelector(`input[name="${name}"]`);
  const told = (input, text) => {
    input.setAttribute("aria-valuetext", text);
    input.nextElementSibling.value = text;
  };
  const steps = () => model.states[viewer.shown.state].steps;

  const cut = () => {
    const value = Number(slider("cut").value);
    told(slider("cut"), value === 0 ? "whole" : value === 100 ? "to the axis" : `${value} % of the way`);
    viewer.set({ cut: value / 100 });
  };
  const round = () => {
    const value = Number(slider("round").value);
    told(slider("round"), `${value}°`);
    viewer.set({ round: (value * Math.PI) / 180 });
  };
  const apart = () => {
    const value = Number(slider("apart").value);
    const count = steps().length;
    const step = Math.min(count - 1, Math.ceil((value / 100) * count) - 1);
    const words = step < 0 ? "together" : `${step + 1} of ${count}: ${steps()[step].words}`;
    told(slider("apart"), words);
    viewer.set({ apart: value / 100 });
  };
  slider("cut").addEventListener("input", cut);
  slider("round").addEventListener("input", round);
  slider("apart").addEventListener("input", apart);

  const present = () => {
    const names = new Set(model.states[viewer.shown.state].placed.map(({ name }) => name));
    stage.querySelectorAll('input[name="part"]').forEach((box) => {
      box.disabled = !names.has(box.value);
    });
    slider("apart").disabled = steps().length === 0;
  };
  stage.querySelectorAll('input[name="state"]').forEach((radio, number) => {
    radio.addEventListener("change", () => {
      viewer.set({ state: number });
      present();
      apart();
      said.textContent = `Shown ${radio.value}.`;
    });
    if (radio.checked) viewer.set({ state: number });
  });
  stage.querySelectorAll('input[name="part"]').forEach((box) => {
    const change = () => {
      const hidden = new Set(viewer.shown.hidden);
      if (box.checked) hidden.delete(box.value);
      else hidden.add(box.value);
      viewer.set({ hidden });
    };
    box.addEventListener("change", change);
    change();
  });
  const press = {
    nearer: () => viewer.zoom(1.25),
    further: () => viewer.zoom(1 / 1.25),
    reset: () => viewer.look(),
  };
  stage.querySelectorAll("button[data-do]").forEach((button) => {
    button.addEventListener("click", press[button.dataset.do]);
  });
  present();
  [cut, round, apart].forEach((follow) => follow());
}

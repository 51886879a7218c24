// Tick boxes that remember, in this browser, under the name of the design and the text of the step.

function rememberTicks(root, store) {
  const sheets = [...root.querySelectorAll("[data-sheet]")];
  sheets.forEach((sheet) => {
    const boxes = [...sheet.querySelectorAll("input[data-tick]")];
    const done = sheet.querySelector("[data-done]");
    const count = () => {
      const ticked = boxes.filter((box) => box.checked).length;
      done.textContent = `${ticked} of ${boxes.length} done`;
      return ticked;
    };
    boxes.forEach((box) => {
      box.checked = store.has(box.dataset.tick);
      box.addEventListener("change", () => {
        store.put(box.dataset.tick, box.checked);
        count();
      });
    });
    sheet.querySelector("button[data-clear]").addEventListener("click", () => {
      boxes.forEach((box) => {
        box.checked = false;
        store.put(box.dataset.tick, false);
      });
      count();
    });
    const ticked = count();
    sheet.open = ticked > 0 && ticked < boxes.length; // the sheet that is being worked from
  });
}

// A browser may refuse to store anything for a file from disk; ticks then last as long as the page.
function tickStore() {
  const kept = new Set();
  const tried = (act, otherwise) => {
    try {
      return act();
    } catch {
      return otherwise();
    }
  };
  return {
    has: (key) => tried(() => localStorage.getItem(key) === "1", () => kept.has(key)),
    put: (key, value) =>
      tried(
        () => (value ? localStorage.setItem(key, "1") : localStorage.removeItem(key)),
        () => (value ? kept.add(key) : kept.delete(key)),
      ),
  };
}

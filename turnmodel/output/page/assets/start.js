// Begins: the model from the page's own text, the stage, the ticks, and what printing needs open.

function bytesOf(text) {
  const raw = atob(text.trim());
  const bytes = new Uint8Array(raw.length);
  for (let k = 0; k < raw.length; k++) bytes[k] = raw.charCodeAt(k);
  return bytes;
}

openStage(document.getElementById("stage"), readGlb(bytesOf(document.getElementById("model").textContent)));
rememberTicks(document, tickStore());
hangGallery(document);

const folded = () => document.querySelectorAll("details:not([open])");
window.addEventListener("beforeprint", () => {
  folded().forEach((details) => {
    details.dataset.folded = "";
    details.open = true;
  });
});
window.addEventListener("afterprint", () => {
  document.querySelectorAll("details[data-folded]").forEach((details) => {
    delete details.dataset.folded;
    details.open = false;
  });
});

// A picture that is pressed takes the whole width, and its place again when it is pressed again.

function hangGallery(root) {
  root.querySelectorAll("button[data-enlarge]").forEach((button) => {
    button.addEventListener("click", () => {
      const large = button.parentElement.classList.toggle("large");
      button.setAttribute("aria-pressed", String(large));
      button.scrollIntoView({ block: "nearest" });
    });
  });
}

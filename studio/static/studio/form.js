/* Two things a form cannot do by itself: lead to the first error, and answer one click only. */
document.addEventListener("DOMContentLoaded", () => {
  const wrong = document.querySelector('[aria-invalid="true"]');
  if (wrong) {
    wrong.focus({ preventScroll: true });
    wrong.scrollIntoView({ block: "center" });
  }
});

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.dataset.sent) {
    event.preventDefault();
    return;
  }
  form.dataset.sent = "yes";
  for (const button of form.querySelectorAll("button")) button.setAttribute("aria-disabled", "true");
});

/* A page come back to, or a request that failed, leaves forms that may be sent again. */
function release() {
  for (const form of document.forms) {
    delete form.dataset.sent;
    for (const button of form.querySelectorAll("button")) button.removeAttribute("aria-disabled");
  }
}
window.addEventListener("pageshow", release);
document.addEventListener("htmx:afterRequest", release);

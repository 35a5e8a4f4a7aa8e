// Small comforts. Every page works without this file.
"use strict";
// After a refused form, take the reader to what is wrong.
const problems = document.getElementById("problems");
if (problems) problems.focus();
// A form is sent once, even when the button is pressed twice.
for (const f of document.querySelectorAll("form[method=post]")) {
  f.addEventListener("submit", (e) => {
    if (f.dataset.sent) e.preventDefault();
    f.dataset.sent = "1";
  });
}
window.addEventListener("pageshow", () => {
  for (const f of document.querySelectorAll("form[data-sent]")) delete f.dataset.sent;
});
// Buttons that print or copy exist only where they can work.
for (const b of document.querySelectorAll("[data-print]")) {
  b.hidden = false;
  b.addEventListener("click", () => window.print());
}
for (const b of document.querySelectorAll("[data-copy]")) {
  if (!navigator.clipboard) continue;
  b.hidden = false;
  b.addEventListener("click", async () => {
    await navigator.clipboard.writeText(document.getElementById(b.dataset.copy).value);
    b.textContent = "Copied";
  });
}

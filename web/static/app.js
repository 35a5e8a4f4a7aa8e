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
// Where something was renewed is asked only for what the car has more than once, with the places that it has.
for (const item of document.querySelectorAll("select[data-place]")) {
  const place = document.getElementById(item.dataset.place);
  const field = place?.closest(".field");
  if (!field) continue;
  const all = [...place.options];
  const fit = () => {
    const has = (item.selectedOptions[0]?.dataset.places || "").split(" ");
    const was = place.value;
    place.replaceChildren(...all.filter((o) => o.value === "" || has.includes(o.value)));
    place.value = has.includes(was) ? was : "";
    field.hidden = place.options.length < 2 && !field.classList.contains("bad");
  };
  item.addEventListener("change", fit);
  fit();
}
// What is being worked out is looked at again by itself, until it is done.
const poll = () => {
  const box = document.querySelector("[data-poll]");
  if (!box) return;
  setTimeout(async () => {
    try {
      const res = await fetch(location.pathname, { credentials: "same-origin" });
      const next = new DOMParser().parseFromString(await res.text(), "text/html").getElementById(box.id);
      if (!next?.hasAttribute("data-poll")) { location.assign(location.pathname + location.search); return; }
      box.querySelector("b").textContent = next.querySelector("b").textContent;
      box.querySelector("svg")?.replaceWith(next.querySelector("svg"));
    } catch { /* the server can't be reached: try again */ }
    poll();
  }, Number(box.dataset.poll));
};
poll();
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

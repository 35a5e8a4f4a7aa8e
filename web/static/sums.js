// A sum follows what is typed. Without this file the button does the same.
"use strict";
const form = document.querySelector("form[data-sum]");
const answer = document.getElementById("answer");
if (form && answer) {
  let timer, turn = 0;
  const ask = async () => {
    const query = new URLSearchParams(new FormData(form)).toString();
    const mine = ++turn;
    try {
      const reply = await fetch(`${location.pathname}?${query}&part=answer`);
      const text = await reply.text();
      if (mine !== turn || !reply.ok) return;
      answer.innerHTML = text;
      const ok = answer.querySelector("[data-said]");
      document.getElementById("said").textContent = ok ? ok.dataset.said : "";
      if (!ok) return;
      history.replaceState(null, "", `?${query}`);
      document.getElementById("problems")?.remove();
    } catch {
      if (mine !== turn || answer.querySelector(".stale")) return;
      const p = document.createElement("p");
      p.className = "error stale";
      p.textContent = "The server can't be reached: this is the answer to what stood here before.";
      answer.prepend(p);
    }
  };
  form.addEventListener("input", (e) => {
    const field = e.target.closest(".field");
    field?.querySelector(".error")?.remove();
    field?.classList.remove("bad");
    e.target.removeAttribute("aria-invalid");
    document.getElementById("f-sum")?.remove();
    clearTimeout(timer);
    timer = setTimeout(ask, 250);
  });
}

// The walk round the car, made quicker: keys, and nothing typed is lost when the server can't be reached. Every page
// works without this file.
"use strict";
(() => {
  const round = document.querySelector(".round");
  if (!round) return;

  // What was typed and not yet taken by the server is kept on this device, under the address of the form.
  const key = (f) => "draft " + f.dataset.draft;
  const keep = (f, pressed) => {
    const typed = [];
    for (const el of f.elements) {
      if (!el.name || el.type === "file" || el.type === "hidden" && !el.name.startsWith("id|") || el.tagName === "BUTTON") continue;
      if ((el.type === "radio" || el.type === "checkbox") ? !el.checked : el.type !== "hidden" && el.value === el.defaultValue) continue;
      typed.push([el.name, el.value]);
    }
    const press = pressed ? [pressed.name, pressed.value, pressed.getAttribute("formaction")] : null;
    try { localStorage.setItem(key(f), JSON.stringify({ typed, press })); } catch { /* a full or closed store: the page still works */ }
  };
  const drop = (f) => { try { localStorage.removeItem(key(f)); } catch { /* nothing to drop */ } };
  const bring = (f) => {
    let draft = null;
    try { draft = JSON.parse(localStorage.getItem(key(f))); } catch { /* none */ }
    if (!Array.isArray(draft?.typed)) return null;
    const press = draft.press && [...f.querySelectorAll("button")].find((b) => b.name === draft.press[0] && b.value === draft.press[1] && b.getAttribute("formaction") === draft.press[2]);
    let any = Boolean(press) && draft.press[0] !== "do";
    for (const [name, value] of draft.typed) {
      for (const el of f.elements) {
        if (el.name !== name || el.tagName === "BUTTON") continue;
        if (el.type === "radio" || el.type === "checkbox") { if (el.value === value && !el.checked) { el.checked = true; any = true; } }
        else { if (el.type !== "hidden" && el.value !== value) any = true; el.value = value; }
      }
    }
    if (!any) { drop(f); return null; }
    return press || f.querySelector("button[name=do][value=save]") || f.querySelector("button");
  };

  // A message over the form, with a button that sends it again.
  const say = (f, text, submitter) => {
    f.querySelector(".unsent")?.remove();
    const box = document.createElement("div");
    box.className = "unsent";
    box.setAttribute("role", "alert");
    const p = document.createElement("p");
    p.textContent = text;
    box.append(p);
    const again = document.createElement("button");
    again.type = "button";
    again.textContent = "Send again";
    again.addEventListener("click", () => send(f, submitter));
    box.append(again);
    f.prepend(box);
    again.focus();
  };

  let busy = false;
  const send = async (f, submitter) => {
    if (busy) return;
    busy = true;
    keep(f, submitter);
    const taken = f.elements.namedItem("taken");
    if (taken && !taken.value) taken.value = String(Date.now());
    const body = new FormData(f);
    if (submitter?.name) body.append(submitter.name, submitter.value);
    const where = submitter?.getAttribute("formaction") || f.getAttribute("action");
    try {
      const plain = f.enctype !== "multipart/form-data";
      const res = await fetch(where, { method: "POST", body: plain ? new URLSearchParams(body) : body, headers: { "X-Round": "1" }, credentials: "same-origin" });
      const next = res.headers.get("X-Next");
      if (res.status === 204 && next) { drop(f); location.assign(next); return; }
      if (res.status >= 500) throw new Error(String(res.status));
      // Refused: nothing is stored. Let the browser send it and show the page with the reasons.
      drop(f);
      native(f, submitter);
    } catch {
      say(f, "Not saved yet. What you typed is kept here on this device; try again when the server can be reached.", submitter);
    } finally { busy = false; delete f.dataset.sent; }
  };
  const native = (f, submitter) => {
    if (submitter?.name) {
      const h = document.createElement("input");
      h.type = "hidden"; h.name = submitter.name; h.value = submitter.value;
      f.append(h);
    }
    if (submitter?.hasAttribute("formaction")) f.action = submitter.getAttribute("formaction");
    f.submit();
  };

  for (const f of document.querySelectorAll("form[data-draft]")) {
    const refused = document.getElementById("problems");
    const unsent = !refused && bring(f);
    if (unsent) say(f, "Not saved yet: this was entered here before and was not sent" + (unsent.classList.contains("answer") ? ": " + unsent.querySelector("span").firstChild.textContent : "") + ".", unsent);
    f.addEventListener("input", () => keep(f));
    f.addEventListener("submit", (e) => { e.preventDefault(); send(f, e.submitter); });
    // On the typed-in sheet Enter goes to the next field; the last one sends.
    if (f.classList.contains("typeform")) f.addEventListener("keydown", (e) => {
      if (e.key !== "Enter" || e.target.tagName !== "INPUT" || e.isComposing) return;
      const fields = [...f.querySelectorAll("input[type=text]")];
      const next = fields[fields.indexOf(e.target) + 1];
      if (next) { e.preventDefault(); next.focus(); next.select(); }
    });
  }

  // A number outside all that is to be expected is asked about while it is typed. It can be saved all the same.
  const line = document.createElement("p");
  line.className = "asksure";
  line.setAttribute("role", "status");
  const typed = (text) => (/^[-\u2212]?\d+(?:[.,]\d+)?$/.test(text.trim()) ? Number(text.trim().replace(",", ".").replace("\u2212", "-")) : NaN);
  const ask = (el) => {
    const x = typed(el.value);
    const odd = x < Number(el.dataset.low) || x > Number(el.dataset.high);
    el.parentElement.classList.toggle("doubt", odd);
    if (!odd) { if (line.dataset.of === el.id) { line.textContent = ""; delete line.dataset.of; } return; }
    const home = el.closest(".bignum, .axle");
    if (home && line.previousElementSibling !== home) home.after(line);
    line.dataset.of = el.id;
    line.textContent = `Sure? ${el.value.trim()} is not what was to be expected: ${el.dataset.likely} today.`;
  };
  for (const el of document.querySelectorAll("input[data-likely]")) {
    el.addEventListener("input", () => ask(el));
    el.addEventListener("focus", () => ask(el));
    if (el.value !== el.defaultValue) ask(el);
  }

  // Keys. They can be turned off, and rest while a field has the focus.
  let on = true;
  try { on = localStorage.getItem("round-keys") !== "off"; } catch { /* on */ }
  const sw = document.querySelector("[data-keys-switch]");
  if (sw) {
    const b = sw.querySelector("button");
    const show = () => { b.textContent = on ? "Turn the keys off" : "Turn the keys on"; };
    sw.hidden = false;
    show();
    b.addEventListener("click", () => { on = !on; show(); try { localStorage.setItem("round-keys", on ? "on" : "off"); } catch { /* this page only */ } });
  }
  const rows = () => [...document.querySelectorAll("[data-row]")];
  const pick = (n) => {
    const row = rows().find((r) => r.contains(document.activeElement)) || rows().find((r) => !r.querySelector("input:checked")) || rows()[0];
    if (row) {
      const radio = row.querySelectorAll("input[type=radio]")[n];
      if (!radio) return;
      radio.click();
      const next = rows()[rows().indexOf(row) + 1];
      (next?.querySelector("input:checked, input[type=radio]") || document.querySelector(".savebar button"))?.focus();
      return;
    }
    const answer = document.querySelectorAll("#f-answers .answer")[n];
    if (!answer) return;
    answer.click();
    answer.querySelector("input")?.focus();
  };
  document.addEventListener("keydown", (e) => {
    const t = e.target;
    const typing = t.matches("textarea, select, input:not([type=radio]):not([type=checkbox])");
    if (!on || typing || e.ctrlKey || e.metaKey || e.altKey || e.isComposing) return;
    if (/^[1-9]$/.test(e.key)) { e.preventDefault(); pick(Number(e.key) - 1); return; }
    if (e.key === "Enter" && !t.closest("a, button, summary")) { e.preventDefault(); document.querySelector(".savebar button, .round .go")?.click(); return; }
    const el = "npu?".includes(e.key) && document.querySelector(`[data-key="${e.key}"]`);
    if (!el) return;
    e.preventDefault();
    el.click();
    if (e.key === "?") el.scrollIntoView({ block: "center" });
  });

  // A picture that was taken is sent at once when nothing else is typed; otherwise it goes with the answer.
  const file = document.getElementById("f-photo-file");
  file?.addEventListener("change", () => {
    const f = file.form;
    const tooBig = file.files.length && file.files[0].size > 31 * 1024 * 1024;
    file.setCustomValidity(tooBig ? "This picture is larger than 31 MB. Take it smaller or choose another." : "");
    if (tooBig) { file.reportValidity(); return; }
    const other = [...f.elements].some((el) => el.type === "text" && el.value !== el.defaultValue || el.type === "radio" && el.checked !== el.defaultChecked);
    if (file.files.length && !other) f.requestSubmit(f.querySelector("[formaction]"));
  });

  // A number is what comes next on a screen of numbers: put the cursor there on a machine with a keyboard.
  if (matchMedia("(pointer: fine)").matches && !document.getElementById("problems") && !document.querySelector(".unsent")) document.querySelector(".bignum:not(.small) input, .cell input")?.focus({ preventScroll: true });
})();

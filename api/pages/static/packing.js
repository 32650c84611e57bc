// Ticking off what is in. Every tick is kept on the phone first, under a key of its own, and sent
// when there is a network; sent twice, it counts once. The page holds all cases, so nothing has
// to be fetched to go on packing.
"use strict";

const packing = document.getElementById("packing");
const PLAN = packing.dataset.plan;
const STORE = `holdall-unsent-${PLAN}`;
const KNOWN = `holdall-known-${PLAN}`;
const ADDRESS = `/api/v1/plans/${PLAN}/packing`;
const LOOK_MS = 5000;
const PATIENCE_MS = 20000;
let sending = false;
let newest = Number(packing.dataset.entries); // of all states seen, by how many entries led there

// A network that is there and carries nothing must not hold up the next try for ever.
const patience = () => (AbortSignal.timeout ? { signal: AbortSignal.timeout(PATIENCE_MS) } : {});

const read = () => {
  try { return JSON.parse(localStorage.getItem(STORE) || "[]"); } catch { return []; }
};
const write = (entries) => localStorage.setItem(STORE, JSON.stringify(entries));

// Not crypto.randomUUID: a phone that came over plain http does not have it.
function key() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

const sections = new Map(
  [...document.querySelectorAll(".one-case")].map((section) => [section.dataset.case, section]),
);
const boxes = (section) => [...section.querySelectorAll(".ticks input")];

function keep(entry) {
  write([...read(), { key: key(), at: new Date().toISOString(), ...entry }]);
  tellUnsent();
  send();
}

async function send() {
  const entries = read();
  if (sending || !entries.length) return;
  sending = true;
  try {
    const answer = await fetch(ADDRESS, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ entries: entries.slice(0, 500) }),
      ...patience(),
    });
    if (answer.ok) settle(await answer.json());
    else away(answer.status === 401 ? "Log in again to send your ticks; they are kept here." : "The server did not take the ticks; they are kept here.");
  } catch {
    away("No network. Go on packing: your ticks are kept here and sent later.");
  } finally {
    sending = false;
  }
  tellUnsent();
}

function settle(now) {
  const refused = new Map(now.refused.map((one) => [one.key, one.findings]));
  const done = new Set([...now.taken, ...refused.keys()]);
  const left = read().filter((entry) => !done.has(entry.key));
  write(left);
  away("");
  hear(now);
  for (const findings of refused.values()) {
    away(findings.map((finding) => `${finding.message} ${finding.remedy}`).join(" "));
  }
  if (left.length) setTimeout(send);
}

function away(text) {
  const line = document.getElementById("away");
  line.textContent = text;
  line.hidden = !text;
}

function tellUnsent() {
  const count = read().length;
  const text = count ? `${count} not sent yet, kept on this phone` : "";
  const spot = document.getElementById("unsent");
  if (spot.textContent !== text) spot.textContent = text;
}

// What the server said last, for a page that was kept before the last ticks were made.
function showKnown() {
  try {
    const known = JSON.parse(localStorage.getItem(KNOWN) || "null");
    if (known && known.entries >= newest) show(known);
  } catch { /* never heard of this plan */ }
}

function hear(now) {
  if (now.entries < newest) return; // an answer that was overtaken on the way
  newest = now.entries;
  localStorage.setItem(KNOWN, JSON.stringify({ entries: newest, cases: now.cases }));
  show(now);
}

// What the server says, with what is still unsent on top.
function show(now) {
  const unsent = read().filter((entry) => entry.kind === "tick");
  for (const state of now.cases) {
    const section = sections.get(state.case);
    if (!section) continue;
    const inside = new Set(state.packed.map((unit) => `${unit.gear}#${unit.unit}`));
    for (const entry of unsent) {
      if (entry.case !== state.case) continue;
      const unit = `${entry.gear}#${entry.unit}`;
      if (entry.packed) inside.add(unit); else inside.delete(unit);
    }
    for (const box of boxes(section)) box.checked = inside.has(box.value);
    const lid = read().filter((entry) => entry.kind === "lid" && entry.case === state.case).pop();
    setLid(section, lid ? lid.closed : state.closed, lid ? lid.excuses : state.excused);
    drawCase(section);
  }
  drawTotal();
}

function drawCase(section) {
  const all = boxes(section);
  const packed = all.filter((box) => box.checked).length;
  const next = all.find((box) => !box.checked);
  for (const box of all) {
    const row = box.closest("li");
    row.classList.toggle("in", box.checked);
    row.classList.toggle("is-next", box === next);
  }
  const row = document.querySelector(`[data-case-row="${CSS.escape(section.dataset.case)}"]`);
  for (const spot of [...section.querySelectorAll("[data-packed]"), ...row.querySelectorAll("[data-packed]")]) spot.textContent = packed;
  row.classList.toggle("done-row", packed === all.length);
  const panel = section.querySelector("[data-next]");
  const picture = section.querySelector(".drawing img");
  panel.hidden = !next;
  if (next) {
    const step = next.closest("li").dataset;
    panel.querySelector("[data-next-name]").textContent = step.name;
    panel.querySelector("[data-next-how]").textContent = step.how;
    if (section.matches(":target")) draw(picture, `?upto=${step.number}`, `Next: ${step.name}. ${step.how}`);
  } else draw(picture, "", `All ${all.length} objects are in`);
  drawLid(section, all.filter((box) => !box.checked));
}

const nameOf = (box) => `${box.dataset.gear} ${box.dataset.unit}`;

// A case closes when all is in, or with what is out excused by name and a reason.
function drawLid(section, out) {
  const lid = section.querySelector("[data-lid]");
  if (!lid) return;
  const closed = section.dataset.closed === "yes";
  lid.querySelector("[data-except]").hidden = closed || !out.length;
  lid.querySelector("[data-out]").textContent = out.map(nameOf).join(", ");
  lid.querySelector("[data-close]").textContent = closed ? "Open it again" : out.length ? "Close without it" : "Close the case";
}

function setLid(section, closed, excused) {
  section.dataset.closed = closed ? "yes" : "";
  const says = section.querySelector("[data-lid-says]");
  if (!says || (!closed && !says.textContent.startsWith("Closed"))) return;
  const names = (excused || []).map((one) => `${one.gear} ${one.unit} (${one.reason})`);
  const text = closed ? `Closed${names.length ? ` without ${names.join(", ")}` : ""}.` : "";
  if (says.textContent !== text) says.textContent = text;
}

function pressLid(section, event) {
  event.preventDefault();
  const close = section.dataset.closed !== "yes";
  const out = close ? boxes(section).filter((box) => !box.checked) : [];
  const field = section.querySelector("[data-lid] input[name=reason]");
  const reason = field.value.trim();
  if (out.length && !reason) {
    section.querySelector("[data-lid-says]").textContent = "Say why it may be missing, or pack it.";
    field.focus();
    return;
  }
  const excuses = out.map((box) => ({ gear: box.dataset.gear, unit: Number(box.dataset.unit), reason }));
  keep({ kind: "lid", case: section.dataset.case, closed: close, excuses });
  setLid(section, close, excuses);
  if (!close) section.querySelector("[data-lid-says]").textContent = "Open.";
  drawCase(section);
}

function draw(picture, query, words) {
  const address = picture.dataset.base + query;
  if (picture.getAttribute("src") !== address) picture.setAttribute("src", address);
  picture.alt = words;
}

function drawTotal() {
  const all = [...sections.values()].flatMap(boxes);
  const packed = all.filter((box) => box.checked).length;
  document.querySelector("[data-all-packed]").textContent = packed;
  document.querySelector("[data-all-bar]").value = packed;
}

function tick(box) {
  const section = box.closest(".one-case");
  keep({
    kind: "tick", case: section.dataset.case, gear: box.dataset.gear,
    unit: Number(box.dataset.unit), packed: box.checked,
  });
  drawCase(section);
  drawTotal();
}

// The drawings of the open case are fetched ahead, so that each step is there without a network.
function fetchAhead(section) {
  if (section.dataset.fetched) return;
  section.dataset.fetched = "yes";
  const base = section.querySelector(".drawing img").dataset.base;
  const steps = [...section.querySelectorAll(".ticks li")].map((row) => `${base}?upto=${row.dataset.number}`);
  Promise.all([base, ...steps].map((address) => fetch(address))).catch(() => { section.dataset.fetched = ""; });
}

function openCase() {
  const section = document.querySelector(".one-case:target");
  if (!section) return;
  fetchAhead(section);
  drawCase(section);
  section.focus({ preventScroll: true });
  section.scrollIntoView();
}

async function look() {
  if (document.hidden || sending) return;
  if (read().length) { send(); return; }
  try {
    const answer = await fetch(ADDRESS, patience());
    if (answer.ok && !read().length) { hear(await answer.json()); away(""); }
  } catch {
    away("No network. Go on packing: your ticks are kept here and sent later.");
    showKnown();
  }
}

for (const section of sections.values()) {
  section.addEventListener("change", (event) => { if (event.target.dataset.gear) tick(event.target); });
  section.querySelector("[data-next-in]")?.addEventListener("click", () => {
    const next = boxes(section).find((box) => !box.checked);
    if (next) { next.checked = true; tick(next); }
  });
  section.querySelector("[data-lid]")?.addEventListener("submit", (event) => pressLid(section, event));
}
// Ticks that were kept here while the page was closed count at once.
for (const entry of read()) {
  const section = sections.get(entry.case);
  const box = section && boxes(section).find((one) => one.dataset.gear === entry.gear && Number(one.dataset.unit) === entry.unit);
  if (box && entry.kind === "tick") box.checked = entry.packed;
}
for (const section of sections.values()) drawCase(section);
drawTotal();
// Only over https that the phone trusts, or on the machine itself, may it keep pages for when there
// is no network. A certificate that was waved through counts as https and is not trusted for this.
const notKept = (not) => { document.querySelector("[data-not-kept]").hidden = !not; };
if ("serviceWorker" in navigator) navigator.serviceWorker.register("/worker.js").then(() => notKept(false), () => notKept(true));
else notKept(true);
showKnown(); // whatever the browser believes of the network: the page may be one kept from before
openCase();
tellUnsent();
addEventListener("hashchange", openCase);
addEventListener("online", send);
setInterval(look, LOOK_MS);
look();
// The other cases' first drawings, once the page is at rest, for when the network goes.
const rest = window.requestIdleCallback || ((act) => setTimeout(act, 1500));
if (packing.dataset.may === "yes") rest(() => sections.forEach(fetchAhead));

// Small comforts on every page. All of them work without it, more slowly.
"use strict";

const LIGHTS = ["", "sun", "stage"];
const LIGHT_WORDS = { "": "Light: as set", sun: "Light: sun", stage: "Light: stage" };

function setUpLight() {
  const button = document.getElementById("light");
  const root = document.documentElement;
  const tell = () => { button.textContent = LIGHT_WORDS[root.dataset.light || ""]; };
  button.hidden = false;
  tell();
  button.addEventListener("click", () => {
    const next = LIGHTS[(LIGHTS.indexOf(root.dataset.light || "") + 1) % LIGHTS.length];
    if (next) root.dataset.light = next; else delete root.dataset.light;
    try { localStorage.setItem("holdall-light", next); } catch { /* this page only */ }
    tell();
  });
}

function setUpDrop(form) {
  const input = form.querySelector("input[type=file]");
  const button = form.querySelector("button");
  const send = () => { button.disabled = true; button.textContent = "Reading it…"; form.submit(); };
  for (const kind of ["dragenter", "dragover"]) {
    form.addEventListener(kind, (event) => { event.preventDefault(); form.classList.add("over"); });
  }
  form.addEventListener("dragleave", () => form.classList.remove("over"));
  form.addEventListener("drop", (event) => {
    event.preventDefault();
    form.classList.remove("over");
    if (event.dataTransfer.files.length) { input.files = event.dataTransfer.files; send(); }
  });
  form.addEventListener("submit", () => { button.disabled = true; button.textContent = "Reading it…"; });
}

function setUpSlow(form) {
  form.addEventListener("submit", () => {
    const button = form.querySelector("button");
    button.textContent = form.dataset.slow;
    setTimeout(() => { button.disabled = true; });
  });
}

function money(minor, currency, decimals) {
  if (minor === null || minor === undefined) return "–";
  const figures = { minimumFractionDigits: decimals, maximumFractionDigits: decimals };
  return `${(minor / 10 ** decimals).toLocaleString("en", figures)} ${currency}`;
}

function setUpWatch(section) {
  if (!["waiting", "solving"].includes(section.dataset.state)) return;
  const { plan, currency, decimals } = section.dataset;
  const points = [];
  const put = (name, text) => {
    const spot = section.querySelector(`[data-show=${name}]`);
    if (spot && spot.textContent !== text) spot.textContent = text;
  };
  const source = new EventSource(`/api/v1/plans/${plan}/progress`);
  source.addEventListener("progress", (event) => {
    const now = JSON.parse(event.data);
    put("best", money(now.best_minor, currency, Number(decimals)));
    put("bound", money(now.bound_minor, currency, Number(decimals)));
    put("gap", now.gap === null ? "–" : `${(Math.ceil(now.gap * 1000) / 10).toFixed(1)} %`);
    put("seconds", `${Math.round(now.seconds)} s`);
    put("doing", now.state === "waiting" ? `${now.ahead} before it.` : now.doing);
    points.push([now.seconds, now.best_minor, now.bound_minor]);
    draw(points);
  });
  source.addEventListener("end", () => {
    source.close();
    const address = new URL(location);
    address.searchParams.set("plan", plan);
    location.replace(address);
  });
}

function setUpStudy(section) {
  const source = new EventSource(`/api/v1/studies/${section.dataset.study}/progress`);
  source.addEventListener("progress", (event) => {
    const now = JSON.parse(event.data);
    const count = now.what_ifs.length;
    const text = (now.doing || "about to begin") + (count ? `, ${count} done` : "");
    const spot = section.querySelector("[data-doing]");
    if (spot.textContent !== text) spot.textContent = text;
  });
  source.addEventListener("end", () => { source.close(); location.reload(); });
}

function draw(points) {
  const picture = document.getElementById("closing");
  const values = points.flatMap(([, best, bound]) => [best, bound]).filter((v) => v !== null);
  if (points.length < 2 || values.length < 2) return;
  picture.removeAttribute("hidden");
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const last = points[points.length - 1][0] || 1;
  const line = (index) => points
    .filter((point) => point[index] !== null)
    .map((point) => `${(5 + 390 * point[0] / last).toFixed(1)},${(110 - 100 * (point[index] - low) / (high - low || 1)).toFixed(1)}`)
    .join(" ");
  document.getElementById("closing-best").setAttribute("points", line(1));
  document.getElementById("closing-bound").setAttribute("points", line(2));
}

setUpLight();
document.querySelectorAll("[data-drop]").forEach(setUpDrop);
document.querySelectorAll("[data-slow]").forEach(setUpSlow);
document.querySelectorAll("[data-study]").forEach(setUpStudy);
const watched = document.getElementById("watched");
if (watched) setUpWatch(watched);
if ("serviceWorker" in navigator) navigator.serviceWorker.register("/worker.js").catch(() => null);

// Puts the chosen light on before the first paint: sun, stage, or as the phone has it.
"use strict";
try {
  const light = localStorage.getItem("holdall-light");
  if (light) document.documentElement.dataset.light = light;
} catch { /* no storage: as the phone has it */ }

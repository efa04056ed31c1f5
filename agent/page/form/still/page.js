"use strict";
// What came by the stream is put in the place of what was there, and only where it differs.
(() => {
  const away = document.getElementById("away");
  const live = document.querySelectorAll("[data-live]");
  const shown = new Map();
  function put(pieces) {
    for (const part of live) {
      const text = pieces[part.id];
      if (text === undefined || shown.get(part.id) === text) continue;
      shown.set(part.id, text);
      part.innerHTML = text;
    }
    const time = document.getElementById("time");
    if (time && pieces.time) time.textContent = pieces.time;
    redraw(pieces.stamp);
    const spoken = document.getElementById("spoken"); // told only when it means something else
    if (spoken && pieces.meaning !== undefined && pieces.meaning !== spoken.dataset.meaning) {
      spoken.dataset.meaning = pieces.meaning;
      spoken.textContent = pieces.spoken;
    }
  }
  function follow() {
    let quiet;
    const stream = new EventSource(document.body.dataset.stream);
    const heard = () => {
      away.hidden = true;
      clearTimeout(quiet);
      quiet = setTimeout(lost, 60000);
    };
    const lost = () => { away.hidden = false; };
    stream.addEventListener("moment", (e) => { heard(); put(JSON.parse(e.data)); });
    stream.onopen = heard;
    stream.onerror = () => {
      lost();
      if (stream.readyState === EventSource.CLOSED) setTimeout(follow, 5000);
    };
  }

  // A line to copy is chosen whole with one touch.
  for (const line of document.querySelectorAll("input.copied")) line.addEventListener("click", () => line.select());

  // The picture's values under a finger: its frame says which times and scales it has.
  const figure = document.querySelector("figure.picture");
  const says = document.getElementById("finger");
  const half = document.body.dataset.half === "true";
  function clock(at) {
    const d = new Date(at), h = d.getUTCHours(), m = String(d.getUTCMinutes()).padStart(2, "0");
    return half ? `${(h + 11) % 12 + 1}:${m}\u00a0${h < 12 ? "am" : "pm"}` : `${String(h).padStart(2, "0")}:${m}`;
  }
  function fingered() {
    const svg = figure.querySelector("svg[data-from]");
    if (!svg || !says) return;
    const from = Date.parse(svg.dataset.from), to = Date.parse(svg.dataset.to), now = Date.parse(svg.dataset.now);
    const left = Number(svg.dataset.left), right = Number(svg.dataset.right), wide = svg.viewBox.baseVal.width;
    const lines = JSON.parse(svg.dataset.lines || "[]");
    const hair = document.createElementNS("http://www.w3.org/2000/svg", "path");
    hair.setAttribute("stroke", "#1d1a16");
    hair.setAttribute("stroke-width", "0.7");
    svg.append(hair);
    const offset = Number(svg.dataset.offset) * 60000;
    function read(e) {
      const box = svg.getBoundingClientRect();
      const x = (e.clientX - box.left) * wide / box.width;
      if (x < left || x > right) return;
      const at = from + (x - left) / (right - left) * (to - from);
      hair.setAttribute("d", `M${x.toFixed(1)} 0V${svg.viewBox.baseVal.height}`);
      const parts = [clock(at + offset) + (at > now ? ", expected" : "")];
      for (const line of lines) {
        let best = null;
        for (const [minutes, v] of line.at) {
          const far = Math.abs(from + minutes * 60000 - at);
          if (far <= 900000 && (!best || far < best[0])) best = [far, v];
        }
        if (best) parts.push(`${line.name} ${best[1]} ${line.unit}`);
      }
      says.textContent = parts.join(" · ");
    }
    svg.addEventListener("pointermove", read);
    svg.addEventListener("pointerdown", read);
  }
  if (figure) fingered();

  // Another picture is fetched when the stream says that there is one: soon where what it
  // rests on has changed, every few minutes as time goes.
  let fetched = Date.now();
  async function redraw(stamp) {
    if (!figure || !stamp || stamp === figure.dataset.stamp || document.hidden) return;
    const other = stamp.split("|")[0] !== (figure.dataset.stamp || "").split("|")[0];
    if (Date.now() - fetched < (other || !figure.querySelector("svg") ? 5000 : 180000)) return;
    fetched = Date.now();
    const answer = await fetch("/night").catch(() => null);
    if (!answer || !answer.ok) return;
    figure.innerHTML = await answer.text();
    figure.dataset.stamp = stamp;
    fingered();
  }
  if (window.EventSource) follow();
})();

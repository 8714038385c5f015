// A touch on a picture tells the figures of that place, in one line under it. The pictures are whole without.
"use strict";
(() => {
  const NO_PLACES = ":not([src*='/wood/'], [src*='/cup'])";  // they carry their figures as words
  let hinted = false;  // said once on a page, not under each picture
  const NEAR = 14;  // px of the screen that a thumb may miss by

  async function placesOf(picture) {
    let root = picture;
    if (picture.tagName === "IMG") {
      try {
        const text = (await (await fetch(picture.currentSrc || picture.src)).text()).replace(/<style>[^]*?<\/style>/, "");
        root = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
      } catch { return null; }
    }
    const [left, top, wide, high] = (root.getAttribute("viewBox") || "0 0 1 1").split(/[ ,]+/).map(Number);
    const all = [...root.querySelectorAll("[data-says]")].map((e) => {
      const [x, y, w, h] = ["x", "y", "width", "height"].map((name) => Number(e.getAttribute(name)));
      return { x, y, w, h, says: e.dataset.says };
    });
    return { left, top, wide, high, all };
  }

  function at(found, picture, event) {
    const box = picture.getBoundingClientRect(), scale = found.wide / box.width;
    const x = found.left + (event.clientX - box.left) * scale, y = found.top + (event.clientY - box.top) * scale;
    const off = (p) => Math.max(p.x - x, x - p.x - p.w, 0) + Math.max(p.y - y, y - p.y - p.h, 0);
    const near = found.all.filter((p) => off(p) <= NEAR * scale);
    return near.sort((p, q) => off(p) - off(q) || p.w * p.h - q.w * q.h)[0];
  }

  for (const picture of document.querySelectorAll(`main figure svg[viewBox], main figure img[src$='.svg']${NO_PLACES}`)) {
    const figure = picture.closest("figure");
    let line = figure.querySelector(".reading"), turn = -1, known;
    if (!line) {
      line = document.createElement("p");
      line.className = "reading";
      line.setAttribute("aria-live", "polite");
      if (!hinted) line.textContent = "Touch a place of a picture to read its figures.";
      hinted = true;
      figure.insertBefore(line, figure.querySelector("figcaption"));
    }
    const tell = (n, says) => { turn = n; line.textContent = says; line.classList.add("told"); };
    const places = () => (known ||= placesOf(picture));
    picture.tabIndex = 0;
    picture.addEventListener("click", async (event) => {
      const found = await places(), place = found && at(found, picture, event);
      if (place) tell(found.all.indexOf(place), place.says);
    });
    picture.addEventListener("keydown", async (event) => {
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      if (!step) return;
      event.preventDefault();
      const found = await places();
      if (!found || !found.all.length) return;
      const next = (turn + step + found.all.length) % found.all.length;
      tell(next, found.all[next].says);
    });
  }
})();

// Makes the page live: what is chosen, lit and on its way, in all drawings together.
// Without it the page has everything, one thing after the other.

(async () => {
  "use strict";
  const isWhole = await onBench.unpack();
  const { mapped, draw, layer, line, along } = onDrawings;
  const { one, all, data, decibels } = reading;
  const told = one("#told", HTMLElement);
  const time = one("#time", HTMLInputElement);
  const now = one("#now", HTMLOutputElement);
  const play = one("#play", HTMLButtonElement);
  const pick = (/** @type {string} */ name) => one(`#${name}`, HTMLSelectElement);
  const choices = { state: pick("state"), seat: pick("seat"), speaker: pick("speaker"), band: pick("band") };
  const chosen = () => ({
    state: Number(choices.state.value),
    seat: Number(choices.seat.value),
    speaker: Number(choices.speaker.value),
    band: Number(choices.band.value),
  });
  /** Number of the path that is held, and of the one that is pointed at. @type {number | null} */
  let held = null;
  /** @type {number | null} */
  let pointed = null;

  const room = roomToTurn(one("#space", HTMLCanvasElement), data.room_m);

  /** The pairs at the chosen seat, in the order of the speakers. */
  function pairs() {
    const { state, seat } = chosen();
    return data.states[state].seats[seat].pairs;
  }

  /** A path by its number, with its speaker's place. @param {number} number */
  function find(number) {
    for (const [speaker, pair] of pairs().entries()) {
      const reflection = pair.reflections.find((r) => r.number === number);
      if (reflection) return { speaker, pair, reflection };
    }
    return null;
  }

  /** Level in the chosen band. @param {Reflection} reflection */
  function level(reflection) {
    const { band } = chosen();
    return band < 0 ? reflection.level_db : reflection.band_level_db[band];
  }

  /** The way of a path, speaker to ears. @param {number} speaker @param {Reflection | null} reflection @returns {Point[]} */
  function way(speaker, reflection) {
    const { seat } = chosen();
    return [data.speakers[speaker].at_m, ...(reflection ? reflection.points_m : []), data.listeners[seat].at_m];
  }

  /** The drawings of the chosen state and seat. */
  function figures() {
    const { state, seat } = chosen();
    return all(document, `#early .alt[data-state="${state}"][data-seat="${seat}"] figure.live`);
  }

  const SURFACES = ["front", "back", "left", "right", "floor", "ceiling"];
  const LOWEST_DB = -45;

  /** Everything that depends on what is chosen. */
  function choose() {
    const { state, seat, speaker, band } = chosen();
    for (const alternative of all(document, ".alt")) {
      // A part without a state is of all of them.
      const isOf = (alternative.dataset.state ?? String(state)) === String(state);
      alternative.hidden = !isOf || alternative.dataset.seat !== String(seat);
    }
    for (const select of all(document, "select.same")) {
      /** @type {HTMLSelectElement} */ (select).value = choices.seat.value;
    }
    const kept = held === null ? null : find(held);
    if (!kept || (speaker >= 0 && kept.speaker !== speaker)) held = null;
    for (const [place, pair] of pairs().entries()) {
      const off = speaker >= 0 && place !== speaker;
      for (const figure of figures()) {
        for (const thing of all(figure, `[data-direct="${place}"], [data-curve="${place}"]`)) {
          thing.classList.toggle("off", off || (band >= 0 && thing.dataset.curve !== undefined));
        }
      }
      for (const reflection of pair.reflections) {
        for (const thing of all(document, `#early .alt:not([hidden]) [data-path="${reflection.number}"]`)) {
          if (thing instanceof HTMLTableRowElement) thing.hidden = off;
          const inCurve = thing.closest("figure.curve") !== null;
          thing.classList.toggle("off", off || (band >= 0 && inCurve));
        }
      }
    }
    for (const row of all(document, "#early .alt:not([hidden]) tr[data-path]")) {
      const found = find(Number(row.dataset.path));
      const cell = row.querySelector(".level");
      if (found && cell) cell.textContent = decibels(level(found.reflection));
    }
    for (const figure of figures()) {
      reach(figure);
      if (figure.dataset.view === "curve") bandCurve(figure);
    }
    const latest = pairs().flatMap((pair) => pair.reflections.map((r) => pair.time_ms + r.after_direct_ms));
    time.max = String(Math.ceil(Math.max(10, ...latest) + 1));
    light();
    move();
    onBench.reachable(document);
  }

  /** Wide lines that nobody sees, so that thin ones can be pointed at. @param {HTMLElement} figure */
  function reach(figure) {
    const group = layer(figure, "reaches");
    const { place, dot } = mapped(figure);
    const { speaker } = chosen();
    const view = figure.dataset.view || "";
    for (const [index, pair] of pairs().entries()) {
      if (speaker >= 0 && index !== speaker) continue;
      for (const reflection of pair.reflections) {
        /** @type {[number, number][]} */
        let points = [];
        if (view === "curve") {
          const db = level(reflection);
          if (db !== null) points = [dot(reflection.after_direct_ms, LOWEST_DB), dot(reflection.after_direct_ms, db)];
        } else if (!SURFACES.includes(view) && figure.querySelector(`[data-path="${reflection.number}"]`)) {
          points = way(index, reflection).map(place);
        }
        if (points.length) group.append(draw("polyline", { points: line(points), class: "reach", "data-reach": reflection.number }));
      }
    }
  }

  /** The curve in one band, in place of the one over 1 to 8 kHz. @param {HTMLElement} figure */
  function bandCurve(figure) {
    const group = layer(figure, "banded");
    const { band, speaker } = chosen();
    const caption = /** @type {HTMLElement | null} */ (figure.querySelector("figcaption span"));
    const name = choices.band.selectedOptions[0]?.textContent || "";
    if (caption) {
      caption.dataset.title ??= caption.textContent || "";
      caption.textContent = band < 0 ? caption.dataset.title : `${caption.dataset.title}, octave band of ${name}`;
    }
    if (band < 0) return;
    const { dot } = mapped(figure);
    for (const [index, pair] of pairs().entries()) {
      if (speaker >= 0 && index !== speaker) continue;
      const style = data.speakers[index];
      const { start_ms, step_ms, band_level_db } = pair.energy_time;
      const points = band_level_db[band].map((db, i) => dot(start_ms + step_ms * i, Math.max(db, LOWEST_DB)));
      group.append(draw("polyline", { points: line(points), stroke: style.colour, "stroke-width": 0.35, "stroke-dasharray": style.dashes_mm.join(" ") }));
      for (const reflection of pair.reflections) {
        const db = reflection.band_level_db[band];
        if (db === null || db < LOWEST_DB) continue;
        const [foot, tip] = [dot(reflection.after_direct_ms, LOWEST_DB), dot(reflection.after_direct_ms, db)];
        group.append(draw("polyline", { points: line([foot, tip]), stroke: style.colour, "stroke-width": 0.25 }));
        group.append(draw("circle", { cx: tip[0], cy: tip[1], r: 0.55, fill: style.colour }));
      }
    }
  }

  /** Lights the path that is pointed at, or held, everywhere. */
  function light() {
    const number = pointed ?? held;
    const found = number === null ? null : find(number);
    for (const figure of figures()) {
      const group = layer(figure, "shine");
      const svg = figure.querySelector("svg");
      svg?.classList.toggle("dim", found !== null);
      for (const thing of all(figure, ".lit")) thing.classList.remove("lit");
      if (!found) continue;
      for (const thing of all(figure, `[data-path="${number}"]`)) thing.classList.add("lit");
      shine(figure, group, found.speaker, found.reflection);
    }
    for (const row of all(document, "#early .alt:not([hidden]) tr[data-path]")) {
      row.classList.toggle("lit", found !== null && Number(row.dataset.path) === number);
      row.querySelector(".pick")?.setAttribute("aria-pressed", String(Number(row.dataset.path) === held));
    }
    told.textContent = found ? words(found.speaker, found.reflection)
      : "Point at a reflection in the list or in a drawing, tap it or go there with the Tab key: its path lights up in all drawings. Enter or a click holds it.";
    turn();
  }

  /** @param {HTMLElement} figure @param {Element} group @param {number} speaker @param {Reflection} reflection */
  function shine(figure, group, speaker, reflection) {
    const { place, dot } = mapped(figure);
    const view = figure.dataset.view || "";
    const colour = data.speakers[speaker].colour;
    const bright = (/** @type {[number, number][]} */ points) => {
      group.append(draw("polyline", { points: line(points), stroke: "#fff", "stroke-width": 2 }));
      group.append(draw("polyline", { points: line(points), stroke: colour, "stroke-width": 1.1 }));
    };
    const ring = (/** @type {[number, number]} */ [cx, cy]) => {
      group.append(draw("circle", { cx, cy, r: 1.7, fill: "#fff", stroke: colour, "stroke-width": 0.8 }));
      group.append(draw("circle", { cx, cy, r: 0.6, fill: colour }));
    };
    if (view === "curve") {
      const db = level(reflection);
      if (db === null) return;
      const tip = dot(reflection.after_direct_ms, Math.max(db, LOWEST_DB));
      bright([dot(reflection.after_direct_ms, LOWEST_DB), tip]);
      ring(tip);
    } else if (SURFACES.includes(view)) {
      reflection.points_m.forEach((point, i) => {
        if (reflection.on[i] === view) ring(place(point));
      });
    } else {
      bright(way(speaker, reflection).map(place));
      reflection.points_m.map(place).forEach(ring);
    }
  }

  /** @param {number} speaker @param {Reflection} reflection */
  function words(speaker, reflection) {
    const band = choices.band.selectedOptions[0]?.textContent || "";
    return `No ${reflection.number}: ${data.speakers[speaker].name} off ${reflection.hits}, ${reflection.after_direct_ms.toFixed(2)} ms after the direct sound, ${decibels(level(reflection))} dB over ${band} (${reflection.limit === "later" ? "later than the limit speaks of" : reflection.limit === "over" ? "over the limit" : "within the limit"}); heard ${reflection.heard}.`;
  }

  /** Every wavefront that is on its way at the chosen time. */
  function fronts() {
    const ms = Number(time.value);
    const { speaker } = chosen();
    /** @type {{at: Point, ahead: Point, colour: string, direct: boolean, number: number | null, loud: number, speaker: number}[]} */
    const there = [];
    if (ms <= 0) return there;
    for (const [index, pair] of pairs().entries()) {
      if (speaker >= 0 && index !== speaker) continue;
      const colour = data.speakers[index].colour;
      for (const reflection of [null, ...pair.reflections]) {
        const found = along(way(index, reflection), (ms / 1000) * data.speed_of_sound_m_s);
        const db = reflection ? level(reflection) ?? -60 : 0;
        if (found) there.push({ ...found, speaker: index, colour, direct: reflection === null, number: reflection?.number ?? null, loud: Math.max(0.25, 1 + db / 40) });
      }
    }
    return there;
  }

  /** Moves the wavefronts to the chosen time. */
  function move() {
    const ms = Number(time.value);
    now.value = `${ms.toFixed(1)} ms`;
    time.setAttribute("aria-valuetext", `${ms.toFixed(1)} milliseconds after it left the speakers`);
    const there = fronts();
    for (const figure of figures()) {
      const group = layer(figure, "fronts");
      const { place, dot } = mapped(figure);
      const view = figure.dataset.view || "";
      if (view === "curve") {
        if (ms <= 0) continue;
        const { speaker } = chosen();
        const first = pairs()[Math.max(0, speaker)].time_ms;
        const after = ms - first;
        if (after < -2 || after > 50) continue;
        group.append(draw("polyline", { points: line([dot(after, LOWEST_DB), dot(after, 3)]), stroke: "#2c6249", "stroke-width": 0.7 }));
      } else if (!SURFACES.includes(view)) {
        for (const front of there) {
          const [x, y] = place(front.at);
          const [tx, ty] = place(/** @type {Point} */ (front.at.map((p, i) => p + front.ahead[i])));
          const long = Math.hypot(tx - x, ty - y) || 1;
          const half = front.direct ? 3.2 : 2;
          const [dx, dy] = [(-(ty - y) / long) * half, ((tx - x) / long) * half];
          group.append(draw("polyline", {
            points: line([[x - dx, y - dy], [x + dx, y + dy]]), stroke: front.colour,
            "stroke-width": front.direct ? 1.4 : 0.9, "stroke-opacity": front.loud.toFixed(2), "stroke-linecap": "round",
          }));
        }
      }
    }
    turn();
  }

  /** Shows the same in the room to turn. */
  function turn() {
    const { state, seat, speaker } = chosen();
    const number = pointed ?? held;
    const { panels, screens, furniture } = data.states[state];
    const ways = pairs().flatMap((pair, index) => {
      if (speaker >= 0 && index !== speaker) return [];
      const { dashes_mm } = data.speakers[index];
      const direct = { points: way(index, null), speaker: index, dashes: dashes_mm, lit: false, faint: number !== null };
      const drawn = pair.reflections.filter((r) => r.points_m.length === 1 || r.number === number);
      return [direct, ...drawn.map((r) => ({
        points: way(index, r), speaker: index, dashes: dashes_mm, lit: r.number === number, faint: number !== null && r.number !== number,
      }))];
    });
    room.show({ panels, screens, furniture, speakers: data.speakers, listener: data.listeners[seat], ways, fronts: fronts() });
  }

  // Choosing.
  for (const select of Object.values(choices)) select.addEventListener("change", choose);
  one("#controls", HTMLFormElement).addEventListener("submit", (event) => event.preventDefault());
  time.addEventListener("input", move);

  // Sections further down are of the same seat.
  for (const anchor of ["change", "bass", "decay"]) {
    const first = document.querySelector(`#${anchor} .alt`);
    if (!first || choices.seat.length < 2) continue;
    const label = document.createElement("label");
    label.textContent = "Seat";
    const select = /** @type {HTMLSelectElement} */ (choices.seat.cloneNode(true));
    select.id = `${anchor}-seat`;
    select.className = "same";
    label.htmlFor = select.id;
    select.addEventListener("change", () => {
      choices.seat.value = select.value;
      choose();
    });
    const box = document.createElement("div");
    box.className = "again";
    box.append(label, select);
    first.before(box);
  }

  // Pointing, holding, going there by keyboard.
  /** @param {EventTarget | null} target @returns {number | null} */
  function numberOf(target) {
    if (!(target instanceof Element)) return null;
    const thing = target.closest("[data-path], [data-reach]");
    if (!thing || !thing.closest("#early")) return null;
    const number = Number(thing.getAttribute("data-path") ?? thing.getAttribute("data-reach"));
    return Number.isFinite(number) && find(number) ? number : null;
  }
  const early = one("#early", HTMLElement);
  early.addEventListener("pointerover", (event) => {
    const number = event.pointerType === "touch" ? null : numberOf(event.target);
    if (number !== pointed) {
      pointed = number;
      light();
    }
  });
  early.addEventListener("pointerleave", () => {
    if (pointed === null) return;
    pointed = null;
    light();
  });
  early.addEventListener("focusin", (event) => {
    if (!(event.target instanceof Element) || !event.target.matches(".pick")) return;
    pointed = numberOf(event.target);
    light();
  });
  early.addEventListener("focusout", () => {
    pointed = null;
    light();
  });
  early.addEventListener("click", (event) => {
    const number = numberOf(event.target);
    if (number === null) return;
    held = held === number ? null : number;
    if (held === null) pointed = null;
    light();
    const inList = event.target instanceof Element && event.target.closest(".list");
    const row = early.querySelector(`.alt:not([hidden]) tr[data-path="${number}"]`);
    if (held !== null && !inList && row instanceof HTMLElement) onBench.bring(row);
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || held === null) return;
    held = null;
    light();
  });

  // Sound on its way, slowly; a step at a time for whoever wants no motion.
  const still = matchMedia("(prefers-reduced-motion: reduce)");
  const MS_PER_S = 4;
  let running = 0;
  const stop = () => {
    cancelAnimationFrame(running);
    running = 0;
    play.textContent = still.matches ? "Step" : "Play";
  };
  play.addEventListener("click", () => {
    if (running) return stop();
    if (Number(time.value) >= Number(time.max)) time.value = "0";
    if (still.matches) {
      time.value = String(Number(time.value) + 1);
      return move();
    }
    play.textContent = "Stop";
    let before = performance.now();
    const step = (/** @type {number} */ at) => {
      time.value = String(Number(time.value) + Math.max(0.05, ((at - before) / 1000) * MS_PER_S));
      before = at;
      move();
      if (Number(time.value) >= Number(time.max)) return stop();
      running = requestAnimationFrame(step);
    };
    running = requestAnimationFrame(step);
  });
  still.addEventListener("change", stop);

  for (const bench of all(early, ".bench")) onBench.furnish(bench);

  for (const button of all(document, "[data-turn]")) {
    button.addEventListener("click", () => room.stand(button.dataset.turn || "corner"));
  }
  document.documentElement.classList.add("live-page");
  one("#controls", HTMLFormElement).hidden = false;
  one("#turn", HTMLElement).hidden = false;
  if (!isWhole) {
    for (const select of [choices.state, choices.seat]) select.disabled = true;
    one("#controls", HTMLFormElement).append("This browser is too old to show the other states and seats.");
  }
  stop();
  choose();
  onBench.reachable(document);
  for (const details of document.querySelectorAll("details")) details.addEventListener("toggle", () => onBench.reachable(details));
  addEventListener("resize", () => onBench.reachable(document));
})();
